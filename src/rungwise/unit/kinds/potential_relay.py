"""The start relay of a hard-start kit: opens 1-2 when the winding's own volts have risen."""

from __future__ import annotations

from rungwise.unit.element import Branch, both, contact, either, negate, value
from rungwise.unit.kind import Draw, Mode, Parameter, PartKind, State, handle
from rungwise.unit.rule import CoilRule

_REPLACE = ("replace", "replace the hard-start kit, relay and capacitor together")

KINDS = (
    PartKind(
        name="potential_relay",
        title="start relay",
        terminals=("1", "2", "5"),
        parameters=(
            Parameter(
                "pick_up_volt", "V", 260.0, 120, 420, "coil volts that open contact 1-2", 0.05
            ),
            Parameter(
                "drop_out_volt", "V", 90.0, 30, 150, "coil volts at which it closes again", 0.1
            ),
            Parameter("coil_ohm", "Ω", 10000.0, 1000, 50000, "coil 2-5 resistance", 0.08),
            Parameter("coil_henry", "H", 40.0, 0.0, 500.0, "coil 2-5 inductance", 0.08),
            Parameter("contact_ohm", "Ω", 0.02, 1e-3, 0.2, "closed contact", 0.3),
            handle("stuck", "contact never opens"),
            handle("never_in", "contact never closes"),
        ),
        elements=(
            *contact(
                "contact",
                "1",
                "2",
                ohm=value("contact_ohm"),
                closed=both(
                    either(value("stuck"), negate(value("pulled"))), negate(value("never_in"))
                ),
            ),
            Branch("coil", "2", "5", value("coil_ohm"), henry=value("coil_henry")),
        ),
        states=(
            State("pulled", 0.0, "rule", "coil pulled, contact 1-2 open", "picks up", "drops out"),
        ),
        rules=(CoilRule("pulled", "coil", value("pick_up_volt"), value("drop_out_volt")),),
        modes=(
            Mode(
                "stuck_in",
                "start relay leaves the start capacitor in",
                6.0,
                (Draw("stuck", 1, 1),),
                *_REPLACE,
            ),
            Mode(
                "never_in",
                "start relay never puts the start capacitor in",
                8.0,
                (Draw("never_in", 1, 1),),
                *_REPLACE,
            ),
        ),
    ),
)
