"""On a call for heat, what does nothing on it is there by chance only, and no part is hidden."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.diagnosis.small_tables import certain, suspect, yes_no

from rungwise.diagnosis import ON_CALL, ON_HEAT, Belief, CheckCard, Doubts, SuspectCard
from rungwise.diagnosis.season import THERE_BY_CHANCE, at_rest
from rungwise.faults import HEALTHY

GOOD = suspect(HEALTHY, 1.0, repair="nothing to do", part="unit")
CAPACITOR = suspect("weak", 50.0, part="capacitor", kind="dual_capacitor", place="outdoor")
COIL = suspect("coil", 4.0, part="contactor", kind="contactor_1p", place="outdoor")
ELEMENT = suspect("element", 5.0, part="element", kind="heating_element", place="indoor")
WARM = yes_no("warm air", condition=ON_HEAT, quantity="look:warm_air", touches=("element",))
STOPS = yes_no("idle", quantity="look:idle", touches=("contactor",))
COOLS = yes_no("cools", condition=ON_CALL, quantity="look:sound", touches=("compressor",))
BULGED = yes_no("bulged", quantity="look:bulged", touches=("capacitor",))
CHECKS = [WARM, STOPS, COOLS, BULGED]
READS = {HEALTHY: [1, 0, 1, 0], "weak": [1, 0, 0, 1], "coil": [1, 0, 0, 0], "element": [0, 0, 1, 0]}
SURE = Doubts(none_weight=0.1)


def belief_of(*more: SuspectCard, checks: list[CheckCard] = CHECKS) -> Belief:
    suspects = [GOOD, CAPACITOR, COIL, ELEMENT, *more]
    outcomes = [READS.get(each.id, READS[HEALTHY]) for each in suspects]
    return certain(suspects, checks, outcomes, SURE)


def test_what_reads_like_a_good_unit_on_a_call_for_heat_rests() -> None:
    table = belief_of().table
    rests = {each.id for each, at in zip(table.suspects, at_rest(table), strict=True) if at}
    assert rests == {"weak", "coil"}


def test_it_keeps_a_fiftieth_of_its_odds_and_all_that_is_listed_its_share() -> None:
    cold = belief_of().observe("warm air", "yes").by_suspect()
    assert cold["weak"] / cold[HEALTHY] == pytest.approx(50.0 * THERE_BY_CHANCE)
    assert cold["coil"] / cold["weak"] == pytest.approx(4.0 / 50.0)
    none = belief_of().observe("warm air", "yes").none_of_these
    assert sum(cold.values()) + none == pytest.approx(1.0)


def test_a_call_for_cooling_leaves_the_odds_as_they_are() -> None:
    warm = belief_of().observe("idle", "no").by_suspect()
    assert warm["weak"] / warm[HEALTHY] == pytest.approx(50.0)


def test_what_was_seen_to_run_on_does_not_rest() -> None:
    reads = {**READS, "coil": [1, 1, 0, 0], "weak": [1, 1, 0, 1], HEALTHY: [1, 1, 1, 0]}
    suspects = [GOOD, CAPACITOR, COIL, ELEMENT]
    begun = certain(suspects, CHECKS, [reads[each.id] for each in suspects], SURE)
    seen = begun.observe("warm air", "yes").observe("idle", "yes").by_suspect()
    assert seen["weak"] / seen[HEALTHY] == pytest.approx(50.0)


def test_a_part_that_was_read_bad_comes_back() -> None:
    belief = belief_of().observe("warm air", "yes").observe("bulged", "yes")
    assert next(iter(belief.by_suspect())) == "weak"


def test_nothing_rests_where_the_refrigerant_is_turned_round() -> None:
    valve = suspect("valve", part="valve", kind="reversing_valve_cooling", place="outdoor")
    table = belief_of(valve).table
    assert not at_rest(table).any()


def test_a_reading_that_moves_by_less_than_the_meters_error_is_no_act() -> None:
    amps = CheckCard("amps", "amps", unit="A", quantity="amps", condition=ON_HEAT, jaw="lead",
                     touches=("element",))  # fmt: skip
    table = belief_of().table
    checks = (*table.checks, amps)
    read = np.array([20.0, 20.4, 20.0, 15.0])[:, None]
    wider = replace(
        table, checks=checks, own=np.zeros((1, 5)), slope=np.zeros((1, 5, 0)),
        reading=np.concatenate([table.reading, read], axis=1),
        reading_sd=np.concatenate([table.reading_sd, np.full((4, 1), 0.5)], axis=1),
    )  # fmt: skip
    assert at_rest(wider).tolist() == [False, True, True, False]
