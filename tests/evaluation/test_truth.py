"""What is wrong with a simulated unit is drawn by weight, outside the table's particles."""

from __future__ import annotations

import numpy as np
import pytest
from tests.evaluation.benches import all_suspects, site

from rungwise.evaluation.truth import LINE_VOLTS, Truth, draw_truth
from rungwise.faults import SuspectSet
from rungwise.faults.suspect_set import HEALTHY
from rungwise.unit.unit_file import FIRST_ARRANGEMENTS, arrangement

UNIT = "two_pole_plain"


def drawn(count: int, suspects: SuspectSet) -> list[Truth]:
    return [draw_truth(suspects, np.random.default_rng([5, at])) for at in range(count)]


def only(**weights: float) -> SuspectSet:
    """A set whose suspects have these weights, all others none."""
    by_id = {name.replace("__", "."): weight for name, weight in weights.items()}
    return SuspectSet(
        arrangement(UNIT), {each.id: by_id.get(each.id, 0.0) for each in all_suspects(UNIT)}
    )


def test_a_call_never_has_nothing_wrong() -> None:
    suspects = only(nothing__found=1e6, fan__seized=1.0)
    assert HEALTHY in {each.id for each in suspects}
    assert {truth.suspect.id for truth in drawn(20, suspects)} == {"fan.seized"}


def test_suspects_are_drawn_by_their_weights() -> None:
    """3 to 1; the odds that a fair draw of 200 strays this far are under 1 in 10,000."""
    found = drawn(200, only(fan__seized=3.0, contactor__coil_open=1.0))
    seized = sum(truth.suspect.id == "fan.seized" for truth in found)
    assert 150 - 4 * np.sqrt(200 * 0.75 * 0.25) < seized < 150 + 4 * np.sqrt(200 * 0.75 * 0.25)


def test_the_supply_is_drawn_evenly_between_225_and_250_volts() -> None:
    volts = np.array([truth.line_volt for truth in drawn(100, only(fan__seized=1.0))])
    assert LINE_VOLTS == (225.0, 250.0)
    assert volts.min() >= 225.0
    assert volts.max() <= 250.0
    quarters, _ = np.histogram(volts, bins=4, range=LINE_VOLTS)
    assert (quarters > 10).all()


def test_half_of_the_line_volts_stand_on_each_leg() -> None:
    truth = site(UNIT, "fan.seized").truth
    assert truth.values[("service", "leg_volt")] == pytest.approx([0.5 * truth.line_volt])


def test_low_volts_are_low_against_the_drawn_supply() -> None:
    truth = site(UNIT, "service.low_volts").truth
    leg = float(truth.values[("service", "leg_volt")][0])
    assert 0.66 <= leg / (0.5 * truth.line_volt) <= 0.82


def test_severity_runs_over_its_whole_range_and_is_no_rank_of_the_table() -> None:
    suspects = only(whip_l1__high_resistance=1.0)
    ohms = [float(t.values[("whip_l1", "fault_ohm")][0]) for t in drawn(60, suspects)]
    (edit,) = suspects.suspect("whip_l1.high_resistance").edits
    assert edit.draw.low <= min(ohms) < 2 * edit.draw.low
    assert 0.5 * edit.draw.high < max(ohms) <= edit.draw.high
    table = suspects.particles(suspects.suspects, 48)[("whip_l1", "fault_ohm")]
    assert not set(ohms) & set(table.tolist())


def test_cause_and_effect_have_severities_of_their_own() -> None:
    suspects = only(**{"whip_l1__high_resistance>contactor__pole1_pitted": 1.0})
    pairs = [
        (t.values[("whip_l1", "fault_ohm")][0], t.values[("contactor", "contact1_ohm")][0])
        for t in drawn(40, suspects)
    ]
    joint, contact = np.argsort(np.argsort(np.log(np.array(pairs)), axis=0), axis=0).T
    assert abs(np.corrcoef(joint, contact)[0, 1]) < 0.5


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_every_spread_parameter_is_drawn_and_no_other(name: str) -> None:
    truth = draw_truth(all_suspects(name), np.random.default_rng(1))
    spread = {key for each in all_suspects(name).spreads for key, _ in each.keys}
    assert set(truth.values) == spread | {edit.key for edit in truth.suspect.edits}


def test_each_unit_has_strays_of_its_own_and_the_table_s_plan_keeps_its() -> None:
    suspects = all_suspects(UNIT)
    before = suspects.plan.stray_farad.copy()
    one, other = drawn(2, suspects)
    ratio = one.plan.stray_farad / other.plan.stray_farad
    assert len(np.unique(ratio.round(12))) == len(suspects.plan.nodes)
    assert (suspects.plan.stray_farad == before).all()


def test_a_truth_names_its_kind_and_its_severity() -> None:
    truth = site(UNIT, "capacitor.herm_weak").truth
    assert truth.kind == "dual_capacitor.herm_weak"
    assert truth.severity.startswith("capacitor.herm_uf=")
    assert truth.faulty_blocks == {"capacitor"}


def test_a_truth_that_is_no_part_of_the_circuit_names_its_kind_too() -> None:
    assert site(UNIT, "unit.frozen_coil").truth.kind == "unit.frozen_coil"
