"""A simulated shop: units with parts that fail, visits that measure, calls that close."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

import numpy as np

from rungwise.maintenance.history import ClosedCall, PartLife, Reading, ShopHistory, UnitHistory
from shop_trial.truth import SLOTS, ShopTruth, TruePart, shop_truth, true_part

BEGIN = dt.date(2019, 3, 1)
"""The first day in care, year 0 of a simulated shop."""

WORN_SHARE = 0.9
"""Rule of thumb of the simulated years: replace what reads nine tenths of the way to worn out."""

Replace = Callable[["SimUnit", TruePart, float], bool]


def day(time_y: float) -> dt.date:
    """The calendar day of a time in years."""
    return BEGIN + dt.timedelta(days=round(time_y * 365.25))


@dataclass
class SimUnit:
    """One unit, its parts that run now and those that are gone, and its visits."""

    number: int
    installed_y: float
    now: dict[str, TruePart] = field(default_factory=dict)
    gone: list[TruePart] = field(default_factory=list)
    visits: list[float] = field(default_factory=list)

    @property
    def name(self) -> str:
        """As told in the history."""
        return f"unit {self.number:03d}"

    def parts(self) -> Iterator[TruePart]:
        """All parts that the shop has watched."""
        yield from self.gone
        yield from self.now.values()


@dataclass(frozen=True)
class TrialCall:
    """One call that was closed."""

    time_y: float
    unit: SimUnit
    kind: str
    mode: str
    slot: str


class SimShop:
    """A shop from its seed. Part `serial` of a slot is the same whoever visits, and when."""

    def __init__(self, seed: int, units: int = 300) -> None:
        self.seed = seed
        rng = np.random.default_rng([seed, 1])
        self.truth: ShopTruth = shop_truth(rng)
        self.time_y = 0.0
        self.calls: list[TrialCall] = []
        self.planned: list[TrialCall] = []
        self.units = [SimUnit(n, -float(rng.uniform(0.0, 18.0))) for n in range(units)]
        for unit in self.units:
            for slot in SLOTS:
                self._before_care(unit, slot)

    def run(self, until_y: float) -> None:
        """Let the time pass: parts fail, are called about and replaced; flat calls come in."""
        for unit in self.units:
            for slot in SLOTS:
                while unit.now[slot].end_y <= until_y:
                    self._fail(unit, slot)
            self._flat(unit, until_y)
        self.time_y = until_y

    def visit(self, unit: SimUnit, replace: Replace | None = None) -> None:
        """Measure all that wears, then take out what `replace` (by default a rule) says."""
        rng = np.random.default_rng([self.seed, 3, unit.number, round(self.time_y * 1000)])
        unit.visits.append(self.time_y)
        for part in list(unit.now.values()):
            worn = self._measure(part, rng)
            wanted = worn >= WORN_SHARE if replace is None else replace(unit, part, self.time_y)
            if wanted:
                self._take_out(unit, part)

    def history(self) -> ShopHistory:
        """What the shop knows of itself now."""
        today = day(self.time_y)
        return ShopHistory(
            today,
            tuple(self._told(unit) for unit in self.units),
            tuple(
                ClosedCall(call.kind, call.mode, call.time_y - call.unit.installed_y)
                for call in self.calls
            ),
        )

    def told(self, unit: SimUnit, part: TruePart) -> PartLife:
        """What the shop knows of one part."""
        kind, rated, _ = SLOTS[part.slot]
        return PartLife(
            unit=unit.name,
            part=part.slot,
            kind=kind,
            fitted=day(part.born_y),
            watched=day(part.watched_y),
            ended=None if part.out_y is None else day(part.out_y),
            mode=part.mode,
            rated=rated,
            readings=tuple(Reading(day(t), quantity, v) for t, quantity, v in part.readings),
        )

    def _told(self, unit: SimUnit) -> UnitHistory:
        parts = tuple(self.told(unit, part) for part in unit.parts())
        return UnitHistory(
            unit.name, day(unit.installed_y), parts, tuple(day(t) for t in unit.visits)
        )

    def _new(self, unit: SimUnit, slot: str, serial: int, born_y: float) -> TruePart:
        rng = np.random.default_rng([self.seed, 2, unit.number, list(SLOTS).index(slot), serial])
        part = true_part(self.truth, slot, serial, born_y, rng)
        part.watched_y = max(born_y, 0.0)
        return part

    def _before_care(self, unit: SimUnit, slot: str) -> None:
        """Parts that failed before the shop came are known only by what stands there since."""
        part = self._new(unit, slot, 0, unit.installed_y)
        while part.end_y <= 0.0:
            part = self._new(unit, slot, part.serial + 1, part.end_y)
        unit.now[slot] = part

    def _fail(self, unit: SimUnit, slot: str) -> None:
        part = unit.now[slot]
        part.mode = part.modes[part.first]
        self.calls.append(TrialCall(part.end_y, unit, SLOTS[slot][0], part.mode, slot))
        self._exchange(unit, part, part.end_y)

    def _take_out(self, unit: SimUnit, part: TruePart) -> None:
        self.planned.append(TrialCall(self.time_y, unit, SLOTS[part.slot][0], "", part.slot))
        self._exchange(unit, part, self.time_y)

    def _exchange(self, unit: SimUnit, part: TruePart, time_y: float) -> None:
        part.out_y = time_y
        unit.gone.append(part)
        unit.now[part.slot] = self._new(unit, part.slot, part.serial + 1, time_y)

    def _measure(self, part: TruePart, rng: np.random.Generator) -> float:
        """Readings of all quantities of a part; the largest share of wear that they show."""
        most = 0.0
        for number, way in enumerate(self.truth.ends[part.slot]):
            if way.wear is None:
                continue
            rated = SLOTS[part.slot][1]
            value = way.wear.shown(part.wear_at(number, way.wear, self.time_y), rated, rng)
            part.readings.append((self.time_y, way.wear.quantity, value))
            read = np.log(value) if way.wear.log else value / rated
            most = max(most, float((read - way.wear.new) / (way.wear.worn - way.wear.new)))
        return most

    def _flat(self, unit: SimUnit, until_y: float) -> None:
        rng = np.random.default_rng([self.seed, 4, unit.number, round(self.time_y * 1000)])
        for (kind, mode), rate in self.truth.flat.items():
            for _ in range(rng.poisson(rate * (until_y - self.time_y))):
                when = float(rng.uniform(self.time_y, until_y))
                self.calls.append(TrialCall(when, unit, kind, mode, ""))
