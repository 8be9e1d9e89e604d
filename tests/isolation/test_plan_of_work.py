from __future__ import annotations

import json
import re
from itertools import pairwise

import pytest
from tests.isolation.solved import NAMES, isolation, unit

from rungwise.errors import UnknownName
from rungwise.isolation import IsolationPlan, Step, isolate
from rungwise.unit.element import EARTH

ALL = [(name, zone) for name in NAMES for zone in ("outdoor", "indoor")]
MEASURES = ("measure", "confirm")


def kinds(plan: IsolationPlan) -> list[str]:
    return [step.kind for step in plan.steps]


def at(plan: IsolationPlan, kind: str, word: str) -> int:
    """Number of the first step of a kind whose text holds the word."""
    return next(step.number for step in plan.steps if step.kind == kind and word in step.text)


@pytest.mark.parametrize(("name", "zone"), ALL)
def test_steps_are_numbered_and_begin_at_the_thermostat(name: str, zone: str) -> None:
    steps = isolation(name, zone).steps
    assert [step.number for step in steps] == list(range(1, len(steps) + 1))
    assert (steps[0].kind, steps[0].place) == ("thermostat", "room")


@pytest.mark.parametrize(("name", "zone"), ALL)
def test_live_dead_live(name: str, zone: str) -> None:
    """NFPA 70E 120.5 (2018/2021, from memory): the meter is proved before and after."""
    story = re.sub(
        r"(measure|confirm)( (measure|confirm))*", "read", " ".join(kinds(isolation(name, zone)))
    )
    assert story.count("read") == story.count("prove meter read prove meter")
    assert story.count("read") >= 2


@pytest.mark.parametrize(("name", "zone"), ALL)
def test_each_device_is_opened_once_and_locked_at_once(name: str, zone: str) -> None:
    plan = isolation(name, zone)
    opened = [step for step in plan.steps if step.kind == "open"]
    assert [step.text for step in opened] == [f"Open the {d.title}." for d in plan.order]
    for step in opened:
        after = plan.steps[step.number]
        assert (after.kind, after.place) == ("lock", step.place)


@pytest.mark.parametrize(("name", "zone"), ALL)
def test_every_check_is_measured_with_just_its_devices_open(name: str, zone: str) -> None:
    plan = isolation(name, zone)
    asked = {(check.pair, check.opened) for check in plan.checks}
    opened: list[str] = []
    done = set()
    titles = {f"Open the {device.title}.": device.name for device in plan.order}
    for step in plan.steps:
        if step.kind == "open":
            opened.append(titles[step.text])
        if step.kind == "measure":
            done.add((step.pair, tuple(opened)))
    assert done == asked


@pytest.mark.parametrize("name", NAMES)
def test_the_disconnect_is_measured_behind_before_its_breaker_is_opened(name: str) -> None:
    plan = isolation(name)
    last_leg = max(s.number for s in plan.steps if s.kind == "measure" and "contactor L" in s.text)
    assert at(plan, "open", "disconnect") < last_leg < at(plan, "open", "outdoor breaker")


@pytest.mark.parametrize("name", NAMES)
def test_just_before_touching_each_leg_and_leg_to_leg_are_read_again(name: str) -> None:
    pairs = [step.pair for step in isolation(name).steps if step.kind == "confirm"]
    assert pairs == [
        ("contactor.L1", EARTH),
        ("contactor.L2", EARTH),
        ("contactor.L1", "contactor.L2"),
    ]


@pytest.mark.parametrize(("name", "zone"), ALL)
def test_capacitors_are_bled_last_and_then_measured_empty(name: str, zone: str) -> None:
    plan = isolation(name, zone)
    sections = len(plan.found.stored)
    assert kinds(plan)[-2 * sections :] == ["bleed", "empty"] * sections
    for step in plan.steps[-2 * sections :]:
        assert step.kind == "empty" or "insulated leads" in step.text
        assert step.kind == "bleed" or step.must_read == "below 5 V DC"


@pytest.mark.parametrize(("name", "zone"), ALL)
def test_every_reading_says_what_it_must_be(name: str, zone: str) -> None:
    for step in isolation(name, zone).steps:
        assert bool(step.must_read) == (step.kind in {*MEASURES, "prove meter", "empty"})
        assert step.kind != "measure" or "means" in step.else_means


@pytest.mark.parametrize("name", NAMES)
def test_the_meter_is_proved_on_a_line_side_while_there_is_one(name: str) -> None:
    plan = isolation(name)
    proved = [step for step in plan.steps if step.kind == "prove meter"]
    assert [step.pair and step.pair[0] for step in proved] == [
        "service_switch.line1", "service_switch.line1", "disconnect.line1", "disconnect.line1",
        None, None,
    ]  # fmt: skip
    assert all(step.must_read == "about 120 V" for step in proved[:4])


@pytest.mark.parametrize("name", NAMES)
def test_what_stays_live_upstream_is_said_where_the_hand_goes(name: str) -> None:
    plan = isolation(name)
    step = plan.steps[at(plan, "open", "disconnect") - 1]
    (caution,) = step.cautions
    assert caution.signal == "DANGER"
    assert "line 1, line 2, 120 V to earth" in caution.text
    (panel,) = (c for c in plan.cautions if "To the end these stay live" in c.text)
    assert "utility service L1, L2" in panel.text
    left = {p.terminal for p in plan.found.still_live[-1]}
    assert left == {
        "service.L1", "service.L2", "outdoor_breaker.line1", "outdoor_breaker.line2",
        "indoor_breaker.line1",
    }  # fmt: skip


@pytest.mark.parametrize(("name", "zone"), ALL)
def test_signal_words_are_those_of_the_standard_worst_first(name: str, zone: str) -> None:
    """ANSI Z535.4-2007, 4.14."""
    words = ["DANGER", "WARNING", "CAUTION", "NOTICE"]
    said = [caution.signal for caution in isolation(name, zone).cautions]
    assert said == sorted(said, key=words.index)
    assert {"DANGER", "WARNING", "NOTICE"} <= set(said) <= set(words)


@pytest.mark.parametrize(
    "phrase", ["hint, never a proof", "local codes", "licensed practice", "0 V from leg to leg"]
)
def test_the_cautions_that_every_outdoor_plan_must_carry(phrase: str) -> None:
    for name in NAMES:
        assert sum(phrase in caution.text for caution in isolation(name).cautions) == 1


def test_the_24_volts_are_cautioned_outdoors_only() -> None:
    for name in NAMES:
        assert any("27 V" in c.text for c in isolation(name).cautions if c.signal == "CAUTION")
        assert not any(c.signal == "CAUTION" for c in isolation(name, "indoor").cautions)


def everything_said(plan: IsolationPlan) -> str:
    return "\n".join(plan.lines(200)) + json.dumps(plan.to_json())


@pytest.mark.parametrize(("name", "zone"), ALL)
def test_nothing_is_called_safe_and_no_bridging_is_advised(name: str, zone: str) -> None:
    text = everything_said(isolation(name, zone)).lower()
    assert "safe" not in text
    assert not re.search(r"\b(jumper|jump out|bridge|bypass the|short the)\b", text)


@pytest.mark.parametrize("width", [40, 60, 100])
@pytest.mark.parametrize("name", NAMES)
def test_the_text_fits_a_narrow_terminal(name: str, width: int) -> None:
    lines = isolation(name).lines(width)
    assert max(len(line) for line in lines) <= width
    assert not any(re.search(r"\d$", a) and re.match(r"\s*[VWJ]\b", b) for a, b in pairwise(lines))
    assert sum(line.startswith(f"{n}. ") for n in range(1, 99) for line in lines) == len(
        isolation(name).steps
    )


@pytest.mark.parametrize(("name", "zone"), ALL)
def test_the_plan_goes_through_json_unchanged(name: str, zone: str) -> None:
    told = isolation(name, zone).to_json()
    assert json.loads(json.dumps(told, allow_nan=False)) == told
    assert len(told["steps"]) == len(isolation(name, zone).steps)
    assert len(told["proof"]["checks"]) == len(isolation(name, zone).checks)


def test_an_unknown_zone_is_refused() -> None:
    with pytest.raises(UnknownName, match="did you mean indoor"):
        isolate(unit("two_pole_plain"), zone="indor")


def test_working_inside_the_disconnect_needs_the_breaker() -> None:
    plan = isolate(unit("two_pole_plain"), inside_devices=True)
    assert plan.found.dead_sets == (frozenset({"outdoor_breaker"}),)
    assert plan.found.live_after == ()
    opening = plan.steps[at(plan, "open", "disconnect") - 1]
    assert "line 1, line 2, 120 V" in opening.cautions[0].text, "live until the breaker is open"


def test_a_step_without_a_meter_has_no_reading() -> None:
    assert Step(1, "open", "panel", "Open it.").must_read == ""
