"""The steps of a plan: their order, their stations, and what protects whoever follows them."""

from __future__ import annotations

import json
import re
from dataclasses import asdict, replace
from itertools import pairwise

import pytest
from tests.isolation.solved import ALL, NAMES, joined, unit, with_parts, without, work

from rungwise.circuit.netlist import Plan
from rungwise.errors import UnknownName
from rungwise.isolation import KNOWN_SOURCE, Step, WorkPlan, isolate
from rungwise.isolation.demand import Demand
from rungwise.isolation.topology import Topology
from rungwise.parts.element import EARTH
from rungwise.unit.unit import Part, Unit

OSHA_147 = ("stop", "open", "lock", "try")
"""29 CFR 1910.147(d): notify and shut down, isolate, apply the devices, verify. The text of the
rule, from memory of its published order."""

OSHA_333 = ("lock", "try", "prove meter")
"""29 CFR 1910.333(b)(2)(iv): (A) operate the controls so that the equipment cannot be restarted,
(B) test with test equipment, also for backfeed; (B) seen quoted in a DOE handbook."""


def kinds(plan: WorkPlan) -> list[str]:
    return [step.kind for step in plan.steps]


def first(plan: WorkPlan, kind: str) -> int:
    return kinds(plan).index(kind)


def last(plan: WorkPlan, kind: str) -> int:
    return len(plan.steps) - 1 - kinds(plan)[::-1].index(kind)


def stations(plan: WorkPlan) -> int:
    return max(step.station for step in plan.steps)


@pytest.mark.parametrize(("name", "scope"), ALL)
def test_the_order_is_that_of_the_standards(name: str, scope: str) -> None:
    plan = work(name, scope)
    for one, other in pairwise(OSHA_147):
        assert first(plan, one) < first(plan, other)
    assert last(plan, "lock") < first(plan, "try")
    assert last(plan, "prove meter") > first(plan, "try"), "tested after the controls were tried"
    for one, other in pairwise(("charge", "discharge", "empty")):
        assert first(plan, one) < first(plan, other)
    assert kinds(plan)[-1] == "result"


@pytest.mark.parametrize(("name", "scope"), ALL)
def test_each_device_is_opened_once_and_locked_at_once(name: str, scope: str) -> None:
    plan = work(name, scope)
    opened = [step for step in plan.steps if step.kind == "open"]
    assert [step.device for step in opened] == [device.device for device in plan.devices]
    for step in opened:
        after = plan.steps[step.number]
        assert (after.kind, after.device, after.place) == ("lock", step.device, step.place)
        assert "name, date, phone" in after.text


@pytest.mark.parametrize(("name", "scope"), ALL)
def test_every_ac_reading_stands_between_two_proofs_of_the_meter_at_its_place(
    name: str, scope: str
) -> None:
    """Live, dead, live, without a walk in between."""
    plan = work(name, scope)
    proofs = [step for step in plan.steps if step.kind == "prove meter"]
    for step in plan.steps:
        if step.kind in ("measure", "try"):
            before = max(p.number for p in proofs if p.number < step.number)
            after = min(p.number for p in proofs if p.number > step.number)
            between = plan.steps[before - 1 : after]
            assert {each.station for each in between} == {step.station}
            assert all(each.kind in ("measure", "try", "prove meter") for each in between)


@pytest.mark.parametrize(("name", "scope"), ALL)
def test_every_terminal_in_the_scope_is_read_to_ground_but_those_under_a_cover(
    name: str, scope: str
) -> None:
    plan, made = work(name, scope), unit(name)
    read = {
        reading.red
        for step in plan.steps
        if step.kind == "measure"
        for reading in step.readings
        if reading.black == EARTH
    }
    touched = {
        end
        for end in plan.points
        if end.split(".")[0] not in made.roles.compressors
        and made.part(end.split(".")[0]).place != "room"
        and made.part(end.split(".")[0]).kind != "earth_lug"
    }
    assert touched <= read


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("scope", ["cabinet", "disconnect", "everything"])
def test_line_terminals_coil_capacitor_and_splice_are_read_to_each_other(
    name: str, scope: str
) -> None:
    pairs = {
        frozenset((reading.red, reading.black))
        for step in work(name, scope).steps
        if step.kind == "measure"
        for reading in step.readings
    }
    for a, b in [
        ("contactor.L1", "contactor.L2"), ("contactor.T1", "contactor.T2"),
        ("contactor.L1", "contactor.T1"), ("contactor.coil1", "contactor.coil2"),
        ("capacitor.HERM", "capacitor.FAN"), ("y_splice.1", "c_splice.1"),
    ]:  # fmt: skip
        assert frozenset((a, b)) in pairs


@pytest.mark.parametrize("name", NAMES)
def test_the_cabinet_takes_about_a_dozen_steps_and_no_walk_into_the_unit_indoors(
    name: str,
) -> None:
    plan = work(name)
    assert len(plan.steps) <= 15
    assert {step.place for step in plan.steps} == {"room", "disconnect", "outdoor"}
    assert stations(plan) == 2
    assert [device.device for device in plan.devices] == ["disconnect"]


@pytest.mark.parametrize("name", NAMES)
def test_each_scope_opens_what_it_must_and_says_what_stays_live(name: str) -> None:
    opened = {
        "cabinet": {"disconnect"},
        "disconnect": {"disconnect", "outdoor_breaker"},
        "indoor": {"service_switch"},
        "everything": {"disconnect", "outdoor_breaker", "service_switch", "indoor_breaker"},
    }
    for scope, devices in opened.items():
        plan = work(name, scope)
        assert {device.device for device in plan.devices} == devices
        assert all(device.relied_on for device in plan.devices)
        left = {end for live in plan.stays_live if live.kind == "line" for end in live.terminals}
        assert "service.L1" in left
        assert not left & set(plan.points)
        assert ("disconnect.line1" in left) == (scope in ("cabinet", "indoor"))
    assert any(live.kind == "control" and live.within for live in work(name).stays_live)


@pytest.mark.parametrize("name", NAMES)
def test_a_unit_that_runs_on_has_its_breaker_opened_first(name: str) -> None:
    """A disconnect is not pulled under load: the breaker first, then the head without load."""
    for scope in ("cabinet", "disconnect", "everything"):
        plan = work(name, scope, keeps_running=True)
        assert [d.device for d in plan.devices][:2] == ["outdoor_breaker", "disconnect"]
        assert [d.relied_on for d in plan.devices][:2] == [True, False]
        assert "do not pull the disconnect" in plan.steps[0].text
        assert plan.cautions[0].signal == "DANGER"
        assert "Do not pull the disconnect" in plan.cautions[0].text


def test_r_joined_to_y_is_a_unit_that_cannot_be_stopped() -> None:
    plan = isolate(joined(unit("one_pole_heater"), ("board.R", "board.Y")))
    assert plan.keeps_running
    assert plan.devices[0].device == "outdoor_breaker"
    coil = [
        reading.below_v
        for step in plan.steps
        if step.kind == "measure"
        for reading in step.readings
        if reading.red == "contactor.coil1"
    ]
    assert set(coil) == {50.0}, "its 24 V stay, and are no reason to stop"


def test_without_a_breaker_a_unit_that_runs_on_cannot_be_stopped() -> None:
    made = without(unit("one_pole_heater"), "run_l1", "run_l2", "panel_l1", "panel_l2")
    made = replace(made, parts=tuple(p for p in made.parts if p.name != "outdoor_breaker"))
    made = joined(made, ("service.L1", "disconnect.line1"), ("service.L2", "disconnect.line2"))
    assert isolate(made).refusals == ()
    assert [r.kind for r in isolate(made, keeps_running=True).refusals] == ["cannot be stopped"]


def two_disconnects() -> Unit:
    switch = Part("unit_switch", "disconnect_switch", "disconnect", label="unit switch")
    return joined(
        with_parts(without(unit("one_pole_heater"), "whip_l1", "whip_l2"), [switch]),
        ("disconnect.load1", "unit_switch.line1"), ("disconnect.load2", "unit_switch.line2"),
        ("unit_switch.load1", "contactor.L1"), ("unit_switch.load2", "contactor.L2"),
    )  # fmt: skip


def test_of_two_disconnects_in_series_each_is_proved_while_its_line_is_live() -> None:
    plan = isolate(two_disconnects())
    near, far = plan.devices
    assert (near.device, far.device) == ("unit_switch", "disconnect")
    assert near.opened_at_step < near.proved_at_step < far.opened_at_step < far.proved_at_step
    running = isolate(two_disconnects(), keeps_running=True)
    assert [d.device for d in running.devices if d.relied_on] == ["outdoor_breaker"]
    assert running.refusals == ()


def test_a_part_said_to_stand_elsewhere_keeps_its_proof() -> None:
    plan = isolate(with_parts(unit("one_pole_heater"), places={"contactor": "indoor"}))
    assert plan.mislabeled == ("contactor",)
    assert {"contactor.L1", "contactor.T2"} <= set(plan.points)
    assert {r.red for s in plan.steps for r in s.readings} >= {"contactor.L1", "contactor.T2"}
    assert any("wires contradict" in caution.text for caution in plan.cautions)
    away = isolate(with_parts(unit("one_pole_heater"), places={"disconnect": "indoor"}))
    assert [device.device for device in away.devices] == ["disconnect"]
    assert away.devices[0].relied_on


def test_a_bypassed_disconnect_is_not_counted_on() -> None:
    made = joined(unit("one_pole_heater"), ("disconnect.line1", "disconnect.load1"))
    assert [device.device for device in isolate(made).devices] == ["outdoor_breaker"]


def test_a_device_found_not_to_open_is_left_out() -> None:
    plan = isolate(unit("one_pole_heater"), not_opening=["disconnect"])
    assert [device.device for device in plan.devices] == ["outdoor_breaker"]
    with pytest.raises(UnknownName, match="did you mean disconnect"):
        isolate(unit("one_pole_heater"), not_opening=["disconect"])


@pytest.mark.parametrize(
    ("refrigerant", "burns"), [("R-410A", False), ("R-454B", True), ("r32", True), ("", True)]
)
def test_a_refrigerant_that_burns_is_warned_of_before_anything_is_switched(
    refrigerant: str, *, burns: bool
) -> None:
    """Classes A2L and A1 of ASHRAE 34, from memory; where none is told the plate is asked."""
    made = replace(unit("one_pole_heater"), nameplate={"refrigerant": refrigerant})
    plan = isolate(made)
    at_head = [c for c in plan.cautions if "no switching" in c.text]
    at_step = [
        n for n, step in enumerate(plan.steps) for c in step.cautions if "no switching" in c.text
    ]
    assert bool(at_head) == (burns and bool(refrigerant)), "known: before the first switch"
    assert bool(at_step) == (not refrigerant), "untold: the plate is asked before the first pull"
    assert all(n < first(plan, "open") for n in at_step)


@pytest.mark.parametrize("name", NAMES)
def test_what_protects_the_person_stands_before_the_first_cover(name: str) -> None:
    plan = work(name)
    text = plan.steps[first(plan, "protect")].text
    for each in (
        "eye protection",
        "rubber gloves",
        "leather",
        "rings",
        "one hand",
        "CAT III 1000 V",
    ):
        assert each in text
    assert first(plan, "protect") < first(plan, "open")
    rules = " ".join(c.text for c in plan.steps[first(plan, "protect")].cautions)
    for each in ("licensed electrician", "water", "no ground wire", "utility", "roof", "heat"):
        assert each in rules
    assert "terminals stays on" in " ".join(c.text for c in plan.steps[-1].cautions)
    panel = work(name, "everything")
    warned = [s for s in panel.steps if s.kind == "open" and s.place == "panel"]
    assert all(any("tenant" in c.text for c in s.cautions) for s in warned)


@pytest.mark.parametrize(("name", "scope"), ALL)
def test_the_result_has_its_end(name: str, scope: str) -> None:
    plan = work(name, scope)
    assert str(plan.stands_for_minutes) in plan.steps[-1].text
    assert "switched on again" in plan.steps[-1].text


@pytest.mark.parametrize(("name", "scope"), ALL)
def test_the_meter_is_proved_on_a_leg_that_is_live_or_on_a_source_brought_along(
    name: str, scope: str
) -> None:
    opened: set[str] = set()
    for step in work(name, scope).steps:
        opened |= {step.device} if step.kind == "open" else set()
        for reading in step.readings if step.kind == "prove meter" else ():
            if reading.red == KNOWN_SOURCE:
                continue
            part, end = reading.red.split(".")
            assert end.startswith("line")
            feeding = {"disconnect": "outdoor_breaker", "service_switch": "indoor_breaker"}[part]
            assert feeding not in opened
            assert reading.about_v == pytest.approx(120.0 if reading.black == EARTH else 240.0)


def everything_said(plan: WorkPlan) -> str:
    told = [caution.text for caution in plan.cautions]
    for step in plan.steps:
        told += [step.whole, step.must_read, step.else_means, *(c.text for c in step.cautions)]
    return " ".join(told)


@pytest.mark.parametrize(("name", "scope"), ALL)
def test_nothing_is_called_safe_no_source_is_from_memory_no_switch_is_bridged(
    name: str, scope: str
) -> None:
    text = everything_said(work(name, scope)).lower()
    assert "safe" not in text
    assert "memory" not in text
    assert "earth" not in text
    assert not re.search(r"\b(jumper|jump out|bridge|bypass the|short the)\b", text)


@pytest.mark.parametrize(("name", "scope"), ALL)
def test_signal_words_are_those_of_the_standard_worst_first(name: str, scope: str) -> None:
    """ANSI Z535.4-2007, 4.14."""
    words = ["DANGER", "WARNING", "CAUTION", "NOTICE"]
    plan = work(name, scope)
    for cautions in (plan.cautions, *(step.cautions for step in plan.steps)):
        said = [caution.signal for caution in cautions]
        assert said == sorted(said, key=words.index)
    assert len(plan.cautions) <= 6, "few at once"


@pytest.mark.parametrize(("name", "scope"), ALL)
def test_the_plan_goes_through_json(name: str, scope: str) -> None:
    told = json.loads(json.dumps(asdict(work(name, scope)), allow_nan=False))
    assert len(told["steps"]) == len(work(name, scope).steps)


def test_an_unknown_scope_is_refused() -> None:
    with pytest.raises(UnknownName, match="did you mean indoor"):
        isolate(unit("two_pole_plain"), scope="indor")


def test_a_step_without_a_meter_has_no_reading() -> None:
    assert Step(1, 1, "open", "panel", "Open it.").readings == ()


def inverter() -> Unit:
    breaker = Part("inverter_breaker", "breaker_2p", "panel", label="inverter breaker")
    source = Part("inverter", "service", "panel", label="inverter")
    return joined(
        with_parts(unit("one_pole_heater"), [breaker, source]),
        ("inverter.L1", "inverter_breaker.line1"), ("inverter.L2", "inverter_breaker.line2"),
        ("inverter_breaker.load1", "contactor.T1"), ("inverter_breaker.load2", "contactor.T2"),
    )  # fmt: skip


def test_a_source_past_the_contactor_runs_the_motor_and_gets_breakers_first() -> None:
    """The thermostat cannot end it, so no blade is pulled before both breakers are open."""
    plan = isolate(inverter())
    assert plan.keeps_running
    assert {d.device for d in plan.devices[:2]} == {"outdoor_breaker", "inverter_breaker"}
    assert plan.devices[-1].device == "disconnect"


def test_control_volts_that_need_no_demand_are_no_reason_to_stop() -> None:
    """R outdoors shows its 24 V for as long as the indoor unit is on."""
    board = Part("r_splice", "splice", "outdoor", label="R splice in the outdoor unit")
    plan = isolate(joined(with_parts(unit("one_pole_heater"), [board]), ("board.R", "r_splice.1")))
    limits = {
        reading.below_v
        for step in plan.steps
        if step.kind == "measure"
        for reading in step.readings
        if "r_splice.1" in (reading.red, reading.black)
    }
    assert limits == {50.0}
    assert not plan.keeps_running


@pytest.mark.parametrize(
    ("name", "lost", "jumper"),
    [
        ("one_pole_heater", ("comp_r",), ("door_switch.1", "compressor.R")),
        ("hard_start_delay", (), ("door_switch.1", "compressor.S")),
    ],
)
def test_a_motor_stalled_on_a_wrong_leg_counts_before_its_overload_trips(
    name: str, lost: tuple[str, ...], jumper: tuple[str, str]
) -> None:
    """With the thermostat off it draws its stalled amps through disconnect and service switch.

    Once its overload is open nothing flows: what stands then must not be what is asked alone.
    """
    made = joined(without(unit(name), *lost), jumper)
    plan = isolate(made)
    assert plan.keeps_running
    order = [device.device for device in plan.devices]
    assert set(order[:2]) == {"outdoor_breaker", "indoor_breaker"}
    demand = Demand(Topology(Plan(made)))
    assert {"disconnect", "service_switch"} <= demand.loaded(frozenset())
    assert not demand.loaded(frozenset(order[:2])), "no blade carries a load behind both breakers"


@pytest.mark.parametrize("name", NAMES)
def test_control_points_are_read_to_ground_while_everything_is_called_for(name: str) -> None:
    """A wire that nobody drew may bring line volts to them through what the call closes."""
    tries = [step for step in work(name).steps if step.kind == "try"]
    limits = {r.red: r.below_v for step in tries for r in step.readings if r.black == EARTH}
    assert {limits["contactor.coil1"], limits["y_splice.1"]} == {50.0}
    grounded = Topology(Plan(unit(name))).ground
    for end in ("contactor.coil2", "c_splice.1"):
        assert limits[end] == (5.0 if end in grounded else 50.0)
    indoors = [step for step in work(name, "indoor").steps if step.kind == "try"]
    read = {r.red for step in indoors for r in step.readings if r.black == EARTH}
    assert {"board.R", "board.C", "board.Y", "board.G"} <= read
