"""A general-purpose relay with one normally open contact (the indoor blower relay)."""

from __future__ import annotations

from rungwise.unit.element import Branch, both, contact, either, negate, value
from rungwise.unit.kind import Draw, Mode, Parameter, PartKind, State, handle
from rungwise.unit.rule import CoilRule

KINDS = (
    PartKind(
        name="relay",
        title="relay",
        terminals=("coil1", "coil2", "common", "no"),
        parameters=(
            Parameter("coil_volt", "V", 24.0, 5.0, 277.0, "rated coil volts"),
            Parameter("coil_ohm", "Ω", 80.0, 5.0, 2000.0, "coil resistance", 0.08),
            Parameter("coil_henry", "H", 0.35, 0.0, 50.0, "coil inductance", 0.08),
            Parameter("contact_ohm", "Ω", 0.01, 1e-4, 0.1, "closed contact", 0.3),
            handle("coil_open", "coil open"),
            handle("contact_open", "contact does not carry"),
            handle("welded", "contact welded"),
        ),
        elements=(
            Branch(
                "coil",
                "coil1",
                "coil2",
                value("coil_ohm"),
                henry=value("coil_henry"),
                closed=negate(value("coil_open")),
            ),
            *contact(
                "contact",
                "common",
                "no",
                ohm=value("contact_ohm"),
                closed=either(
                    value("welded"), both(value("pulled"), negate(value("contact_open")))
                ),
            ),
        ),
        states=(State("pulled", 0.0, "rule", "coil pulled in", "pulls in", "drops out"),),
        rules=(
            CoilRule(
                "pulled",
                "coil",
                lambda p: 0.7 * p["coil_volt"],
                lambda p: 0.3 * p["coil_volt"],
            ),
        ),
        modes=(
            Mode(
                "coil_open",
                "relay coil open",
                3.0,
                (Draw("coil_open", 1, 1),),
                "replace",
                "replace the relay",
            ),
            Mode(
                "contact_open",
                "relay contact does not carry",
                4.0,
                (Draw("contact_open", 1, 1),),
                "replace",
                "replace the relay",
            ),
        ),
    ),
)
