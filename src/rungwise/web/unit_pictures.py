"""Pictures for the pages, drawn once for each unit and state."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from rungwise.circuit import CALLING, STANDBY, Condition
from rungwise.drawing import Marks, ladder, marks_of, panel
from rungwise.parts import Poles, part_of
from rungwise.services import RESULTS
from rungwise.unit import Part, Unit
from rungwise.web.leads import Leads
from rungwise.web.panes import grouped
from rungwise.wording import current, mark, say

Kind = Literal["ladder", "panel"]

MARKED = mark("A suspected part is marked with the odds of all its faults together.")
"""What is said under a picture that marks suspects."""

BELIEF_STEP = 0.01
"""Beliefs are drawn in the steps that the list of suspects tells them in: whole percents."""

LEAST_BELIEF = 0.025
"""A part that is suspected less is not marked: a picture full of marks shows nothing."""


@dataclass(frozen=True)
class State:
    """A state to look at a unit in. condition: None for a unit without volts."""

    key: str
    name: str
    condition: Condition | None
    told: str


_pictures = RESULTS.shelf("pictures")


def states_of(unit: Unit) -> tuple[State, ...]:
    """The states that a unit can be looked at in, its own devices opened in turn among them."""
    found = [
        State(
            "rest",
            mark("No volts"),
            None,
            mark("Without volts; every contact as it stands de-energized."),
        ),
        State(
            "call", mark("Calling"), CALLING, mark("The thermostat calls and nothing is at fault.")
        ),
        State(
            "idle",
            mark("Thermostat off"),
            STANDBY,
            mark("Nothing is called for; both supplies are on."),
        ),
    ]
    devices = [(part, poles) for part, poles in unit.having(Poles) if poles.moved_by == "hand"]
    for key, name in (
        ("disconnect", mark("Disconnect open")),
        ("outdoor", mark("Outdoor breaker off")),
        ("indoor", mark("Indoor breaker off")),
    ):
        names = [part.name for part, poles in devices if _opens(unit, part, poles) == key]
        if names:
            told = say(
                "{device}, and the thermostat still calls: what is marked is live all the same.",
                device=name,
            )
            found.append(State(key, name, CALLING.opened(*names), told))
    return tuple(found)


def _opens(unit: Unit, part: Part, poles: Poles) -> str:
    """What a device opens: "disconnect" of that place, "outdoor" or "indoor" of the panel."""
    if part.place != "panel":
        return part.place if part.place == "disconnect" else ""
    load = f"{part.name}.{poles.poles[0].load}"
    behind = {unit.part(part_of(end)).place for end in unit.wired_together(load)}
    return "outdoor" if behind & {"disconnect", "outdoor"} else "indoor"


def state_of(unit: Unit, key: str) -> State:
    """The state of that key; a unit without volts where there is none."""
    states = states_of(unit)
    return next((each for each in states if each.key == key), states[0])


def svg_in_state(unit: Unit, kind: Kind, state: State) -> str:
    """A picture of a unit in a state."""

    def make() -> str:
        marks = marks_of(unit, state.condition) if state.condition else Marks()
        return _picture(unit, kind, marks, "outdoor")

    return _pictures.get(f"{_of(unit)} {kind} {state.key}", make)


def svg_at_check(
    unit: Unit, kind: Kind, leads: Leads, suspected: Mapping[str, float], place: str
) -> str:
    """A picture of where the leads go, and of what is suspected."""
    seen = {
        name: round(each / BELIEF_STEP) * BELIEF_STEP
        for name, each in suspected.items()
        if each >= LEAST_BELIEF
    }
    marks = Marks(
        suspected=seen,
        leads=leads.on_terminals,
        changed=frozenset([leads.jaw] if leads.jaw else []),
    )
    key = f"{_of(unit)} {kind} {place} {leads} {sorted(seen.items())}"
    return _pictures.get(key, lambda: _picture(unit, kind, marks, place))


def svg_of_wire(unit: Unit, wire: str, place: str) -> str:
    """The cabinet at a place with one wire marked, or with none for ""."""
    marks = Marks(changed=frozenset([wire] if wire else []))
    key = f"{_of(unit)} wire {place} {wire}"
    return _pictures.get(key, lambda: _picture(unit, "panel", marks, place))


def spots_of(unit: Unit, leads: Leads) -> list[str]:
    """The terminals that matter to a check: under the leads, or at the ends of the clamped wire."""
    wire = unit.wire_by_name.get(leads.jaw)
    return [*leads.on_terminals.values(), *((wire.start, wire.end) if wire else ())]


def place_of(unit: Unit, leads: Leads) -> str:
    """Where the leads go; the outdoor cabinet where they go nowhere."""
    places = [unit.part(part_of(each)).place for each in spots_of(unit, leads)]
    return "outdoor" if not places or "outdoor" in places else places[0]


def _picture(unit: Unit, kind: Kind, marks: Marks, place: str) -> str:
    if kind == "panel":
        return panel(unit, marks, place=place).svg
    return grouped(ladder(unit, marks).svg)


def _of(unit: Unit) -> str:
    """What decides a picture of a unit: its circuit, its names, colors and language."""
    named = hash(tuple((part.name, part.title, part.place) for part in unit.parts))
    coloured = hash(tuple(wire.colour for wire in unit.wires))
    return f"{current()} {unit.digest} {unit.title} {named} {coloured}"
