"""Marks read off the solved circuit: what is live, what is so by a leftover path, what runs."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rungwise.circuit.condition import CALLING, STANDBY
from rungwise.drawing import Marks, marks_of
from rungwise.unit.unit_file import FIRST_ARRANGEMENTS, arrangement


def of_part(terminals: frozenset[str], part: str) -> set[str]:
    return {each.partition(".")[2] for each in terminals if each.startswith(f"{part}.")}


def test_the_load_side_of_an_open_one_pole_contactor_is_live_by_leftover_paths() -> None:
    """T2 through the bar, T1 through the heater and the windings (common practice, no source)."""
    marks = marks_of(arrangement("one_pole_heater"), STANDBY)
    assert of_part(marks.energised, "contactor") == {"L1", "L2"}
    assert of_part(marks.leftover, "contactor") == {"T1", "T2"}
    assert of_part(marks.leftover, "compressor") == {"C", "R", "S"}
    assert "heater" in marks.running


def test_without_a_heater_two_open_poles_leave_nothing_live() -> None:
    marks = marks_of(arrangement("two_pole_plain"), STANDBY)
    assert of_part(marks.energised, "contactor") == {"L1", "L2"}
    assert marks.leftover == frozenset()


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_on_a_call_the_load_side_is_energised_and_motors_run(name: str) -> None:
    marks = marks_of(arrangement(name), CALLING)
    assert of_part(marks.energised, "contactor") == {"L1", "T1", "L2", "T2", "coil1"}
    assert {"compressor", "fan", "blower", "contactor"} <= marks.running
    assert marks.closed["contactor.pole1"]
    assert marks.closed["contactor"]


def test_an_open_heater_thermostat_leaves_the_heater_live() -> None:
    marks = marks_of(arrangement("heater_line_side"), CALLING)
    assert marks.leftover == {"heater.1", "heater_stat.2"}
    assert marks.closed["heater_stat.contact"] is False


def test_an_open_disconnect_leaves_the_control_circuit_on() -> None:
    marks = marks_of(arrangement("one_pole_heater"), CALLING.opened("disconnect"))
    assert of_part(marks.energised | marks.leftover, "contactor") == {"coil1"}
    assert "contactor" in marks.running
    assert "compressor" not in marks.running


def test_one_leg_behind_a_failed_pole_is_live_through_the_windings() -> None:
    """A leg that hides: 0 V from leg to leg, 120 V to ground (common practice, no source)."""
    unit = arrangement("two_pole_plain")
    marks = marks_of(unit, CALLING, {("disconnect", "open1"): 1.0})
    assert "disconnect.load1" in marks.leftover
    assert "contactor.T1" in marks.leftover
    assert "contactor.T2" in marks.energised


def test_the_coil_is_not_live_behind_an_open_switch() -> None:
    marks = marks_of(arrangement("one_pole_heater"), CALLING.opened("float_switch"))
    assert "float_switch.1" in marks.energised
    assert "float_switch.2" not in marks.energised | marks.leftover
    assert "contactor.coil1" not in marks.energised | marks.leftover


def test_the_neutral_and_the_common_are_not_live() -> None:
    marks = marks_of(arrangement("hard_start_delay"), CALLING)
    live = marks.energised | marks.leftover
    assert not live & {"service.N", "neutral.N", "transformer.C", "board.C", "contactor.coil2"}


def test_a_wire_is_live_where_both_its_ends_are_so_alike() -> None:
    marks = Marks(energised=frozenset({"a.1", "b.1"}), leftover=frozenset({"c.1"}))
    assert marks.wire_volts("a.1", "b.1") == "live"
    assert marks.wire_volts("a.1", "c.1") == ""
    assert marks.wire_volts("c.1", "c.1") == "leftover"
    assert marks.wire_volts("a.1", "d.1") == ""


def test_a_suspected_pair_marks_both_of_its_wires() -> None:
    marks = Marks(suspected={"y_field+c_field": 0.3, "y_field": 0.1})
    assert (marks.belief("y_field"), marks.belief("c_field"), marks.belief("y")) == (0.3, 0.3, 0)


def test_a_contact_stands_as_its_element_before_its_part() -> None:
    marks = Marks(closed={"thermostat.y": True, "thermostat": False})
    assert marks.contact("thermostat", "y") is True
    assert marks.contact("thermostat", "g") is False
    assert marks.contact("relay", "contact") is None
    assert replace(marks, leads={"red": "a.1"}).lead_at("a.1") == "red"
