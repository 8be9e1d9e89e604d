"""A 24 V control circuit with its load, solved in closed form, to try the inference on.

R, fuse, thermostat, float switch, low-pressure switch, Y wire, coil, C in series, and a contactor
that feeds a compressor with a run capacitor. The readings come from Ohm's law here and not from
the circuit engine, so these tests need nothing of it.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
import numpy.typing as npt

from rungwise.diagnosis import Belief, CheckCard, FaultTable, ReadingModel, SuspectCard

Floats = npt.NDArray[np.float64]

PARTICLES = 48
SERIES = ("fuse", "thermostat", "float", "low_pressure", "y_wire")
WEIGHTS = {
    "fuse_open": 40.0,
    "thermostat_open": 50.0,
    "float_open": 55.0,
    "low_pressure_open": 50.0,
    "y_wire_open": 30.0,
    "y_wire_joint": 30.0,
    "coil_open": 22.0,
    "coil_shorted": 9.0,
    "plunger_blocked": 22.0,
    "contacts_open": 15.0,
    "breaker_open": 35.0,
    "capacitor_weak": 120.0,
    "capacitor_open": 70.0,
    "compressor_seized": 25.0,
    "compressor_open": 12.0,
}
REPAIRS = {"capacitor_weak": "new_capacitor", "capacitor_open": "new_capacitor"}
REPAIRS |= dict.fromkeys(("coil_open", "coil_shorted", "contacts_open"), "new_contactor")

YES_NO = ("yes", "no")
SOUNDS = ("running", "humming", "silent")
DEAD, CALLING = "everything off", "thermostat calling"


def meter(name: str, unit: str, *, live: bool) -> CheckCard:
    title = name.replace("_", " ")
    where = CALLING if live else DEAD
    risk = 2.0 if live else 0.0
    minutes = 1.5 if live else 4.0
    return CheckCard(name, title, unit=unit, minutes=minutes, risk=risk, live=live, condition=where)


CHECKS = (
    CheckCard("plunger_in", "plunger in", "choice", YES_NO, minutes=0.2, condition=CALLING),
    CheckCard("compressor", "compressor", "choice", SOUNDS, minutes=0.2, condition=CALLING),
    *(meter(f"volts_after_{part}", "V", live=True) for part in ("supply", *SERIES)),
    meter("volts_line", "V", live=True),
    meter("volts_load", "V", live=True),
    meter("coil_ohms", "Ω", live=False),
    meter("fuse_ohms", "Ω", live=False),
    meter("winding_ohms", "Ω", live=False),
    meter("capacitance", "µF", live=False),
)


@dataclass(frozen=True)
class Units:
    """Draws of what differs from one unit to the next, float [n] each."""

    control_volts: Floats
    line_volts: Floats
    coil_ohm: Floats
    winding_ohm: Floats
    microfarads: Floats
    severity: Floats

    @classmethod
    def draw(cls, count: int, rng: np.random.Generator) -> Units:
        """Each shuffled evenly over its range, so that few draws cover it."""
        even = [(rng.permutation(count) + rng.random(count)) / count for _ in range(6)]
        return cls(
            control_volts=25.0 + 3.0 * even[0],
            line_volts=225.0 + 25.0 * even[1],
            coil_ohm=10.0 + 8.0 * even[2],
            winding_ohm=0.6 + 0.3 * even[3],
            microfarads=45.0 * (0.95 + 0.1 * even[4]),
            severity=even[5],
        )


def readings(fault: str, units: Units) -> dict[str, Floats]:
    """What every check reads on every unit with this fault; choices by number."""
    ones = np.ones_like(units.severity)
    coil = {"coil_open": 1e7, "coil_shorted": 1.0}.get(fault, 1.0) * units.coil_ohm
    coil = np.where(fault == "coil_shorted", 1.0 + 5.0 * units.severity, coil)
    series = dict.fromkeys(SERIES, 0.02 * ones)
    for part in SERIES:
        if fault == f"{part}_open":
            series[part] = 1e9 * ones
    if fault == "y_wire_joint":
        series["y_wire"] = 1.0 * 100.0**units.severity
    return _solved(fault, units, coil, series)


def _solved(fault: str, units: Units, coil: Floats, series: dict[str, Floats]) -> dict[str, Floats]:
    ones = np.ones_like(coil)
    control = units.control_volts
    amps = control / (coil + np.sum(list(series.values()), axis=0))
    told = {"volts_after_supply": control}
    dropped = 0.0 * ones
    for part in SERIES:
        dropped = dropped + amps * series[part]
        told[f"volts_after_{part}"] = control - dropped
    closed = (amps * coil > 0.7 * 25.0) & (coil < 1e6) & (fault != "plunger_blocked")
    line = 0.0 * ones if fault == "breaker_open" else units.line_volts
    load = np.where(closed & (fault != "contacts_open"), line, 0.0)
    microfarads = units.microfarads * np.where(
        fault == "capacitor_weak", 0.4 + 0.45 * units.severity, 1.0
    )
    starts = fault not in ("capacitor_weak", "capacitor_open", "compressor_seized")
    fed = (load > 100.0) & (fault != "compressor_open")
    told |= {
        "plunger_in": np.where(closed, 0.0, 1.0),
        "compressor": np.where(fed, 0.0 if starts else 1.0, 2.0),
        "volts_line": line,
        "volts_load": load,
        "coil_ohms": np.where(coil > 1e6, np.inf, coil),
        "fuse_ohms": np.where(series["fuse"] > 1e6, np.inf, series["fuse"]),
        "winding_ohms": np.inf * ones if fault == "compressor_open" else units.winding_ohm,
        "capacitance": 0.01 * ones if fault == "capacitor_open" else microfarads,
    }
    return told


def meter_sd(reading: Floats, unit: str) -> Floats:
    """One percent and a digit, as one sigma."""
    digit = {"V": 0.1, "Ω": 0.05, "µF": 0.1, "": 0.1}[unit]
    return np.asarray(0.01 * np.abs(np.where(np.isfinite(reading), reading, 0.0)) + digit)


def suspect_card(fault: str) -> SuspectCard:
    title = fault.replace("_", " ")
    repair = REPAIRS.get(fault, f"repair_{fault}")
    part = "contactor" if repair == "new_contactor" else fault.rpartition("_")[0]
    return SuspectCard(
        fault, title, part, fault.rpartition("_")[2], repair, f"put right: {title}", WEIGHTS[fault]
    )


def built(seed: int, particles: int = PARTICLES) -> FaultTable:
    """The table of this circuit, with the same draws for every suspect."""
    units = Units.draw(particles, np.random.default_rng(seed))
    solved = [readings(fault, units) for fault in WEIGHTS]
    columns = [np.concatenate([each[card.id] for each in solved]) for card in CHECKS]
    reading = np.column_stack(columns)
    choices = {
        at: np.eye(len(card.choices))[columns[at].astype(int)]
        for at, card in enumerate(CHECKS)
        if card.form == "choice"
    }
    sd = np.column_stack([meter_sd(c, card.unit) for c, card in zip(columns, CHECKS, strict=True)])
    suspect_of = np.repeat(np.arange(len(WEIGHTS)), particles)
    cards = tuple(suspect_card(fault) for fault in WEIGHTS)
    return FaultTable(cards, CHECKS, suspect_of, reading, sd, choices, digest="closed form")


@cache
def model() -> ReadingModel:
    """One prepared table for all tests."""
    return ReadingModel(built(seed=1))


@cache
def start() -> Belief:
    """The belief before any reading."""
    return Belief.start(model())


@dataclass(frozen=True)
class Call:
    """One unit with one fault, drawn apart from the table's particles."""

    fault: str
    told: dict[str, Floats]
    rng: np.random.Generator

    @classmethod
    def draw(cls, rng: np.random.Generator, fault: str | None = None) -> Call:
        names, weights = list(WEIGHTS), np.array(list(WEIGHTS.values()))
        fault = fault or names[int(rng.choice(len(names), p=weights / weights.sum()))]
        return cls(fault, readings(fault, Units.draw(1, rng)), rng)

    def read(self, check_id: str) -> float | str:
        """What the technician notes, meter error included."""
        card = next(card for card in CHECKS if card.id == check_id)
        value = float(self.told[check_id][0])
        if card.form == "choice":
            return card.choices[int(value)]
        noise = self.rng.normal() * float(meter_sd(np.array(value), card.unit))
        return value if np.isinf(value) else value + noise
