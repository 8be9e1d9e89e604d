"""Plain answers lead to a unit that answers the same, and does what its drawing says.

What the shapes do is common practice, no source: a heater across the line heats whether or not the
contactor is in; across the open pole of two poles it has no way back.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import pytest

from rungwise.circuit import CALLING, COLD_STANDBY, Plan, loads_of, solve
from rungwise.errors import BadInput, UnknownName
from rungwise.files import Document
from rungwise.parts import Does
from rungwise.shaping import (
    QUESTIONS,
    UNKNOWN,
    chosen,
    facts_of,
    own_candidate,
    portrait_of,
    shipped_candidates,
    text_of_unit,
)
from rungwise.unit import ARRANGEMENTS, FIRST_ARRANGEMENTS, Unit, arrangement, unit_from

OUTDOOR = {"sort": "cooling"}


def read(text: str) -> Unit:
    return unit_from(Document(text, file="shaped.toml"), name="shaped")


def circuit(unit: Unit) -> tuple[object, ...]:
    """All that changes the circuit, but for the order of parts and wires."""
    parts = sorted((p.name, p.kind, sorted(p.values.items())) for p in unit.parts)
    wires = sorted((w.name, w.start, w.end, w.awg, w.length_m, w.carries) for w in unit.wires)
    return parts, wires, sorted((c.name, c.wires, c.length_m) for c in unit.cables)


def own_answers(name: str) -> dict[str, str]:
    """What somebody answers who stands before the arrangement; what is no answer is left."""
    facts = facts_of(arrangement(name))
    told = {}
    for question in QUESTIONS:
        offered = [each.key for each in question.answers if each.key in facts[question.key]]
        told[question.key] = offered[0] if offered else UNKNOWN
    return told


@pytest.mark.parametrize("name", ARRANGEMENTS)
def test_an_arrangement_s_own_answers_lead_back_to_it(name: str) -> None:
    """Where several answer alike, it is one of them, and the parts that differ are asked for."""
    first = chosen(own_answers(name))
    fitting = {each.name for each in (first.start, *first.alike)}
    assert name in fitting
    assert first.changes == ()
    there = {part.kind for part in arrangement(name).parts} & {each.kind for each in first.extras}
    second = chosen(own_answers(name), there=there)
    assert name in {second.start.name, *(each.name for each in second.alike)}
    kinds = sorted(part.kind for part in arrangement(name).parts)
    if second.start.name != name:
        assert set(kinds) <= set(second.start.kinds)
    third = chosen(own_answers(name), start=name)
    assert circuit(third.unit) == circuit(arrangement(name))


@pytest.mark.parametrize(
    ("poles", "heater", "kit"),
    list(product("12", ["none", "pole", "line_stat", "line", "load"], ["none", "relay"])),
)
def test_a_shaped_unit_answers_as_it_was_asked_and_its_file_reads_back(
    poles: str, heater: str, kit: str
) -> None:
    told = {**OUTDOOR, "poles": poles, "heater": heater, "kit": kit, "board": "delay"}
    choice = chosen(told)
    made = read(choice.text)
    facts = facts_of(made)
    assert [key for key, answer in told.items() if answer not in facts[key]] == []
    assert circuit(made) == circuit(choice.unit)


@pytest.mark.parametrize("pressure", ["both", "high", "low", "none"])
@pytest.mark.parametrize("board", ["none", "delay"])
def test_whatever_stands_in_the_control_wiring_a_call_still_runs_the_compressor(
    pressure: str, board: str
) -> None:
    choice = chosen({**OUTDOOR, "poles": "2", "pressure": pressure, "board": board})
    does = {each.part: each.does for each in loads_of(solve(Plan(choice.unit), CALLING))}
    assert {does[name] for name in choice.unit.roles.compressors} == {Does.RUNS}
    assert portrait_of(choice.unit).whole


@pytest.mark.parametrize(
    ("poles", "heater", "watt_cold", "watt_running"),
    [("1", "pole", 70, 0), ("2", "pole", 0, 0), ("2", "line", 70, 70), ("2", "line_stat", 70, 0),
     ("1", "load", 0, 70)],
)  # fmt: skip
def test_the_place_of_the_heater_decides_when_it_heats(
    poles: str, heater: str, watt_cold: float, watt_running: float
) -> None:
    """70 W at 240 V; less where the return is through the motors' windings."""
    plan = Plan(chosen({**OUTDOOR, "poles": poles, "heater": heater}).unit)
    for condition, watt in ((COLD_STANDBY, watt_cold), (CALLING, watt_running)):
        found = next(e for e in loads_of(solve(plan, condition)) if e.part == "heater")
        assert found.watt == pytest.approx(watt, rel=0.08, abs=1.0)


WHEN_IT_HEATS = {
    "pole": {"off": True, "called": False}, "line": {"off": True, "called": True},
    "line_stat": {"off": True, "called": False}, "aux": {"off": True, "called": False},
    "load": {"off": False, "called": True},
}  # fmt: skip
"""By the heater's place, whether it heats off in the cold, and while the compressor runs warm."""


@pytest.mark.parametrize("name", ARRANGEMENTS)
def test_where_a_heater_is_said_to_be_is_what_its_circuit_does(name: str) -> None:
    """One read as wired across the line that stops on a call would be another unit."""
    unit = arrangement(name)
    (place,) = facts_of(unit)["heater"]
    assert (place == "none") == (not unit.roles.heaters)
    if place == "none":
        return
    plan = Plan(unit)
    for when, condition in (("off", COLD_STANDBY), ("called", CALLING)):
        does = {each.part: each.does for each in loads_of(solve(plan, condition))}
        heats = does[unit.roles.heaters[0]] is Does.HEATS
        assert heats == WHEN_IT_HEATS[place][when], when


def test_a_heater_is_moved_behind_an_auxiliary_contact_with_its_contactor() -> None:
    """The contactor of the arrangement has none, so it becomes one that has."""
    choice = chosen({**OUTDOOR, "poles": "2", "heater": "aux", "kit": "relay"})
    assert facts_of(choice.unit)["heater"] == {"aux"}
    assert portrait_of(choice.unit).whole


def test_an_answer_that_nobody_knows_is_said_to_leave_something_open() -> None:
    choice = chosen({**OUTDOOR, "poles": "2", "heater": UNKNOWN})
    assert [line for line in choice.unsaid if line.startswith("Crankcase heater")]
    assert not [line for line in choice.unsaid if line.startswith("How many poles")]


@pytest.mark.parametrize(
    "told",
    [
        {"sort": "refrigeration", "poles": "1", "board": "other", "kit": "assist"},
        {**OUTDOOR, "poles": "none"},
    ],
)
def test_what_no_arrangement_can_be_shaped_to_is_refused(told: dict[str, str]) -> None:
    with pytest.raises(BadInput, match="none that can be shaped"):
        chosen(told)


def test_nothing_answered_and_unknown_words_are_refused() -> None:
    with pytest.raises(BadInput, match="No question is answered"):
        chosen(dict.fromkeys((each.key for each in QUESTIONS), UNKNOWN))
    with pytest.raises(UnknownName, match="no answer"):
        chosen({"poles": "two"})
    with pytest.raises(UnknownName, match="no such question"):
        chosen({"pols": "2"})


def test_a_shop_s_own_arrangement_is_found_by_the_same_answers() -> None:
    """It answers by its circuit, so no list has to name it."""
    told = {**OUTDOOR, "poles": "2", "heater": "line", "kit": "none", "board": "none"}
    shaped = chosen(told)
    assert shaped.changes
    kept = own_candidate("the shop's own", read(shaped.text))
    again = chosen(told, candidates=(*shipped_candidates(), kept))
    assert again.start is kept
    assert again.changes == ()
    assert circuit(read(again.text)) == circuit(shaped.unit)


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_a_unit_written_without_its_arrangement_reads_back_the_same(name: str) -> None:
    unit = arrangement(name)
    assert circuit(read(text_of_unit(unit, None))) == circuit(unit)


@pytest.mark.parametrize(
    ("wire", "said"),
    [
        ("comp_r", "No wire is on compressor R"),
        ("c_field", "has no way back"),
        ("y_hp", "Only one wire is on the Y splice"),
        ("tr_line", "transformer primary 1"),
    ],
)
def test_a_wire_that_is_not_drawn_is_missed(wire: str, said: str) -> None:
    whole = arrangement("one_pole_heater")
    left = tuple(each for each in whole.wires if each.name != wire)
    told = portrait_of(replace(whole, wires=left, cables=()), whole)
    assert [line for line in told.missing if said in line]
    assert [line for line in told.lost if "compressor is off; the arrangement's runs" in line]


@pytest.mark.parametrize("name", ARRANGEMENTS)
def test_nothing_is_missing_and_nothing_odd_in_what_ships(name: str) -> None:
    told = portrait_of(arrangement(name), arrangement(name))
    assert told.whole
    assert told.lost == ()
    assert [each for each in told.odd if "never" in each or "nothing on any" in each] == []
