"""The room thermostat: R to Y on a call for cooling, R to G for the fan."""

from __future__ import annotations

from rungwise.unit.element import both, contact, negate, value
from rungwise.unit.kind import Draw, Mode, Parameter, PartKind, State, handle

KINDS = (
    PartKind(
        name="thermostat",
        title="thermostat",
        terminals=("R", "Y", "G"),
        parameters=(
            Parameter("contact_ohm", "Ω", 0.05, 1e-3, 1.0, "closed contact", 0.3),
            handle("y_held_open", "never calls for cooling"),
        ),
        elements=(
            *contact(
                "y",
                "R",
                "Y",
                ohm=value("contact_ohm"),
                closed=both(value("calls_cool"), negate(value("y_held_open"))),
            ),
            *contact("g", "R", "G", ohm=value("contact_ohm"), closed=value("calls_fan")),
        ),
        states=(
            State("calls_cool", 0.0, "call_cool", "set to call for cooling"),
            State("calls_fan", 0.0, "call_fan", "set to run the fan"),
        ),
        modes=(
            Mode(
                "not_calling",
                "thermostat does not call",
                50.0,
                (Draw("y_held_open", 1, 1),),
                "replace",
                "check its setting, batteries and wiring; replace the thermostat if they are right",
            ),
        ),
    ),
)
