"""What trends, choices, weights and the outlook must do, whatever the shop."""

from __future__ import annotations

import datetime as dt
from math import inf

import numpy as np
import pytest

from rungwise.errors import BadQuantity, BadReading
from rungwise.maintenance.choice import choose
from rungwise.maintenance.contact_wear import pace
from rungwise.maintenance.history import ClosedCall, PartLife, Reading, ShopHistory, UnitHistory
from rungwise.maintenance.measure import measure_named
from rungwise.maintenance.outlook import VisitPlan, shop_outlook
from rungwise.maintenance.shop_weights import learn_weights, start_weights
from rungwise.maintenance.trend import Start, TrendPoint, trend_of
from rungwise.maintenance.ways import ways_of

TODAY = dt.date(2026, 4, 1)


def capacitor(unit: str, last_uf: float) -> PartLife:
    fitted = dt.date(2018, 4, 1)
    readings = tuple(
        Reading(dt.date(2022 + 2 * n, 4, 1), "capacitance", 45.0 + (last_uf - 45.0) * share)
        for n, share in enumerate((0.5, 0.75, 1.0))
    )
    return PartLife(unit, "run_cap", "dual_capacitor", fitted, fitted, None, "", 45.0, readings)


def shop_of(**last_uf: float) -> ShopHistory:
    day = dt.date(2018, 4, 1)
    units = tuple(UnitHistory(n, day, (capacitor(n, uf),)) for n, uf in last_uf.items())
    return ShopHistory(TODAY, units)


def test_trend_without_prior_matches_least_squares() -> None:
    t, y = np.array([0.0, 1.0, 2.0, 4.0]), np.array([45.0, 44.1, 43.2, 41.3])
    found = trend_of([TrendPoint(*pair, 0.3) for pair in zip(t, y, strict=True)], Start(0.0, inf))
    slope, start = np.polyfit(t, y, 1)
    assert found.slope().middle == pytest.approx(slope)
    assert found.at(0.0).middle == pytest.approx(start)


def test_one_visit_shows_no_trend() -> None:
    with pytest.raises(BadQuantity, match="no trend"):
        trend_of([TrendPoint(1.0, 44.0, 0.3)], Start(45.0, 1.0))


def test_a_reading_of_nothing_cannot_be_followed() -> None:
    with pytest.raises(BadReading):
        measure_named("capacitance").on_scale(0.0, 45.0)


def test_a_part_that_does_not_age_is_left() -> None:
    flat = np.full(10, 0.05)
    assert not choose(flat, flat, planned=60.0, failure=300.0, discount=0.05).replace


def test_a_part_that_is_sure_to_fail_is_replaced_when_failing_costs_more() -> None:
    own, fresh = np.full(10, 0.95), np.full(10, 0.02)
    found = choose(own, fresh, planned=60.0, failure=300.0, discount=0.05)
    assert found.replace
    assert found.chance > found.break_even


def test_replacing_pays_exactly_above_the_break_even_chance() -> None:
    fresh = np.full(10, 0.02)
    own = np.full(10, 0.3)
    even = choose(own, fresh, planned=60.0, failure=300.0, discount=0.05).break_even
    for chance, wanted in ((even - 0.01, False), (even + 0.01, True)):
        own[0] = chance
        found = choose(own, fresh, planned=60.0, failure=300.0, discount=0.05)
        assert found.replace is wanted


def test_half_the_amps_wear_contacts_a_quarter_as_fast() -> None:
    assert pace(1500.0, 20.0, 30.0) == pytest.approx(4.0 * pace(1500.0, 10.0, 30.0))


def test_no_calls_leave_the_start_weights() -> None:
    start = start_weights()
    learned = learn_weights(start, [])
    assert all(learned.weight(cause) == pytest.approx(w) for cause, w in start.items())


def test_calls_of_one_age_move_that_age_most() -> None:
    start = {("contactor_1p", "coil_open"): 100.0, ("dual_capacitor", "herm_weak"): 100.0}
    calls = [ClosedCall("dual_capacitor", "herm_weak", 12.0)] * 30
    calls += [ClosedCall("contactor_1p", "coil_open", 2.0)] * 30
    learned = learn_weights(start, calls)
    weak = ("dual_capacitor", "herm_weak")
    assert learned.weight(weak, 12.0) > learned.weight(weak) > learned.weight(weak, 2.0)


def test_the_weaker_capacitor_is_visited_first_and_likelier_to_fail() -> None:
    found = shop_outlook(shop_of(strong=44.6, weak=39.0), plan=VisitPlan(ahead_y=1.0))
    weak, strong = found.units
    assert (weak.unit.name, strong.unit.name) == ("weak", "strong")
    assert weak.chance > strong.chance
    (left,) = [way.remaining_y for way in weak.parts[0].ways if way.way.measure]
    assert 0.0 <= left.low < left.middle < left.high


def test_a_visit_saves_the_foretold_share_of_what_a_breakdown_costs_more() -> None:
    # A weak capacitor in the season: 260 for the breakdown, and in 3 of 100 a compressor of
    # 1600 and six hours at 95 an hour; the capacitor itself is paid for either way.
    more = 260.0 + 0.03 * (1600.0 + 6.0 * 95.0)
    (unit,) = shop_outlook(shop_of(a=44.5)).units
    (part,) = unit.parts
    (weak,) = (each for each in part.ways if each.way.key == "capacitor.weak")
    assert part.choice.saves < 0.0
    assert unit.saves == pytest.approx(0.7 * weak.chance * more - 90.0)


def test_what_is_no_kind_of_part_has_no_life() -> None:
    with pytest.raises(KeyError):
        ways_of("capacitor")
