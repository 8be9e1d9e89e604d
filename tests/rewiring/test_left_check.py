"""Wires as left: what must be put right, what may stay, and why."""

from __future__ import annotations

from collections.abc import Mapping

import pytest
from tests.rewiring.cabinet import WIRINGS, unit, yardstick

from rungwise.circuit import MOMENT_OF_START
from rungwise.rewiring.left_check import LeftCheck, check_left
from rungwise.rewiring.wire_group import joined, wire_groups
from rungwise.rewiring.wires_file import with_new_part
from rungwise.rewiring.wires_record import NewPart
from rungwise.rewiring.wirings import Ends
from rungwise.rewiring.yardstick import Yardstick
from rungwise.unit.unit import Wire
from rungwise.unit.unit_file import arrangement


def left(*names: str, marked: bool = True) -> LeftCheck:
    both: dict[str, Ends | None] = {}
    for name in names:
        both |= WIRINGS[name]
    return check_left(yardstick(), unit(), both, marked=marked)


def by_status(check: LeftCheck) -> dict[str, list[tuple[str, ...]]]:
    found: dict[str, list[tuple[str, ...]]] = {}
    for each in check.groups:
        found.setdefault(each.status, []).append(tuple(sorted(each.group.wires)))
    return found


def test_nothing_moved_is_nothing_to_say() -> None:
    check = check_left(yardstick(), unit(), {"comp_r": ("compressor.R", "contactor.T1")})
    assert check.passes
    assert (check.groups, check.whole, check.part) == ((), (), ())


def test_harmless_ones_pass_with_their_reason() -> None:
    check = left("coil leads", "fan on the bar")
    assert check.passes
    assert by_status(check) == {"harmless": [("c_coil", "y_coil"), ("fan_c",)]}
    assert all(each.why and not each.does for each in check.groups)


def test_wrong_ones_are_told_from_harmless_ones_in_one_record() -> None:
    check = left("HERM and FAN", "coil leads", "start wire off")
    assert not check.passes
    # the start wire is off here, so of the mixed-up pair only the fan's wire is left to move
    assert by_status(check)["harmless"] == [("c_coil", "y_coil")]
    mixed = left("HERM and FAN", "coil leads")
    assert by_status(mixed) == {
        "wrong": [("comp_s", "fan_s")],
        "harmless": [("c_coil", "y_coil")],
    }
    (wrong,) = (each for each in mixed.groups if each.status == "wrong")
    assert "compressor hums" in wrong.does[0].text
    assert mixed.whole == wrong.does


@pytest.mark.parametrize("status", ["against the marks", "harmless"])
def test_end_for_end_passes_on_an_unmarked_part_only(status: str) -> None:
    check = left("end for end", marked=status == "against the marks")
    assert check.passes is (status == "harmless")
    turned = {each.status for each in check.groups if "whip_l1" in each.group.wires}
    assert turned == {status}
    assert all(not each.does for each in check.groups)


def test_a_pole_turned_by_halves_is_wrong() -> None:
    half = {name: ends for name, ends in WIRINGS["end for end"].items() if name != "cap_c"}
    check = check_left(yardstick(), unit(), half, marked=False)
    assert not check.passes


def test_a_wire_that_is_off_is_told_by_what_then_fails() -> None:
    (group,) = left("start wire off").groups
    assert group.status == "wrong"
    assert list(group.group.moves()) == [
        ("comp_s", "capacitor.HERM", ""), ("comp_s", "compressor.S", "")
    ]  # fmt: skip


def test_a_doubled_wire_is_harmless_and_a_strange_one_is_not() -> None:
    def added(name: str, start: str, end: str) -> tuple[Wire, Mapping[str, Ends]]:
        made = Wire(name, start, end, "red", 10.0, 0.5, ("push-on", "push-on"), "power")
        return made, {name: (start, end)}

    twin, twin_left = added("twin", "contactor.T1", "capacitor.C")
    check = check_left(yardstick(), unit(), twin_left, added=(twin,))
    assert check.passes
    assert by_status(check) == {"harmless": [("twin",)]}
    strange, strange_left = added("strange", "contactor.T1", "contactor.T2")
    check = check_left(yardstick(), unit(), strange_left, added=(strange,))
    assert not check.passes
    (group,) = check.groups
    assert any("outdoor breaker trips" in each.text for each in group.does)


def test_the_new_part_is_not_blamed_on_the_wires() -> None:
    """A two-pole contactor takes the heater's way; the wires are judged by what it can do."""
    later = with_new_part(unit(), "contactor", NewPart("contactor_2p"))
    check = check_left(yardstick(), later, WIRINGS["coil leads"])
    assert [each.text for each in check.part] == ["the crankcase heater gets 0 W instead of 70 W"]
    assert by_status(check) == {"harmless": [("c_coil", "y_coil")]}
    assert not check.passes
    wrong = check_left(yardstick(), later, WIRINGS["HERM and FAN"])
    assert by_status(wrong) == {"wrong": [("comp_s", "fan_s")]}


def test_wires_that_are_harmless_only_together_are_told_as_one() -> None:
    """The second pole of two turned end for end: each wire of it alone would do harm."""
    plain = arrangement("two_pole_plain")
    turned = {
        **WIRINGS["fan on the bar"],
        "comp_c": ("contactor.L2", "compressor.C"),
        "whip_l2": ("disconnect.load2", "contactor.T2"),
    }
    check = check_left(Yardstick(plain), plain, turned, marked=False)
    assert check.passes
    assert by_status(check) == {"harmless": [("comp_c", "fan_c", "whip_l2")]}
    assert "end for end" in check.groups[0].why


def test_many_wrong_groups_are_all_told() -> None:
    """Beyond the subsets that can all be tried, each that does harm alone is told."""
    names = "comp_s fan_s fan_c heater_line y_coil y_hp comp_r comp_c fan_r whip_l1 whip_l2"
    ends: dict[str, Ends | None] = dict.fromkeys(names.split())
    check = check_left(yardstick(), unit(), ends)
    assert len(check.groups) == len(ends) > 9
    assert {each.status for each in check.groups} == {"wrong"}
    assert all(each.does for each in check.groups)


def test_wires_that_took_each_others_places_are_one_group() -> None:
    ring: dict[str, Ends | None] = {
        "comp_s": ("capacitor.FAN", "compressor.S"),
        "fan_s": ("capacitor.C", "fan.S"),
        "fan_r": ("capacitor.HERM", "fan.R"),
    }
    whole = {**ring, "fan_c": ("contactor.L2", "fan.C")}
    groups = wire_groups(unit(), whole, frozenset())
    assert sorted(tuple(sorted(each.wires)) for each in groups) == [
        ("comp_s", "fan_r", "fan_s"), ("fan_c",)
    ]  # fmt: skip
    assert set(joined(groups).wires) == set(whole)


def test_a_hard_start_kit_that_is_off_shows_in_the_moment_of_the_start() -> None:
    """One that has it needs it: without the start capacitor the rotor stands, and stays so."""
    kit = arrangement("hard_start_delay")
    check = check_left(Yardstick(kit), kit, {"kit_cap": None})
    (group,) = check.groups
    assert group.status == "wrong"
    situations = Yardstick(kit).situations
    (does,) = (each for each in group.does if "compressor" in each.text)
    assert MOMENT_OF_START in {situations[at].asking for at in does.situations}
    assert "the compressor hums and does not come to speed" in does.text


def test_a_load_left_ahead_of_the_contactor_is_to_be_turned() -> None:
    """Past the second pole of two: the compressor runs as it should, and is live when it rests."""
    plain = arrangement("two_pole_plain")
    past = {"comp_c": ("contactor.L2", "compressor.C")}
    check = check_left(Yardstick(plain), plain, past)
    (group,) = check.groups
    assert not check.passes
    assert group.status == "stays live"
    assert "compressor.C" in group.live
    (bar,) = check_left(yardstick(), unit(), past).groups
    assert bar.live == ()  # a bar leaves it live by design


def bridged(awg: float, *wirings: str) -> LeftCheck:
    """A two-pole contactor in the one-pole unit, L2 and T2 joined by a wire."""
    later = with_new_part(unit(), "contactor", NewPart("contactor_2p"))
    ends = ("contactor.L2", "contactor.T2")
    bar = Wire("bar", *ends, "black", awg, 0.3, ("push-on", "push-on"), "power")
    others = {wire: ends for name in wirings for wire, ends in WIRINGS[name].items()}
    return check_left(yardstick(), later, {"bar": ends, **others}, added=(bar,))


def test_a_wire_for_the_old_bar_passes_with_its_label() -> None:
    check = bridged(10.0)
    assert check.passes
    assert check.part == ()
    (group,) = check.groups
    assert group.status == "harmless"
    assert "old part's bar" in group.why
    assert "T2 and its loads stay LIVE" in group.label


def test_a_wire_for_the_old_bar_thinner_than_the_compressor_lead_is_wrong() -> None:
    """While the pole makes, it carries little; once that pole is burnt, all of it."""
    check = bridged(18.0)
    assert not check.passes
    (group,) = check.groups
    assert group.status == "wrong"
    assert "bears 7 A" in group.does[0].text


def test_other_wires_are_judged_with_the_bar_in_place() -> None:
    check = bridged(10.0, "HERM and FAN", "coil leads")
    assert by_status(check) == {
        "wrong": [("comp_s", "fan_s")], "harmless": [("bar",), ("c_coil", "y_coil")]
    }  # fmt: skip
    (wrong,) = (each for each in check.groups if each.status == "wrong")
    assert all("heater" not in each.text for each in wrong.does)
