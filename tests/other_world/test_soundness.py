"""Descriptions that cannot be true: what must be refused, and what may be."""

from __future__ import annotations

import pytest

from rungwise.other_world.soundness import doubts, unsound
from rungwise.other_world.wired import ARRANGEMENTS, Wired, wired


def whys(unit: Wired) -> set[str]:
    return {why for why, _ in unsound(unit)}


@pytest.mark.parametrize("name", ARRANGEMENTS)
def test_shipped_arrangements_are_sound_and_leave_no_doubt(name: str) -> None:
    assert unsound(wired(name)) == []
    assert doubts(wired(name)) == []


def test_disconnect_without_its_whip_feeds_nothing_and_nothing_runs() -> None:
    unit = wired("one_pole_heater").copy()
    for name in ("whip_l1", "whip_l2"):
        del unit.wires[name]
    assert unsound(unit) == [
        ("no load runs on a call", "no compressor and no outdoor fan"),
        ("device feeds nothing", "outdoor_breaker"),
        ("device feeds nothing", "disconnect"),
    ]


def test_one_missing_leg_stops_the_motors_though_the_breaker_feeds_something() -> None:
    unit = wired("two_pole_plain").copy()
    del unit.wires["run_l2"]
    assert whys(unit) == {"no load runs on a call"}


def test_wire_from_leg_to_leg_is_a_shorted_supply() -> None:
    unit = wired("heater_line_side").copy()
    unit.add_wire("short", "contactor.L1", "contactor.L2")
    assert "supply shorted" in whys(unit)


def test_wire_past_a_breaker_leaves_its_load_fed() -> None:
    unit = wired("heater_line_side").copy()
    unit.add_wire("past", "indoor_breaker.line1", "indoor_breaker.load1")
    assert whys(unit) == set()


def test_start_winding_on_the_leg_of_the_common_leaves_a_doubt() -> None:
    unit = wired("two_pole_plain").copy()
    unit.add_wire("tied", "compressor.S", "compressor.C")
    assert ("a motor does not run", "compressor") in doubts(unit)
