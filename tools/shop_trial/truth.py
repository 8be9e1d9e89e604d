"""What is true in a simulated shop: how parts end, how they wear, what else customers call about.

Nothing here is the estimator's. Lives are drawn by turning a uniform number over, wear bends (the
estimator takes it as straight), meters err evenly between their bounds (it takes a normal error),
and every shop's lives differ from the table below by a factor of its own. All figures are invented
for the trial.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from math import exp, log

import numpy as np

from rungwise.parts import (
    Capacitor,
    Conductor,
    Control,
    Motor,
    OpensOn,
    Overcurrent,
    Poles,
    Transformer,
    kind_having,
)


@dataclass(frozen=True)
class TrueWear:
    """A quantity between new and worn out, on a plain or a log scale, and how it is measured."""

    quantity: str
    new: float
    new_sd: float
    worn: float
    log: bool
    meter_share: float
    meter_floor: float
    wander_sd: float

    def shown(self, y: float, rated: float, rng: np.random.Generator) -> float:
        """What the meter reads where the truth on the scale is `y`."""
        moved = y + self.wander_sd * rng.standard_normal()
        value = exp(moved) if self.log else moved * rated
        bound = self.meter_share * value + self.meter_floor
        return float(max(value + bound * rng.uniform(-1.0, 1.0), 1e-3))


@dataclass(frozen=True)
class TrueEnd:
    """One way to end: Weibull life in years, and the fault modes that it shows itself as."""

    shape: float
    scale_y: float
    modes: Mapping[str, float]
    wear: TrueWear | None = None

    def hazard_sum(self, start_y: float, end_y: float) -> float:
        """Cumulative hazard between two ages."""
        ends = (start_y / self.scale_y, end_y / self.scale_y)
        return float(ends[1] ** self.shape - ends[0] ** self.shape)


_UF = TrueWear("capacitance", 1.0, 0.022, 0.90, False, 0.02, 0.1, 0.006)
_DROP = TrueWear("contact_drop", log(0.03), 0.28, log(0.2), True, 0.012, 0.006, 0.12)
_MEG = TrueWear("insulation", log(220.0), 0.7, log(2.0), True, 0.05, 0.02, 0.35)
_AMPS = TrueWear("amps", 0.90, 0.05, 1.15, False, 0.02, 0.05, 0.03)

DUAL = kind_having(Capacitor, lambda can: len(can.sections) > 1).name
ONE_POLE = kind_having(Poles, lambda poles: poles.bar is not None).name
COMPRESSOR = kind_having(Motor, lambda motor: motor.drives == "compressor").name
FAN = kind_having(Motor, lambda motor: motor.drives == "fan").name
TRANSFORMER = kind_having(Transformer, lambda _: True).name

SLOTS: Mapping[str, tuple[str, float, tuple[TrueEnd, ...]]] = {
    "capacitor": (DUAL, 45.0, (
        TrueEnd(3.6, 12.5, {"herm_weak": 0.8, "fan_weak": 0.2}, _UF),
        TrueEnd(1.3, 34.0, {"herm_open": 0.6, "fan_open": 0.3, "herm_shorted": 0.1}))),
    "contactor": (ONE_POLE, 16.0, (
        TrueEnd(2.1, 18.0, {"pole1_pitted": 0.6, "pole1_open": 0.2, "welded": 0.2}, _DROP),
        TrueEnd(1.0, 45.0, {"coil_open": 0.4, "blocked": 0.5, "coil_shorted": 0.1}))),
    "compressor": (COMPRESSOR, 16.0, (
        TrueEnd(3.5, 27.0, {"earthed": 0.75, "turns_shorted": 0.25}, _MEG),
        TrueEnd(1.8, 38.0, {"seized": 0.6, "c_open": 0.2, "s_open": 0.2}))),
    "fan": (FAN, 1.4, (
        TrueEnd(2.8, 18.0, {"seized": 1.0}, _AMPS),
        TrueEnd(1.2, 50.0, {"c_open": 0.5, "r_open": 0.5}))),
    "transformer": (TRANSFORMER, 1.0, (
        TrueEnd(1.0, 50.0, {"primary_open": 0.6, "secondary_open": 0.4}),)),
}  # fmt: skip
"""Slot of the unit: part kind, rated value, ways to end. Each slot holds one part."""

WIRE = kind_having(Conductor, lambda conductor: conductor.conductors == 1).name


def _opening_on(what: str) -> str:
    return kind_having(OpensOn, lambda opens: opens.what == what).name


FLAT: Mapping[tuple[str, str], float] = {
    (_opening_on("water"), "open"): 0.012,
    (kind_having(Control, lambda _: True).name, "not_calling"): 0.010,
    (kind_having(Overcurrent, lambda guard: guard.how == "trips").name, "off"): 0.006,
    (_opening_on("low pressure"), "open"): 0.014,
    (WIRE, "open"): 0.005,
    (WIRE, "high_resistance"): 0.012,
}
"""Calls a unit and year about what does not age."""


@dataclass(frozen=True)
class ShopTruth:
    """The table as it is in one shop: its own lives and its own habits."""

    ends: Mapping[str, tuple[TrueEnd, ...]]
    flat: Mapping[tuple[str, str], float]


@dataclass
class TruePart:
    """One part: in its slot since `born_y`, and how each of its ways would end it, in years.

    ends_y: calendar time of each way's end; starts: its wear when new; bend: how its wear curves.
    """

    slot: str
    serial: int
    born_y: float
    ends_y: tuple[float, ...]
    modes: tuple[str, ...]
    starts: tuple[float, ...]
    bend: float
    readings: list[tuple[float, str, float]] = field(default_factory=list)
    watched_y: float = 0.0
    out_y: float | None = None
    mode: str = ""

    @property
    def end_y(self) -> float:
        """When it fails if nobody takes it out."""
        return min(self.ends_y)

    @property
    def first(self) -> int:
        """Which of its ways comes first."""
        return int(np.argmin(self.ends_y))

    def wear_at(self, way: int, wear: TrueWear, time_y: float) -> float:
        """The truth on the wear's scale."""
        spent: float = (time_y - self.born_y) / (self.ends_y[way] - self.born_y)
        return self.starts[way] + (wear.worn - self.starts[way]) * float(spent**self.bend)


def shop_truth(rng: np.random.Generator) -> ShopTruth:
    """A shop of its own: lives 0.4 and shapes 0.15 off in the log (one standard deviation)."""
    ends = {
        slot: tuple(
            replace(
                way,
                shape=way.shape * exp(0.15 * rng.standard_normal()),
                scale_y=way.scale_y * exp(0.4 * rng.standard_normal()),
            )
            for way in ways
        )
        for slot, (_, _, ways) in SLOTS.items()
    }
    return ShopTruth(ends, {k: v * exp(0.5 * rng.standard_normal()) for k, v in FLAT.items()})


def true_part(
    truth: ShopTruth, slot: str, serial: int, born_y: float, rng: np.random.Generator
) -> TruePart:
    """A new part in its slot, with the lives it happens to have."""
    ways = truth.ends[slot]
    lives = [way.scale_y * (-log(1.0 - rng.random())) ** (1.0 / way.shape) for way in ways]
    modes = [list(way.modes)[rng.choice(len(way.modes), p=list(way.modes.values()))]
             for way in ways]  # fmt: skip
    starts = [
        0.0 if way.wear is None else way.wear.new + way.wear.new_sd * rng.standard_normal()
        for way in ways
    ]
    return TruePart(
        slot, serial, born_y, tuple(born_y + max(life, 0.02) for life in lives), tuple(modes),
        tuple(starts), float(rng.uniform(0.85, 1.25)),
    )  # fmt: skip
