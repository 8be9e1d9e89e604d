"""Which check comes next, what it costs, and when measuring stops."""

from __future__ import annotations

import numpy as np
import pytest
from tests.diagnosis import control_circuit as circuit
from tests.diagnosis.small_tables import certain, fewest_checks, suspect, yes_no

from rungwise.diagnosis import Belief, FaultTable, PriceList, next_check
from rungwise.diagnosis.advice import NOTHING_LEFT, SURE, last_set_up
from rungwise.diagnosis.look_card import COOLED, DEAD, LOOKING, ON_CALL
from rungwise.errors import UnknownName

NOT_ASKED = 0.0
"""Minutes to be asked, in calls whose prices are worked by hand."""

ONLY_CHECKS_COUNT = PriceList(
    wrong_repair_minutes=1e6, condition_change_minutes=0.0, least_bits=1e-6
)


def by_hand(wrong_repair_minutes: float) -> PriceList:
    """Where a check costs what its own card says."""
    return PriceList(wrong_repair_minutes=wrong_repair_minutes, asking_minutes=NOT_ASKED)


def chosen(belief: Belief, prices: PriceList | None = None) -> str:
    advice = next_check(belief, prices)
    assert advice.check is not None
    return advice.check.id


def two_equal_checks(**of_second: object) -> Belief:
    checks = [yes_no("first", minutes=2.0), yes_no("second", **{"minutes": 2.0, **of_second})]
    return certain([suspect("a"), suspect("b")], checks, [[0, 0], [1, 1]])


def uneven(weight: float) -> Belief:
    """Two suspects of `weight` and the rest of 100, and one check of 5 minutes that decides."""
    suspects = [suspect("a", weight), suspect("b", 100.0 - weight)]
    return certain(suspects, [yes_no("c", minutes=5.0)], [[0], [1]])


def test_of_two_checks_that_tell_the_same_the_cheaper_is_made() -> None:
    assert chosen(two_equal_checks(minutes=1.0)) == "second"


def test_of_two_equal_checks_the_dead_one_is_made() -> None:
    checks = [yes_no("live", live=True), yes_no("the dead one")]
    assert chosen(certain([suspect("a"), suspect("b")], checks, [[0, 0], [1, 1]])) == "the dead one"


@pytest.mark.parametrize("names", [("a", "b"), ("b", "a")])
def test_of_checks_alike_in_all_the_first_of_the_file_is_made(names: tuple[str, str]) -> None:
    alike = certain(
        [suspect("x"), suspect("y")], [yes_no(each) for each in names], [[0, 0], [1, 1]]
    )
    assert chosen(alike) == names[0]
    assert next_check(alike, allowed=set(names)).check == alike.table.checks[0]


def test_risk_is_paid_for_in_minutes() -> None:
    belief = two_equal_checks(minutes=1.0, risk=5.0, live=True)
    assert chosen(belief) == "first"
    assert chosen(belief, PriceList(minutes_per_risk=0.0)) == "second"


def test_a_check_in_the_present_condition_is_cheaper() -> None:
    """Once the power is off, what can be measured dead comes first."""
    off, on = {"condition": "off", "minutes": 2.0}, {"condition": "on", "minutes": 1.5}
    checks = [yes_no("before", **off), yes_no("dead", **off), yes_no("live", **on)]
    belief = certain([suspect("a"), suspect("b")], checks, [[0, 0, 0], [0, 1, 1]])
    assert chosen(belief) == "live"
    assert chosen(belief.observe("before", "no")) == "dead"


def test_a_look_needs_no_set_up_and_the_dead_state_costs_its_plan() -> None:
    """Lock, try, prove at each place: about a quarter of an hour, as the first check too."""
    prices = PriceList()
    look = yes_no("look", condition=LOOKING, minutes=0.5)
    dead = yes_no("dead", condition=DEAD, minutes=2.0)
    live = yes_no("live", condition=ON_CALL, minutes=1.0)
    assert prices.price(look, dead) == prices.price(look, None) == 0.5
    assert prices.price(dead, None) == prices.price(dead, live) == 2.0 + prices.dead_minutes
    assert prices.price(dead, dead) == 2.0
    assert prices.price(live, dead) == 1.0 + prices.condition_change_minutes


def test_where_it_has_to_cool_in_any_case_the_start_after_it_costs_another_start() -> None:
    prices, cooled = PriceList(), yes_no("start again", condition=COOLED, minutes=1.0)
    overload = suspect("open", part="compressor", repair="compressor:let_cool")
    assert prices.price(cooled, None) == 1.0 + prices.cooling_minutes
    waiting = prices.of_repair(overload)
    assert waiting.price(cooled, None) == 1.0 + prices.condition_change_minutes
    assert prices.of_repair(suspect("seized")).price(cooled, None) == prices.price(cooled, None)


def test_after_a_look_the_unit_is_as_the_last_other_check_left_it() -> None:
    look = yes_no("look", condition=LOOKING)
    first, second = yes_no("first", condition=DEAD), yes_no("second", condition=DEAD)
    belief = certain([suspect("a"), suspect("b")], [look, first, second], [[0, 0, 0], [0, 0, 1]])
    assert last_set_up(belief) is None
    taken = belief.observe("first", "no").observe("look", "no")
    assert last_set_up(taken) == first
    assert next_check(taken).candidates[0].minutes == pytest.approx(second.minutes)


def test_a_reading_that_would_decide_is_made_though_each_minute_of_it_tells_little() -> None:
    """17 minutes for all there is to know, beside looks that tell next to nothing."""
    looks = [yes_no(f"look {n}", minutes=0.5) for n in range(10)]
    decide = yes_no("decide", minutes=17.0)
    outcomes = [[0] * 10 + [0], [0] * 10 + [1]]
    belief = certain([suspect("a", 70.0), suspect("b", 30.0)], [*looks, decide], outcomes)
    assert chosen(belief) == "decide"


def test_three_looks_that_tell_as_much_as_one_reading_give_way_to_it() -> None:
    """Each look settles one of three others in half a minute, the reading all of them in four."""
    looks = [yes_no(f"look {n}", minutes=0.5, condition=LOOKING) for n in range(3)]
    reading = yes_no("reading", minutes=4.0)
    suspects = [suspect("a", 40.0), *(suspect(f"b{n}", 20.0) for n in range(3))]
    outcomes = [[0, 0, 0, 0], [1, 0, 0, 1], [0, 1, 0, 1], [0, 0, 1, 1]]
    belief = certain(suspects, [*looks, reading], outcomes)
    asked = PriceList(asking_minutes=6.0)
    assert chosen(belief, PriceList(asking_minutes=NOT_ASKED)).startswith("look")
    assert chosen(belief, asked) == "reading"


def test_a_check_is_not_made_twice() -> None:
    belief = circuit.start().observe("compressor", "silent")
    offered = [candidate.check.id for candidate in next_check(belief).candidates]
    assert "compressor" not in offered
    assert len(offered) == len(circuit.CHECKS) - 1


def test_only_allowed_checks_are_offered() -> None:
    advice = next_check(circuit.start(), allowed=["coil_ohms", "fuse_ohms"])
    assert {candidate.check.id for candidate in advice.candidates} == {"coil_ohms", "fuse_ohms"}
    with pytest.raises(UnknownName):
        next_check(circuit.start(), allowed=["coil_homs"])


def test_without_any_check_left_measuring_stops() -> None:
    advice = next_check(circuit.start(), allowed=[])
    assert (advice.stop, advice.why, advice.check) == (True, NOTHING_LEFT, None)


def test_measuring_goes_on_as_long_as_a_wrong_repair_costs_more() -> None:
    """At 94 to 6, being wrong costs 0.06 of a wrong repair; the check costs 5 minutes."""
    belief = uneven(94.0)
    cheap = next_check(belief, by_hand(5.0 / 0.06 - 1.0))
    assert (cheap.stop, cheap.why) == (True, SURE)
    dear = next_check(belief, by_hand(5.0 / 0.06 + 1.0))
    assert not dear.stop
    assert dear.act_cost == pytest.approx(5.06, abs=0.01)
    assert dear.candidates[0].cost == pytest.approx(5.0, abs=1e-3)


def test_under_ninety_percent_nothing_is_advised_while_a_check_informs() -> None:
    belief = uneven(80.0)
    assert not next_check(belief, by_hand(26.0)).stop


def test_measuring_stops_when_settling_it_would_take_longer_than_a_wrong_repair() -> None:
    """At 70 to 30 a wrong repair of 16 minutes loses 4.8 on average, the check takes 5."""
    advice = next_check(uneven(70.0), by_hand(16.0))
    assert (advice.stop, advice.why) == (True, NOTHING_LEFT)


def test_where_the_likeliest_part_cannot_be_read_what_is_around_it_is_read_though_dear() -> None:
    """At 70 to 30 a wrong repair of 16 minutes loses less than the check around it takes."""
    part = suspect("a", 70.0, shown_by=("ohms",))
    own = yes_no("ohms", quantity="ohms", touches=("part a",), minutes=5.0)
    around = yes_no("around", minutes=5.0)
    belief = certain([part, suspect("b", 30.0)], [own, around], [[1, 1], [0, 0]])
    advice = next_check(belief, by_hand(16.0), allowed=["around"])
    assert (advice.stop, advice.check and advice.check.id) == (False, "around")
    without_own = certain([part, suspect("b", 30.0)], [around], [[1], [0]])
    assert next_check(without_own, by_hand(16.0)).why == NOTHING_LEFT


def test_a_wrong_repair_costs_the_way_back_at_least() -> None:
    """A disconnect pushed in for nothing is done in 10 minutes, yet the unit still stands."""
    push_back = suspect("a", 94.0, wrong_minutes=10.0)
    belief = certain([push_back, suspect("b", 6.0)], [yes_no("c", minutes=5.0)], [[0], [1]])
    assert next_check(belief).act_cost == pytest.approx(0.06 * 90.0, abs=0.01)
    assert not next_check(belief, PriceList(asking_minutes=NOT_ASKED)).stop


def test_two_checks_that_only_together_tell_are_made() -> None:
    """The answers to `one` and `other` say which suspect it is only by being alike or not."""
    half, sure = np.full((4, 2), 0.5), np.eye(2)
    paired = FaultTable(
        suspects=(suspect("alike"), suspect("unlike")),
        checks=(yes_no("one"), yes_no("other"), yes_no("idle")),
        suspect_of=np.array([0, 0, 1, 1]),
        reading=np.zeros((4, 3)),
        reading_sd=np.ones((4, 3)),
        choice_probability={0: sure[[0, 1, 0, 1]], 1: sure[[0, 1, 1, 0]], 2: half},
    )
    belief = Belief.start(paired)
    assert next_check(belief, look_ahead=False).why == NOTHING_LEFT
    first = chosen(belief)
    assert first in {"one", "other"}
    second = chosen(belief.observe(first, "yes"))
    assert {first, second} == {"one", "other"}


def test_no_check_is_wasted_on_what_the_same_repair_puts_right() -> None:
    """A blown coil and burnt contacts both take a new contactor: which of them does not matter."""
    suspects = [suspect("coil", repair="contactor"), suspect("contacts", repair="contactor")]
    belief = certain(suspects, [yes_no("which")], [[0], [1]])
    assert next_check(belief).stop
    assert next_check(belief).candidates[0].bits == pytest.approx(0.0, abs=1e-6)


def mean_checks(belief: Belief, outcomes: np.ndarray, weight: np.ndarray) -> float:
    """Of our own choice, over all suspects by weight."""
    total = 0.0
    for one, share in enumerate(weight / weight.sum()):
        at, made = belief, 0
        while (check := next_check(at, ONLY_CHECKS_COUNT).check) is not None:
            column = at.table.check_index(check.id)
            at, made = at.observe(check.id, check.choices[outcomes[one, column]]), made + 1
        assert at.best_repair()[0] == f"repair s{one}"
        total += share * made
    return total


def test_mean_checks_are_near_those_of_the_best_strategy() -> None:
    """At most 1.15 times the optimum on average, found by dynamic programming."""
    rng = np.random.default_rng(11)
    ratios = []
    for _ in range(6):
        outcomes = np.unique(rng.integers(0, 2, (7, 9)), axis=0)
        weight = rng.gamma(0.7, 1.0, len(outcomes)) + 0.01
        suspects = [suspect(f"s{n}", float(each)) for n, each in enumerate(weight)]
        belief = certain(suspects, [yes_no(f"c{n}") for n in range(9)], outcomes)
        ratios.append(mean_checks(belief, outcomes, weight) / fewest_checks(outcomes, weight))
    assert min(ratios) > 1.0 - 1e-6
    assert np.mean(ratios) < 1.15


def test_no_call_ends_among_many_faults_while_a_check_tells_them_apart() -> None:
    """An hour for a third of a bit is no fair rate, and the only way on."""
    many = [suspect(f"s{n}") for n in range(40)]
    dear = yes_no("dear", minutes=60.0)
    advice = next_check(certain(many, [dear], [[int(n < 2)] for n in range(40)]))
    assert (advice.stop, advice.check) == (False, dear)
    two = certain([suspect("a", 9.0), suspect("b", 1.0)], [dear], [[0], [1]])
    assert next_check(two).stop
