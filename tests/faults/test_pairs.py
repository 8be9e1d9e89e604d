"""A fault that brings a second one about: found by the circuit, whatever the parts are called."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest
from tests.unit.test_roles import renamed

import rungwise.faults
from rungwise.faults import SuspectSet
from rungwise.parts import KINDS
from rungwise.unit.unit_file import arrangement

NAMES = ("one_pole_heater", "two_pole_plain", "hard_start_delay", "heater_line_side")


def pairs(name: str) -> set[str]:
    return {suspect.id for suspect in SuspectSet(arrangement(name)) if ">" in suspect.id}


@pytest.mark.parametrize("name", NAMES)
def test_a_fan_that_stands_and_a_section_open_to_it_open_the_overload(name: str) -> None:
    for cause in ("fan.seized", "fan.s_open", "capacitor.fan_open"):
        assert f"{cause}>compressor.overload_open" in pairs(name)
    overheated = {p for p in pairs(name) if p.endswith(">compressor.overload_open")}
    assert not {p for p in overheated if p.startswith("blower")}


@pytest.mark.parametrize("name", NAMES)
def test_a_run_section_gone_opens_the_overload_of_a_compressor_that_a_kit_keeps_going(
    name: str,
) -> None:
    """Without a kit it does not start, and the circuit opens the overload by itself."""
    gone = {p.partition(">")[0] for p in pairs(name) if p.startswith("capacitor.herm")}
    kept = {f"capacitor.herm_{way}" for way in ("weak", "spent", "open")}
    assert gone & kept == (kept if name == "hard_start_delay" else set())


def test_the_share_found_so_is_taken_from_the_section_alone() -> None:
    suspects = {each.id: each for each in SuspectSet(arrangement("hard_start_delay"))}
    alone, found = (
        suspects[f"capacitor.herm_open{end}"] for end in ("", ">compressor.overload_open")
    )
    plain = next(each for each in SuspectSet(arrangement("one_pole_heater")) if each.id == alone.id)
    assert alone.weight + found.weight == pytest.approx(plain.weight)
    assert found.repair == alone.repair


def test_electronics_that_leave_a_fan_standing_open_what_a_stuck_fan_opens() -> None:
    found = pairs("heat_pump_electronic_fan")
    for cause in ("fan.module_dead", "fan.signal_open", "fan.seized"):
        assert {f"{cause}>{switch}_pressure.open" for switch in ("high", "low")} <= found
        assert f"{cause}>compressor.overload_open" in found


def test_a_loose_joint_burns_the_contact_of_its_own_pole() -> None:
    burnt = {p for p in pairs("two_pole_plain") if p.endswith("_pitted")}
    assert burnt == {
        "whip_l1.high_resistance>contactor.pole1_pitted",
        "comp_r.high_resistance>contactor.pole1_pitted",
        "whip_l2.high_resistance>contactor.pole2_pitted",
        "comp_c.high_resistance>contactor.pole2_pitted",
    }
    assert not {p for p in pairs("one_pole_heater") if "pole2" in p}


def test_a_short_is_found_behind_the_fuse_that_feeds_it_before_the_breaker() -> None:
    fused = {p for p in pairs("hard_start_delay") if p.startswith("compressor.earthed>")}
    hot = "compressor.earthed>compressor.overload_open"
    assert fused == {"compressor.earthed>disconnect.pole1_open", hot}
    plain = {p for p in pairs("one_pole_heater") if p.startswith("compressor.earthed>")}
    assert plain == {"compressor.earthed>outdoor_breaker.tripped", hot}
    assert "contactor.coil_shorted>lv_fuse.blown" in pairs("one_pole_heater")


def test_a_box_without_defrosts_grows_ice_that_holds_up_its_air() -> None:
    iced = {p.partition(">")[0] for p in pairs("walk_in_freezer") if p.endswith("control.iced")}
    assert {"defrost_timer.motor_open", "defrost_heater.open", "heater_limit.failed_open"} <= iced
    assert "defrost_timer.stuck_in" not in iced
    assert "defrost_timer.motor_open>pressure_control.iced" in pairs("walk_in_cooler")
    suspect = SuspectSet(arrangement("walk_in_freezer")).suspect(
        "defrost_heater.open>pressure_control.iced"
    )
    assert ("compressor", "indoor_blocked") in {edit.key for edit in suspect.edits}


def test_what_overdraws_a_motor_is_found_with_the_relay_that_guards_it_tripped() -> None:
    tripped = {p.partition(">")[0] for p in pairs("rooftop_400_50hz") if p.endswith(".tripped")}
    assert {"blower.seized", "blower.t2_open", "service.leg_l3_low"} <= tripped
    assert not {each for each in tripped if each.startswith("fan.")}  # nothing guards that one
    assert not {p for p in pairs("rooftop_208") if p.startswith("blower.seized>")}


# One of each sort of role; the house test renames every part and wire.
@pytest.mark.parametrize("part", ["compressor", "fan", "contactor", "capacitor", "disconnect"])
def test_a_part_under_another_name_keeps_every_suspect(part: str) -> None:
    unit = arrangement("hard_start_delay")
    told = [suspect.id for suspect in SuspectSet(unit)]
    again = [suspect.id for suspect in SuspectSet(renamed(unit, part, "zz"))]
    assert len(told) == len(again)
    assert again == [_renamed(each, part) for each in told]


def _renamed(suspect: str, part: str) -> str:
    return ">".join(
        f"zz.{each.partition('.')[2]}" if each.partition(".")[0] == part else each
        for each in suspect.split(">")
    )


def test_the_room_names_no_kind_of_part() -> None:
    for file in Path(rungwise.faults.__path__[0]).glob("*.py"):
        tree = ast.parse(file.read_text(encoding="utf-8"))
        texts = {n.value for n in ast.walk(tree) if isinstance(n, ast.Constant)}
        assert texts & KINDS.keys() == set(), file.name


def test_a_fan_that_stands_in_winter_opens_the_low_pressure_switch_of_a_heat_pump() -> None:
    heats = {p for p in pairs("heat_pump_o_timed") if p.endswith("low_pressure.open")}
    assert {"fan.seized>low_pressure.open", "fan.s_open>low_pressure.open"} <= heats
    assert not {p for p in pairs("one_pole_heater") if p == "fan.seized>low_pressure.open"}


def test_a_winding_to_ground_is_found_with_its_own_overload_open() -> None:
    for motor in ("compressor", "fan", "blower"):
        assert f"{motor}.earthed>{motor}.overload_open" in pairs("one_pole_heater")
        assert f"{motor}.start_earthed>{motor}.overload_open" in pairs("one_pole_heater")


def test_a_short_that_only_a_call_for_heat_feeds_is_found_with_its_fuse_melted() -> None:
    """The circuit's own course ends a call for cooling first, which feeds no W."""
    assert "w_stat+c_stat.shorted>lv_fuse.blown" in pairs("heat_pump_outdoor_stat")
    # Y is fed on either call: there the circuit melts the fuse itself.
    assert "y_stat+c_stat.shorted>lv_fuse.blown" not in pairs("heat_pump_outdoor_stat")
    assert not {each for each in pairs("two_pole_plain") if each.startswith("w_")}


def test_shorted_turns_of_a_fan_of_three_legs_open_what_feeds_it() -> None:
    """Fuses of the disconnect where there are some, else the breaker; no small fan does."""
    assert "blower.turns_shorted>disconnect.pole1_open" in pairs("rooftop_208")
    assert "blower.turns_shorted>breaker.tripped" in pairs("rooftop_400_50hz")
    assert not {each for each in pairs("one_pole_heater") if each.startswith("blower.turns")}


def test_a_winding_to_ground_of_three_legs_blows_the_fuse_of_any_of_them() -> None:
    found = [f"compressor.earthed>disconnect.pole{pole}_open" for pole in (1, 2, 3)]
    suspects = {each.id: each for each in SuspectSet(arrangement("rooftop_460"))}
    assert {suspects[each].weight for each in found} == {suspects[found[0]].weight}
    # A breaker opens all its poles: there it is one thing that is found, and weighs as much.
    (tripped,) = [each.weight for each in SuspectSet(arrangement("rooftop_400_50hz"))
                  if each.id == "compressor.earthed>breaker.tripped"]  # fmt: skip
    assert tripped == pytest.approx(3.0 * suspects[found[0]].weight)
