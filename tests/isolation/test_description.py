"""Drawings that carry no plan: each refused by its kind, in circuit words, with what to add."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.isolation.solved import NAMES, joined, unit, with_parts, without

from rungwise.isolation import WorkPlan, isolate
from rungwise.unit.unit import Part, Unit

NAME = "one_pole_heater"
BUS = ("panel_l1", "panel_l2")
RUN = ("run_l1", "run_l2")
WHIP = ("whip_l1", "whip_l2")


def refused(made: Unit, kind: str, terminal: str = "") -> WorkPlan:
    found = isolate(made)
    assert kind in {each.kind for each in found.refusals}, found.refusals
    ends = {end for each in found.refusals if each.kind == kind for end in each.terminals}
    assert not terminal or terminal in ends
    assert not found.steps, "never a plan beside a refusal"
    for each in found.refusals:
        assert each.what.endswith(".")
        assert each.add
        assert not any(f"{part.name}." in each.what for part in made.parts), "no file's own names"
    return found


@pytest.mark.parametrize("name", NAMES)
def test_shipped_arrangements_are_never_refused(name: str) -> None:
    for scope in ("cabinet", "disconnect", "indoor", "everything"):
        assert isolate(unit(name), scope=scope).refusals == ()


@pytest.mark.parametrize(
    ("wires", "kind", "terminal"),
    [
        (WHIP, "feeds nothing", "disconnect.load1"),
        (WHIP[:1], "feeds nothing", "disconnect.load1"),
        (RUN, "fed by nothing", "disconnect.line2"),
        (BUS, "fed by nothing", "outdoor_breaker.line1"),
        (("comp_r",), "load without wires", "compressor.R"),
        (("heater_load",), "load without wires", "heater.2"),
        (("c_coil",), "coil without wires", "contactor.coil2"),
        (("y_lp",), "nothing runs", ""),
        (("indoor_neutral",), "nothing runs", ""),
    ],
)
def test_a_forgotten_wire_is_told_by_the_terminal_it_leaves_bare(
    wires: tuple[str, ...], kind: str, terminal: str
) -> None:
    refused(without(unit(NAME), *wires), kind, terminal)


def test_a_unit_without_any_wire_is_refused() -> None:
    refused(without(unit(NAME), *(wire.name for wire in unit(NAME).wires)), "fed by nothing")


@pytest.mark.parametrize(
    ("a", "b", "kind"),
    [
        ("contactor.L1", "contactor.L2", "supply shorted"),
        ("contactor.T1", "contactor.T2", "supply shorted"),
        ("contactor.L1", "neutral.N", "supply shorted"),
        ("contactor.coil1", "contactor.coil2", "control shorted"),
        ("service.L1", "contactor.L1", "nothing opens it"),
    ],
)
def test_a_jumper_that_cannot_be_is_told(a: str, b: str, kind: str) -> None:
    found = refused(joined(unit(NAME), (a, b)), kind)
    described: dict[str, bool] = {r.kind: r.of_description for r in found.refusals}
    assert described[kind] == (kind != "nothing opens it")


def test_an_outdoor_unit_described_without_its_air_handler_is_refused() -> None:
    made = unit(NAME)
    gone = {p.name for p in made.parts if p.place in ("indoor", "room")} | {"indoor_breaker"}
    kept = tuple(part for part in made.parts if part.name not in gone)
    wires = [w.name for w in made.wires if {w.start.split(".")[0], w.end.split(".")[0]} & gone]
    found = refused(replace(without(made, *wires), parts=kept), "nothing runs")
    assert "transformer" in found.refusals[0].add


def test_a_start_winding_below_the_run_winding_is_refused() -> None:
    made = unit(NAME)
    values = {"main_ohm": 2.0, "aux_ohm": 1.0}
    parts = tuple(replace(p, values=values) if p.name == "compressor" else p for p in made.parts)
    refused(replace(made, parts=parts), "impossible windings", "compressor.S")


def test_no_source_and_no_compressor_are_refused() -> None:
    made = unit(NAME)
    no_source = replace(
        without(made, "panel_l1", "panel_l2", "panel_indoor", "indoor_neutral"),
        parts=tuple(part for part in made.parts if part.name != "service"),
    )
    refused(no_source, "no source")
    no_compressor = replace(
        without(made, "comp_r", "comp_s", "comp_c"),
        parts=tuple(part for part in made.parts if part.name != "compressor"),
    )
    refused(no_compressor, "nothing runs")


def test_two_sources_on_one_leg_are_no_short() -> None:
    """A second service beside the first, through a breaker of its own, is opened as well."""
    second = Part("second", "service", "panel")
    breaker = Part("second_breaker", "breaker_2p", "panel")
    made = joined(
        with_parts(unit(NAME), [second, breaker]),
        ("second.L1", "second_breaker.line1"),
        ("second.L2", "second_breaker.line2"),
        ("second_breaker.load1", "contactor.L1"),
        ("second_breaker.load2", "contactor.L2"),
    )
    found = isolate(made)
    assert found.refusals == ()
    assert {d.device for d in found.devices if d.relied_on} == {"disconnect", "second_breaker"}


def second_transformer(leg: str) -> Unit:
    """A second transformer beside the first on R and C, through a breaker of its own."""
    parts = [
        Part("transformer_2", "transformer", "indoor", values={"primary_volt": 120.0}),
        Part("breaker_3", "breaker_1p", "panel"),
    ]
    return joined(
        with_parts(unit(NAME), parts),
        (f"service.{leg}", "breaker_3.line1"),
        ("breaker_3.load1", "transformer_2.pri1"),
        ("service.N", "transformer_2.pri2"),
        ("transformer_2.R", "board.R"),
        ("transformer_2.C", "board.C"),
    )


@pytest.mark.parametrize("scope", ["cabinet", "disconnect", "indoor", "everything"])
def test_two_transformers_in_opposite_phase_are_refused_and_in_phase_are_not(scope: str) -> None:
    """Which is which comes from the leg that the first one hangs on: only one of two can fight."""
    refusals = {leg: isolate(second_transformer(leg), scope=scope).refusals for leg in ("L1", "L2")}
    assert refusals["L1"] == ()
    (only,) = refusals["L2"]
    assert only.kind == "control shorted"
    assert set(only.terminals) == {
        "transformer.R", "transformer.C", "transformer_2.R", "transformer_2.C",
    }  # fmt: skip
    assert "opposite phase" in only.what


def test_two_sources_of_one_phase_and_other_volts_are_no_short() -> None:
    """An inverter past the contactor that gives a little more than the utility beside it."""
    second = Part("second", "service", "panel", values={"leg_volt": 125.0})
    made = joined(
        with_parts(unit(NAME), [second, Part("second_breaker", "breaker_2p", "panel")]),
        ("second.L1", "second_breaker.line1"), ("second.L2", "second_breaker.line2"),
        ("second_breaker.load1", "contactor.T1"), ("second_breaker.load2", "contactor.T2"),
    )  # fmt: skip
    assert isolate(made).refusals == ()
    crossed = replace(
        made,
        wires=tuple(
            replace(w, end={"contactor.T1": "contactor.T2"}.get(w.end, "contactor.T1"))
            if w.start.startswith("second_breaker.load") else w
            for w in made.wires
        ),
    )  # fmt: skip
    refused(crossed, "supply shorted")


@pytest.mark.parametrize("scope", ["cabinet", "disconnect", "indoor", "everything"])
def test_a_compressor_that_only_hums_on_a_demand_is_no_unit_that_runs(scope: str) -> None:
    """Y lost, and a jumper that feeds the start lead: something draws amps, nothing works."""
    made = joined(without(unit(NAME), "y_field", "y_hp"), ("contactor.L1", "compressor.S"))
    assert "nothing runs" in {each.kind for each in isolate(made, scope=scope).refusals}
