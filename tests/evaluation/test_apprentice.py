"""A practice unit hides a fault, reads the same every time, and its score can be recounted."""

from __future__ import annotations

from collections import Counter

import pytest
from tests.evaluation.benches import all_checks, all_suspects
from tests.tables import solved

from rungwise.diagnosis import Belief
from rungwise.diagnosis.fault_table import FaultTable
from rungwise.diagnosis.look_card import LOOKING
from rungwise.diagnosis.prices import PriceList
from rungwise.evaluation.apprentice import HiddenUnit, LevelName, draw_fault
from rungwise.evaluation.lesson import Done, lesson_of, minutes_of, on_live_parts
from rungwise.unit.unit_file import arrangement

NAME = "two_pole_plain"
UNIT = arrangement(NAME)
CHECKS = all_checks(NAME)


def hidden(fault: str, seed: int = 4) -> HiddenUnit:
    return HiddenUnit(UNIT, fault, seed, CHECKS)


@pytest.fixture(scope="module")
def table() -> FaultTable:
    return solved(UNIT, particles=2)


def faults(level: LevelName, many: int) -> list[str]:
    return [draw_fault(all_suspects(NAME), level, seed) for seed in range(many)]


def test_the_same_seed_hides_the_same_fault_in_the_same_specimen() -> None:
    assert faults("any", 5) == faults("any", 5)
    one, other = hidden("capacitor.herm_weak"), hidden("capacitor.herm_weak")
    assert one.truth.severity == other.truth.severity
    for check in ("volts-coil", "uf-capacitor-HERM-C", "look-fan"):
        assert one.take(check) == other.take(check)
    assert hidden("capacitor.herm_weak", 5).truth.severity != one.truth.severity


def test_faults_are_drawn_by_their_weights() -> None:
    """The shares of three sorts of part, each within 4 standard errors of 60 draws."""
    drawn = Counter(each.partition(".")[0] for each in faults("any", 60))
    suspects = [each for each in all_suspects(NAME) if each.block != "unit"]
    whole = sum(each.weight for each in suspects)
    for part in ("capacitor", "contactor", "fan"):
        share = sum(each.weight for each in suspects if each.block == part) / whole
        assert drawn[part] == pytest.approx(60 * share, abs=4 * (60 * share * (1 - share)) ** 0.5)


def test_levels_hide_what_they_say() -> None:
    parts = {part.name for part in UNIT.parts}
    for fault in faults("plain", 15):
        suspect = all_suspects(NAME).suspect(fault)
        assert suspect.block in parts
        assert not suspect.effect
    for fault in faults("deep", 15):
        suspect = all_suspects(NAME).suspect(fault)
        assert suspect.effect or suspect.mode == "swapped" or suspect.block not in parts


def test_a_meter_reads_the_hidden_fault() -> None:
    """A weak capacitor reads what was drawn, within its meter's 2% and some digits."""
    unit = hidden("capacitor.herm_weak")
    truly = unit.truth.values[("capacitor", "herm_uf")][0]
    assert unit.take("uf-capacitor-HERM-C") == pytest.approx(truly, rel=0.1)


def test_naming_the_one_part_is_enough_and_a_good_part_is_wrong() -> None:
    unit = hidden("capacitor.herm_open")
    assert unit.judge("capacitor", "").kind == "whole"
    assert unit.judge("contactor", "").wrong == ("contactor",)
    assert unit.judge("capacitor", "contactor").wrong == ("contactor",)
    assert unit.judge("", "").kind == "wrong"


def test_what_the_fault_itself_opens_is_half_of_the_answer_and_its_cause_the_whole() -> None:
    """A Y wire that touches C blows the low-voltage fuse; the fuse alone is not what is wrong."""
    unit = hidden("y_field+c_field.shorted")
    assert unit.followed() == {"lv_fuse"}
    assert unit.judge("lv_fuse", "").kind == "part"
    assert unit.judge("lv_fuse", "y_field+c_field").kind == "whole"
    assert unit.judge("y_field").kind == "whole"


def test_of_a_fault_that_made_a_second_both_must_be_named() -> None:
    unit = hidden("fan.seized>compressor.overload_open")
    assert unit.judge("fan").kind == unit.judge("compressor").kind == "part"
    assert unit.judge("compressor", "fan").kind == "whole"


def test_minutes_count_each_change_of_condition_once() -> None:
    """Making dead once and giving power back once; a look between changes nothing."""
    cards = [each.card for each in CHECKS.values() if each.card.instrument]
    dead = [card for card in cards if card.condition == "power off, verified"]
    live = next(card for card in cards if on_live_parts(card))
    look = next(each.card for each in CHECKS.values() if each.card.condition == LOOKING)
    made, prices = [dead[0], look, dead[1], live], PriceList()
    changes = prices.dead_minutes + prices.condition_change_minutes
    assert minutes_of(made) == pytest.approx(sum(card.minutes for card in made) + changes)


def test_bits_won_add_up_to_what_became_known_of_the_hidden_fault(table: FaultTable) -> None:
    """log2 p(after all) - log2 p(after the symptoms) is the sum over the checks."""
    unit = hidden("capacitor.herm_open")
    checks = ("volts-coil", "uf-capacitor-HERM-C", "look-capacitor-bulged")
    start = Belief.start(table)
    told = lesson_of(start, unit.truth, unit.take, Done(checks, 0, 0, found=True))
    after = start
    told_first = ("look-fan", "look-compressor", "look-blower", "look-contactor-quiet", "look-idle")
    for check in (*told_first, *checks):
        after = after.observe(check, unit.take(check))
    known = after.by_repair()[unit.truth.suspect.repair]
    won = sum(each.won_bits for each in told.steps)
    assert 2.0 ** (won - told.open_bits) == pytest.approx(known)
    assert won > 0.0


def test_the_tool_s_own_way_scores_full_points_and_each_slip_costs(table: FaultTable) -> None:
    unit = hidden("capacitor.herm_open")
    start = Belief.start(table)

    def told(*more: str, **slips: int) -> float:
        done = Done((*way, *more), slips.get("wrong", 0), slips.get("helps", 0), found=True)
        return lesson_of(start, unit.truth, unit.take, done).score

    way: tuple[str, ...] = ()
    first = lesson_of(start, unit.truth, unit.take, Done((), 0, 0, found=True))
    way = tuple(each.check for each in first.tool.steps)
    assert told() == 100.0
    assert told(wrong=1) == 85.0
    assert told(helps=2) == 90.0
    assert told("ohms-coil") < 97.0


def test_a_score_is_never_below_nothing(table: FaultTable) -> None:
    unit = hidden("capacitor.herm_open")
    done = Done((), 9, 9, found=False)
    told = lesson_of(Belief.start(table), unit.truth, unit.take, done)
    assert sum(each.points for each in told.points) < 0.0
    assert told.score == 0.0
