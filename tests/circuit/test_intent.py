"""A unit is compared with what its arrangement means it to do."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rungwise.circuit.condition import COLD_STANDBY
from rungwise.circuit.design_check import intended, shortfalls
from rungwise.circuit.netlist import Plan
from rungwise.circuit.states_of_loads import usual_states
from rungwise.files.document import Document
from rungwise.parts.load import Does
from rungwise.unit.unit import Unit
from rungwise.unit.unit_file import FIRST_ARRANGEMENTS, arrangement, unit_from


def unit(text: str) -> Unit:
    return unit_from(Document(text, file="unit.toml"), name="unit")


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_every_load_runs_on_a_call_and_only_heaters_heat_without_one(name: str) -> None:
    does = {
        (each.condition, each.part): each.does for each in usual_states(Plan(arrangement(name)))
    }
    motors = {
        part.name for part in arrangement(name).parts if part.kind in ("compressor", "fan_motor")
    }
    assert {does["calling", part] for part in motors} == {Does.RUNS}
    assert {does["standby", part] for part in motors} == {Does.OFF}
    if ("calling", "heater") in does:
        assert does["calling", "heater"] == Does.OFF
        assert does[COLD_STANDBY.name, "heater"] == Does.HEATS


def test_the_heater_takes_its_rated_watts_through_the_open_pole() -> None:
    """70 W rated, and the run winding in series takes next to nothing of it."""
    (heater,) = (
        each
        for each in usual_states(Plan(arrangement("one_pole_heater")))
        if (each.condition, each.part) == ("standby", "heater")
    )
    assert heater.watt == pytest.approx(70.0, rel=0.02)


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_an_arrangement_falls_short_of_nothing(name: str) -> None:
    assert shortfalls(arrangement(name)) == ()


def test_a_nameplate_alone_makes_no_shortfall() -> None:
    made = unit('arrangement = "one_pole_heater"\n[nameplate]\nheater_w = "100 W"\n')
    assert shortfalls(made) == ()
    assert intended(made).part("heater").values["watt"] == 100.0


def test_a_two_pole_swap_is_named_as_what_took_the_heater() -> None:
    made = unit('arrangement = "one_pole_heater"\n[parts.contactor]\nkind = "contactor_2p"\n')
    (short,) = shortfalls(made)
    assert short.remedies == ("a one-pole contactor in place of the two-pole contactor",)
    assert "is off (0 W)" in short.line()
    assert f"it heats ({short.intended.watt:.0f} W)" in short.line()
    assert "it heats again" in short.line()


def test_a_two_pole_swap_takes_nothing_where_the_heater_needs_no_bar() -> None:
    made = unit('arrangement = "heater_line_side"\n[parts.contactor]\nkind = "contactor_2p"\n')
    assert shortfalls(made) == ()


def test_a_wire_left_off_is_named() -> None:
    base = arrangement("one_pole_heater")
    wires = tuple(wire for wire in base.wires if wire.name != "heater_load")
    (short,) = shortfalls(replace(base, wires=wires))
    assert short.remedies == (
        "the orange wire from one-pole contactor T1 to crankcase heater 2 put back",
    )


def test_a_moved_wire_is_named() -> None:
    made = unit(
        'arrangement = "one_pole_heater"\n'
        '[[wires]]\nname = "heater_load"\nfrom = "contactor.L1"\nto = "heater.2"\n'
    )
    (short,) = shortfalls(made)
    text = "the orange wire from one-pole contactor L1 to crankcase heater 2 moved to one-pole "
    assert short.remedies == (f"{text}contactor T1 and crankcase heater 2",)


def test_two_differences_of_which_neither_alone_helps_are_not_blamed() -> None:
    """With a two-pole contactor and a wire off, one change back still leaves the heater cold."""
    base = unit('arrangement = "one_pole_heater"\n[parts.contactor]\nkind = "contactor_2p"\n')
    wires = tuple(wire for wire in base.wires if wire.name != "heater_load")
    (short,) = shortfalls(replace(base, wires=wires))
    assert short.remedies == ()
    assert short.line().endswith(f"it heats ({short.intended.watt:.0f} W).")


def test_a_unit_of_no_arrangement_is_compared_with_nothing() -> None:
    assert shortfalls(replace(arrangement("one_pole_heater"), arrangement="")) == ()
