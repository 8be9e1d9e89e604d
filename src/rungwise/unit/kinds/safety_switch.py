"""Normally closed switches in series: float, high pressure, low pressure, blower door."""

from __future__ import annotations

from rungwise.unit.element import both, contact, negate, value
from rungwise.unit.kind import Draw, Mode, Parameter, PartKind, State, handle


def _switch(name: str, title: str, weight: float, repair_text: str, behind: str) -> PartKind:
    return PartKind(
        name=name,
        title=title,
        terminals=("1", "2"),
        parameters=(
            Parameter("contact_ohm", "Ω", 0.03, 1e-3, 1.0, "closed contact", 0.3),
            handle("held_open", "open"),
        ),
        elements=contact(
            "contact",
            "1",
            "2",
            ohm=value("contact_ohm"),
            closed=both(value("position"), negate(value("held_open"))),
        ),
        states=(State("position", 1.0, "position", "closed (1) or open (0)", "closes", "opens"),),
        modes=(
            Mode(
                "open",
                f"{title} open",
                weight,
                (Draw("held_open", 1, 1),),
                "find_cause",
                repair_text,
                behind=behind,
            ),
        ),
    )


KINDS = (
    _switch(
        "float_switch",
        "condensate float switch",
        55.0,
        "clear the drain and empty the pan; replace the switch only if it stays open when dry",
        "a blocked condensate drain: the switch may be doing its job",
    ),
    _switch(
        "high_pressure_switch",
        "high-pressure switch",
        30.0,
        "find the high pressure (dirty coil, fan not turning, overcharge) before the switch",
        "a dirty coil, a fan that does not turn or an overcharge: it may be doing its job",
    ),
    _switch(
        "low_pressure_switch",
        "low-pressure switch",
        50.0,
        "measure the charge and find the leak or restriction before the switch",
        "low charge, a restriction or no indoor air: it may be doing its job",
    ),
    _switch(
        "door_switch",
        "blower-door switch",
        18.0,
        "refit the blower door; replace the switch only if it stays open with the door in place",
        "a door that is off or does not press it",
    ),
)
