"""What a forecast rests on is told, money keeps its sign, and the van follows its own counts."""

from __future__ import annotations

import datetime as dt

import pytest

from rungwise.maintenance.forecast import PartForecast
from rungwise.maintenance.history import PartLife, Reading, ShopHistory, UnitHistory
from rungwise.maintenance.measure import measure_named
from rungwise.maintenance.outlook import shop_outlook
from rungwise.parts.limits import CAPACITOR, CONTACT_DROP, INSULATION, Limit

TODAY = dt.date(2026, 4, 1)
LONG_AGO = dt.date(2016, 4, 1)


def forecast(fitted: dt.date, *read: tuple[dt.date, float]) -> PartForecast:
    readings = tuple(Reading(day, "capacitance", value) for day, value in read)
    part = PartLife("u", "capacitor", "dual_capacitor", fitted, fitted, None, "", 45.0, readings)
    shop = ShopHistory(TODAY, (UnitHistory("u", fitted, (part,)),))
    (unit,) = shop_outlook(shop).units
    (found,) = unit.parts
    return found


@pytest.mark.parametrize(
    ("fitted", "read", "basis", "text"),
    [
        (LONG_AGO, (), "age", "age"),
        (LONG_AGO, ((TODAY, 44.0),), "one reading", "one reading"),
        (LONG_AGO, ((TODAY, 44.0), (TODAY, 43.6)), "one reading", "one reading"),
        (LONG_AGO, ((dt.date(2025, 4, 1), 44.0), (TODAY, 43.0)), "trend", "trend of 2 readings"),
        (TODAY, ((TODAY, 44.0),), "fitted today", "fitted today"),
        (TODAY, (), "fitted today", "fitted today"),
    ],
)
def test_a_forecast_says_what_it_rests_on(
    fitted: dt.date, read: tuple[tuple[dt.date, float], ...], basis: str, text: str
) -> None:
    """Two readings of one day show no more direction than one."""
    found = forecast(fitted, *read)
    assert (found.basis, found.basis_text) == (basis, text)


def test_a_part_fitted_today_is_not_replaced() -> None:
    found = forecast(TODAY, (TODAY, 44.5))
    assert not found.choice.replace


def test_money_keeps_its_sign() -> None:
    """Leaving is cheaper: what replacing saves is then less than nothing."""
    new, worn = forecast(TODAY), forecast(LONG_AGO, (dt.date(2024, 4, 1), 43.0), (TODAY, 40.0))
    for found in (new, worn):
        choice = found.choice
        assert choice.saves == pytest.approx(choice.leave_cost - choice.replace_cost)
        assert (choice.saves > 0.0) is choice.replace
    assert new.choice.saves < 0.0 < worn.choice.saves


@pytest.mark.parametrize(
    ("name", "limit", "rated"),
    [("capacitance", CAPACITOR, 45.0), ("contact_drop", CONTACT_DROP, 1.0),
     ("insulation", INSULATION, 1.0)],
)  # fmt: skip
def test_worn_out_is_where_every_room_changes_the_part(
    name: str, limit: Limit, rated: float
) -> None:
    """And it is told in the one sentence of that limit, and graded by it on either side."""
    measure = measure_named(name)
    mark = 1.0 if measure.log else rated
    worn = measure.off_scale(measure.limit, rated)
    assert worn == pytest.approx(limit.change * mark)
    assert measure.limit_told(rated) == limit.told(mark, measure.meter.unit)
    worse = 0.99 if limit.falling else 1.01
    assert measure.grade(worn * worse, rated) == "change"
    assert measure.grade(worn / worse, rated) == "watch"


def test_visits_are_in_the_order_of_what_a_visit_is_worth() -> None:
    parts = {
        name: PartLife(name, "capacitor", "dual_capacitor", LONG_AGO, LONG_AGO, None, "", 45.0,
                       (Reading(dt.date(2024, 4, 1), "capacitance", first),
                        Reading(TODAY, "capacitance", last)))
        for name, first, last in (("good", 45.2, 45.0), ("worn", 43.0, 40.6), ("weak", 44.0, 42.6))
    }  # fmt: skip
    units = tuple(UnitHistory(name, LONG_AGO, (part,)) for name, part in parts.items())
    found = shop_outlook(ShopHistory(TODAY, units)).units
    assert [each.unit.name for each in found] == ["worn", "weak", "good"]
    saves = [each.saves for each in found]
    assert saves == sorted(saves, reverse=True)
    assert saves[-1] < 0.0, "a visit for the sake of a good unit costs more than it saves"
