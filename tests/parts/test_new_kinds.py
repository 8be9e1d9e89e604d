"""A kind that is one file and a few lines of data is known to every room."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
import pytest

from rungwise.circuit.condition import CALLING, STANDBY
from rungwise.circuit.netlist import Plan
from rungwise.circuit.ngspice import run_many
from rungwise.circuit.operating_point import solve
from rungwise.circuit.spice import netlists
from rungwise.circuit.spice_names import names_of
from rungwise.circuit.states_of_loads import loads_of
from rungwise.diagnosis.checks import checks_of
from rungwise.drawing import ladder, panel
from rungwise.faults import SuspectSet
from rungwise.isolation import isolate
from rungwise.unit.unit import Unit
from rungwise.unit.unit_file import arrangement, read_unit

UNITS = Path(__file__).parent / "units"


@cache
def unit(name: str) -> Unit:
    return read_unit(UNITS / f"{name}.toml")


def ids(of: Unit) -> set[str]:
    return {check.card.id for check in checks_of(of)}


def does(of: Unit, fault: str = "") -> dict[str, str]:
    suspects = SuspectSet(of)
    values = suspects.typical(suspects.suspect(fault)) if fault else {}
    told: dict[str, str] = {}
    for condition in (CALLING, STANDBY):
        solved = solve(suspects.plan, condition, {k: np.atleast_1d(v) for k, v in values.items()})
        told |= {f"{condition.name} {each.part}": each.does.words for each in loads_of(solved)}
    return told


def test_a_third_pole_loses_no_check_and_no_suspect_and_adds_its_own() -> None:
    plain, three = arrangement("two_pole_plain"), unit("three_pole_contactor")
    assert ids(plain) < ids(three)
    assert {"drop-contactor-L3-T3", "ohms-contactor-T1-T3"} <= ids(three) - ids(plain)
    suspects = {each.id for each in SuspectSet(three)}
    assert {each.id for each in SuspectSet(plain)} < suspects
    assert {"contactor.pole3_pitted", "contactor.pole3_open"} <= suspects
    assert three.roles.contactors == ("contactor",)
    assert does(three) == does(plain)


@pytest.mark.parametrize("name", ["three_pole_contactor", "electronic_blower"])
@pytest.mark.parametrize("scope", ["cabinet", "indoor", "everything"])
def test_a_new_kind_is_made_dead(name: str, scope: str) -> None:
    plan = isolate(unit(name), scope=scope)
    assert plan.refusals == ()
    assert plan.steps


@pytest.mark.parametrize("name", ["three_pole_contactor", "electronic_blower"])
def test_a_new_kind_is_drawn_in_both_pictures(name: str) -> None:
    for picture in (ladder(unit(name)), panel(unit(name)), panel(unit(name), place="indoor")):
        assert "<svg" in picture.svg
    title = {"three_pole_contactor": "contactor", "electronic_blower": "blower"}[name]
    assert title in ladder(unit(name)).svg


def test_an_electronic_blower_turns_by_its_signal_and_stands_on_line_volts_alone() -> None:
    blower = unit("electronic_blower")
    assert blower.roles.indoor_blowers == ("blower",)
    told = does(blower)
    assert (told["calling blower"], told["standby blower"]) == ("runs", "is off")
    plan = Plan(blower)
    rest, call = solve(plan, STANDBY), solve(plan, CALLING)
    line = ("blower.L", "blower.N")
    assert abs(np.ravel(np.abs(rest.volt(*line)))[0] - 120.0) < 12.0
    # Power balance of the black box: at its rated volts it draws what such motors usually draw of
    # the watts on their plate, which are a ceiling.
    share = plan.blocks["blower"].kind.parameter("plate_share").default
    volt = np.ravel(np.abs(call.volt(*line)))[0]
    watt = np.ravel(call.element_watt(("blower", "drive")))[0]
    assert 0.5 < share < 1.0
    assert watt == pytest.approx(share * 350.0 * (volt / 120.0) ** 2, rel=1e-6)


@pytest.mark.parametrize("fault", ["module_dead", "seized", "signal_open"])
def test_each_of_its_faults_stops_the_air_and_the_terminals_tell_them_apart(fault: str) -> None:
    blower = unit("electronic_blower")
    assert does(blower, f"blower.{fault}")["calling blower"] == "is off"
    read = {check.card.id: check.card for check in checks_of(blower)}
    assert {"volts-blower-L-N", "idle-volts-blower-L-N", "volts-blower-signal-common"} <= set(read)
    assert not [name for name in read if name.startswith(("ohms-blower", "insulation-blower"))]


@pytest.mark.parametrize("name", ["three_pole_contactor", "electronic_blower"])
def test_ngspice_finds_the_same_volts_with_each_fault_of_the_new_kind(name: str) -> None:
    """Within 0.1% or 1 mV, as for every arrangement (tests/circuit/test_against_ngspice)."""
    suspects = SuspectSet(unit(name))
    part = {"three_pole_contactor": "contactor", "electronic_blower": "blower"}[name]
    chosen = [each for each in suspects if each.block == part and ">" not in each.id]
    assert len(chosen) > 4
    values = {key: drawn.copy() for key, drawn in suspects.particles(chosen, 1).items()}
    solved = solve(suspects.plan, CALLING, values, len(chosen))
    names = names_of(suspects.plan).node
    found = run_many(netlists(solved))
    for node, ours in zip(names, solved.volts[:-1], strict=True):
        theirs = np.array([each.volts[node] for each in found])
        assert np.allclose(ours, theirs, rtol=1e-3, atol=1e-3), node


def test_its_charge_is_told_though_no_lead_reaches_it() -> None:
    plan = isolate(unit("electronic_blower"), scope="indoor")
    (told,) = [each for each in plan.cautions if "no lead reaches it" in each.text]
    assert told.signal == "WARNING"
    assert "170 V DC" in told.text  # 120 V · √2, and no less
    assert "5 minutes" in told.text
    assert not [each for each in isolate(arrangement("two_pole_plain")).cautions
                if "no lead reaches it" in each.text]  # fmt: skip
