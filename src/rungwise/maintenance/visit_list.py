"""Which units to visit before the season, by what a visit is expected to save."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from rungwise.maintenance.forecast import PartForecast
from rungwise.maintenance.history import UnitHistory
from rungwise.maintenance.prices import ShopPrices

FORETOLD = 0.7
"""Share of failures with a quantity of their own that a visit just before would see coming
(common practice, no source)."""


@dataclass(frozen=True, slots=True)
class UnitForecast:
    """One unit: chance that any part fails before the horizon, and what a visit would save.

    saves is in money, the visit's own cost taken off; it may be less than nothing.
    """

    unit: UnitHistory
    parts: tuple[PartForecast, ...]
    chance: float
    saves: float

    @property
    def reasons(self) -> tuple[PartForecast, ...]:
        """Its parts, the likeliest to fail first."""
        return tuple(sorted(self.parts, key=lambda each: -each.chance))


def unit_forecast(
    unit: UnitHistory, parts: Iterable[PartForecast], prices: ShopPrices
) -> UnitForecast:
    """The unit's forecast from those of its running parts, which fail apart from each other."""
    held = tuple(parts)
    survives = 1.0
    for each in held:
        survives *= 1.0 - each.chance
    saves = sum(_saved_by_visit(each, prices) for each in held) - prices.visit
    return UnitForecast(unit, held, 1.0 - survives, saves)


def visit_list(
    units: Sequence[UnitForecast], at_most: int | None = None
) -> tuple[UnitForecast, ...]:
    """The units in the order in which to visit them; with a limit, no more than that."""
    order = sorted(units, key=lambda each: (-each.saves, each.unit.last_seen, each.unit.name))
    return tuple(order if at_most is None else order[:at_most])


def _saved_by_visit(each: PartForecast, prices: ShopPrices) -> float:
    """What is already worth replacing, or what fresh readings would show in time."""
    ripe = max(each.choice.saves, 0.0)
    gap = {way.way: prices.failure(way.way) - prices.put_in(way.way.family) for way in each.ways}
    shown = sum(FORETOLD * w.chance * gap[w.way] for w in each.ways if w.way.measure)
    return max(ripe, shown)
