"""Suspects: complete, weighted as the trade says, and drawn with common luck."""

from __future__ import annotations

import numpy as np
import pytest

from rungwise.circuit.condition import CALLING, STANDBY
from rungwise.circuit.plan import Plan
from rungwise.circuit.settle import solve
from rungwise.errors import UnknownName
from rungwise.suspects import SuspectSet
from rungwise.suspects.suspect_set import HEALTHY
from rungwise.suspects.weights import is_field_wire
from rungwise.unit.unit_file import ARRANGEMENTS, arrangement


@pytest.fixture(scope="module", params=ARRANGEMENTS)
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
        ("float_switch.open", 55.0),
        ("compressor.seized", 25.0),
        ("thermostat.not_calling", 50.0),
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
    assert share.min() >= 0.40
    assert share.max() <= 0.85
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
    pair = plain.suspect("capacitor.fan_open>compressor.overload_open")
    cause, effect = (plain.suspect(name) for name in pair.id.split(">"))
    assert pair.edits == (*cause.edits, *effect.edits)
    assert pair.repair == cause.repair
    assert effect.repair_text in pair.repair_text
    assert pair.effect


def test_a_rubbed_control_wire_is_a_suspect_only_where_c_is_bonded() -> None:
    """Without a bond from C to the cabinet a rub-through is no short."""
    bonded = {s.id for s in SuspectSet(arrangement("one_pole_heater"))}
    floating = {s.id for s in SuspectSet(arrangement("two_pole_plain"))}
    assert "y_field.rubbed" in bonded
    assert "y_field.rubbed" not in floating
