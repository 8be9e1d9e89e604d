"""Suspects: complete, weighted as the trade says, and drawn with common luck."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from rungwise.circuit.condition import CALLING, STANDBY, Condition
from rungwise.circuit.netlist import Plan
from rungwise.circuit.operating_point import solve
from rungwise.errors import UnknownName
from rungwise.faults import RepairStep, SuspectSet, fault_steps, repair_steps
from rungwise.faults.suspect import repair_key, suspect_id
from rungwise.faults.suspect_set import HEALTHY
from rungwise.faults.weights import is_field_wire
from rungwise.unit.unit_file import FIRST_ARRANGEMENTS, arrangement


@pytest.fixture(scope="module", params=FIRST_ARRANGEMENTS)
def suspects(request: pytest.FixtureRequest) -> SuspectSet:
    return SuspectSet(arrangement(request.param))


@pytest.fixture(scope="module")
def plain() -> SuspectSet:
    return SuspectSet(arrangement("one_pole_heater"))


def test_every_mode_of_every_part_is_a_suspect(suspects: SuspectSet) -> None:
    names = {suspect.id for suspect in suspects}
    for part in suspects.unit.parts:
        for mode in suspects.unit.kind_of(part.name).modes:
            assert f"{part.name}.{mode.name}" in names


def test_every_field_wire_may_be_open_or_have_a_bad_joint(suspects: SuspectSet) -> None:
    names = {suspect.id for suspect in suspects}
    for wire in filter(is_field_wire, suspects.unit.wires):
        assert {f"{wire.name}.open", f"{wire.name}.high_resistance"} <= names


@pytest.mark.parametrize(
    ("suspect", "weight"),
    [
        ("capacitor.herm_weak", 120.0),
        ("capacitor.herm_open", 70.0),
        ("contactor.coil_open", 22.0),
        ("contactor.blocked", 22.0),
        ("float_switch.open", 50.0),
        ("compressor.seized", 25.0),
        ("thermostat.setting", 30.0),
    ],
)
def test_start_weights_are_the_trade_s(plain: SuspectSet, suspect: str, weight: float) -> None:
    """Common practice, from experience, no source (the trade's start weights)."""
    assert plain.suspect(suspect).weight == weight


def test_bad_joints_share_their_weight_over_all_wires(suspects: SuspectSet) -> None:
    """60 parts per thousand over all joints, whatever the arrangement (common practice)."""
    shared = [s.weight for s in suspects if s.mode == "high_resistance"]
    assert sum(shared) == pytest.approx(60.0)


def test_a_shop_s_own_weights_replace_the_start_weights() -> None:
    own = SuspectSet(arrangement("two_pole_plain"), {"fan.seized": 7.0, "contactor.blocked": 0.0})
    assert own.suspect("fan.seized").weight == 7.0
    with pytest.raises(UnknownName):
        own.suspect("contactor.blocked")


def test_an_unknown_suspect_is_refused_with_what_was_meant(plain: SuspectSet) -> None:
    with pytest.raises(UnknownName, match="no such suspect") as refused:
        plain.suspect("contactor.coil_opn")
    assert "contactor.coil_open" in refused.value.matches


def test_particles_of_two_suspects_differ_only_by_the_fault(plain: SuspectSet) -> None:
    weak, healthy = plain.suspect("capacitor.herm_weak"), plain.suspect(HEALTHY)
    values = plain.particles([weak, healthy], 16, seed=3)
    edited = {edit.key for edit in weak.edits}
    for key, column in values.items():
        if key not in edited:
            np.testing.assert_array_equal(column[:16], column[16:])
    share = values[("capacitor", "herm_uf")][:16] / values[("capacitor", "herm_uf")][16:]
    assert share.min() >= 0.30
    assert share.max() <= 0.88
    assert len(set(share.round(9))) == 16


def test_the_same_seed_draws_the_same_particles(plain: SuspectSet) -> None:
    first, again = (plain.particles([plain.suspect("fan.seized")], 8, seed=5) for _ in range(2))
    assert first.keys() == again.keys()
    for key, column in first.items():
        np.testing.assert_array_equal(column, again[key])


def test_extra_wires_for_wrong_places_change_nothing_until_used(suspects: SuspectSet) -> None:
    """The plan with its open alternate wires solves to the unit's own volts."""
    own = Plan(suspects.unit)
    for condition in (CALLING, STANDBY):
        with_extra = solve(suspects.plan, condition)
        without = solve(own, condition)
        for node in own.nodes:
            gap = with_extra.volt(node, "@earth") - without.volt(node, "@earth")
            assert abs(gap[0]) < 1e-3


def test_swapped_wires_change_what_the_circuit_does(plain: SuspectSet) -> None:
    """HERM and FAN swapped at the capacitor: the compressor gets 5 µF and does not start."""
    swapped = plain.typical(plain.suspect("capacitor.swapped_herm_fan"))
    solution = solve(plain.plan, CALLING, swapped)
    assert solution.state(("compressor", "slip"))[0] == 1.0
    assert solve(plain.plan, CALLING).state(("compressor", "slip"))[0] < 0.1


def test_a_pair_is_its_cause_with_its_effect(plain: SuspectSet) -> None:
    pair = plain.suspect("compressor.earthed>outdoor_breaker.tripped")
    cause, effect = (plain.suspect(name) for name in pair.id.split(">"))
    assert pair.edits == (*cause.edits, *effect.edits)
    assert pair.repair == cause.repair
    assert pair.repair_text.startswith(f"{cause.repair_text}; then: reset")
    assert pair.effect
    assert not pair.is_effect


def test_a_rubbed_control_wire_is_a_suspect_only_where_c_is_bonded() -> None:
    """Without a bond from C to the cabinet a rub-through is no short."""
    bonded = {s.id for s in SuspectSet(arrangement("one_pole_heater"))}
    floating = {s.id for s in SuspectSet(arrangement("two_pole_plain"))}
    assert "y_field.rubbed" in bonded
    assert "y_field.rubbed" not in floating


def test_every_part_wire_and_supply_has_an_unknown_way(suspects: SuspectSet) -> None:
    """Another fault here (de Kleer & Williams 1989), a few per cent of all in sum."""
    blocks = {suspect.block for suspect in suspects if not suspect.known}
    assert {wire.name for wire in filter(is_field_wire, suspects.unit.wires)} <= blocks
    assert {part.name for part in suspects.unit.parts_of_kind("service", "contactor_1p")} <= blocks
    share = sum(s.weight for s in suspects if not s.known) / sum(s.weight for s in suspects)
    assert 0.01 < share < 0.05


def test_an_unknown_way_is_the_same_answer_as_the_parts_listed_ones(suspects: SuspectSet) -> None:
    listed = {suspect.repair for suspect in suspects if suspect.known}
    assert all(suspect.repair in listed for suspect in suspects if not suspect.known)


def test_few_enough_unknowns_are_learned_in_a_call(suspects: SuspectSet) -> None:
    """Each is one more column of every slope; the house's three loads are among them."""
    assert len(suspects.learned) <= 40


CAUSES = ("compressor.earthed", "fan.earthed", "whip_l1.rubbed", "comp_c.rubbed")


@pytest.mark.parametrize("cause", CAUSES)
def test_what_trips_a_breaker_stands_beside_it_with_its_own_repair(
    plain: SuspectSet, cause: str
) -> None:
    """Never end at an effect: a reset is not the answer while an earthed winding may be there."""
    pair = plain.suspect(f"{cause}>outdoor_breaker.tripped")
    assert pair.repair == plain.suspect(cause).repair
    assert not pair.is_effect
    assert plain.suspect("outdoor_breaker.tripped").is_effect
    dead = solve(plain.plan, CALLING, plain.typical(pair))
    assert abs(dead.volt("contactor.L1", "contactor.L2")[0]) < 0.1


def test_a_fuse_ahead_of_the_fault_blows_on_its_own_pole_and_spares_the_breaker() -> None:
    fused = {s.id for s in SuspectSet(arrangement("hard_start_delay"))}
    assert {"comp_r.rubbed>disconnect.pole1_open", "comp_c.rubbed>disconnect.pole2_open"} <= fused
    assert not any(name.endswith(">outdoor_breaker.tripped") for name in fused)


def test_a_shorted_blower_trips_the_indoor_breaker(suspects: SuspectSet) -> None:
    names = {suspect.id for suspect in suspects}
    assert "blower.earthed>indoor_breaker.tripped" in names
    assert "blower.earthed>outdoor_breaker.tripped" not in names


MIXED_UP = [
    ("board.y_float_on_c", "board.R", 26.0, 0.0),  # both coil leads on C: silent, nothing blown
    ("board.y_stat_on_c", "board.R", 0.0, 0.0),  # R to C through the thermostat: the fuse blows
    ("contactor.y_coil_on_coil2", "board.R", 0.0, 0.0),
    ("board.y_stat_on_g", "board.R", 26.0, 0.0),
]


@pytest.mark.parametrize(("name", "point", "r_volt", "coil_volt"), MIXED_UP)
def test_a_control_wire_on_the_wrong_screw_does_what_a_technician_would_meet(
    plain: SuspectSet, name: str, point: str, r_volt: float, coil_volt: float
) -> None:
    """Textbook: a coil with both ends on C has no volts; R on C blows the 3 A fuse."""
    solved = solve(plain.plan, CALLING, plain.typical(plain.suspect(name)))
    assert abs(solved.volt(point, "board.C")[0]) == pytest.approx(r_volt, abs=2.0)
    across = solved.volt("contactor.coil1", "contactor.coil2")
    assert abs(across[0]) == pytest.approx(coil_volt, abs=1.0)


def test_y_landed_on_r_runs_without_a_call_while_the_blower_does(plain: SuspectSet) -> None:
    """Without indoor air it runs too, until the low-pressure switch opens."""
    values = plain.typical(plain.suspect("board.y_float_on_r"))
    fan_only = solve(plain.plan, Condition("fan", "fan"), values)
    assert fan_only.state(("compressor", "slip"))[0] < 0.1
    assert solve(plain.plan, Condition("fan", "fan")).state(("compressor", "slip"))[0] == 1.0


def test_a_mixed_up_wire_is_seen_by_whoever_compares_with_the_diagram(
    suspects: SuspectSet,
) -> None:
    for suspect in suspects:
        if suspect.mode == "swapped":
            assert suspect.signs["wrong_place"] > 0.5
            assert suspect.shown_by == {"look:wires"}


def test_a_lost_neutral_pulls_the_legs_apart_by_the_loads_on_them(plain: SuspectSet) -> None:
    """Two loads in series on 240 V share it by their ohms: with 20 and 60 Ω, 60 and 180 V."""
    loads = {
        ("service", "neutral_lost"): np.asarray(1.0),
        ("service", "earthing_ohm"): np.asarray(1e6),  # ground rods carry none of it
        ("service", "house_l1_ohm"): np.asarray(20.0),
        ("service", "house_l2_ohm"): np.asarray(60.0),
        ("indoor_breaker", "held_open"): np.asarray(1.0),
    }
    solved = solve(plain.plan, STANDBY, loads)
    legs = [abs(solved.volt(f"service.{leg}", "service.N")[0]) for leg in ("L1", "L2")]
    assert legs == pytest.approx([60.0, 180.0], rel=0.01)
    assert abs(solved.volt("service.L1", "service.L2")[0]) == pytest.approx(240.0, rel=0.01)


def test_two_phases_of_a_208_volt_wye_are_120_to_the_neutral(plain: SuspectSet) -> None:
    """208Y/120: 120 V times the root of 3 between two phases (textbook)."""
    solved = solve(plain.plan, STANDBY, {("service", "apart_deg"): np.asarray(120.0)})
    assert abs(solved.volt("service.L1", "service.L2")[0]) == pytest.approx(120 * 3**0.5, rel=0.005)
    for leg in ("L1", "L2"):
        assert abs(solved.volt(f"service.{leg}", "service.N")[0]) == pytest.approx(120.0, rel=0.005)


def test_a_contactor_may_chatter_at_good_volts(plain: SuspectSet) -> None:
    solved = solve(plain.plan, CALLING, plain.typical(plain.suspect("contactor.chatters")))
    assert solved.chatter[("contactor", "attracted")][0]
    assert abs(solved.volt("contactor.coil1", "contactor.coil2")[0]) > 24.0


def test_a_coil_for_120_or_240_volts_hums_at_most_on_24(plain: SuspectSet) -> None:
    wrong = plain.suspect("contactor.coil_wrong_volts")
    for severity in (0.0, 1.0):
        solved = solve(plain.plan, CALLING, plain.typical(wrong, severity))
        assert solved.state(("contactor", "attracted"))[0] == 0.0


def test_a_transformer_on_its_208_volt_tap_reads_about_31_volts(plain: SuspectSet) -> None:
    """240/208 of the 27 V that this one gives on its right tap (the ratio of its turns)."""
    solved = solve(plain.plan, CALLING, plain.typical(plain.suspect("transformer.tap_low")))
    usual = abs(solve(plain.plan, CALLING).volt("board.R", "board.C")[0])
    assert abs(solved.volt("board.R", "board.C")[0]) == pytest.approx(usual * 240 / 208, rel=0.02)


def test_a_repair_of_two_works_is_two_and_a_pair_of_conductors_is_one() -> None:
    one, other = RepairStep("whip_l1", "remake"), RepairStep("contactor", "replace")
    assert repair_steps("whip_l1:remake+contactor:replace") == (one, other)
    assert repair_steps("y_field+c_field:separate") == (RepairStep("y_field+c_field", "separate"),)


def test_the_id_and_the_repair_of_every_suspect_read_back_as_its_steps(
    suspects: SuspectSet,
) -> None:
    blocks = {each.name for each in suspects.unit.blocks()} | {"unit"}
    for each in (it for it in suspects if it.id != HEALTHY):
        steps, works = fault_steps(each.id), repair_steps(each.repair)
        assert suspect_id(*steps) == each.id
        assert repair_key(*works) == each.repair
        assert (steps[0].block, len(steps)) == (each.block, 1 + bool(each.cause_of))
        assert {step.block for step in steps} | {work.block for work in works} <= blocks


def test_every_fault_of_a_part_with_a_name_of_its_own_is_told_by_it(suspects: SuspectSet) -> None:
    unit = suspects.unit
    parts = tuple(replace(part, label=f"{part.name} of ours") for part in unit.parts)
    named = SuspectSet(replace(unit, parts=parts))
    for part in parts:
        for mode in unit.kind_of(part.name).modes:
            title = named.suspect(f"{part.name}.{mode.name}").title
            assert part.label in title
