"""The fan board of an air handler: a relay that follows G, a little later on and a while after off.

Its times are seen on makers' sheets: 0 to 7 s on, 45 to 90 s off; the rest is common practice, no
source.
"""

from __future__ import annotations

from rungwise.parts.element import Branch, both, contact, either, negate, value
from rungwise.parts.facets import (
    JOINTS,
    LOADS,
    SWITCHING,
    Coil,
    MixedUp,
    Pole,
    Poles,
    Terminals,
    families,
)
from rungwise.parts.kind import Draw, Mode, Parameter, PartKind, State, closed_contact, handle
from rungwise.parts.pictures import SWITCHING_RANK, Piece, Stand, Symbol
from rungwise.parts.seen import Looks, Probes
from rungwise.parts.slow_actuator import SlowActuatorRule
from rungwise.parts.trade import CONTACT_A, CONTROLS, Against, Label, Rating, Ratings, Wear
from rungwise.parts.ways import Repair
from rungwise.parts.words import FAILED, SOMETHING, LeaveOff, Plain, Words, told

_CONTACT = frozenset({"ohms", "volts", "drop"})
_REPLACE = Repair(
    "replace",
    "with G called for, 24 V from G to C and no line volts on COM are the board; replace it",
    150.0,
    _CONTACT,
)
_PULLED = both(value("pulled"), negate(value("dead")))


def _mode(name: str, title: str, weight: float, shown_by: frozenset[str], behind: str = "") -> Mode:
    return _REPLACE.mode(name, title, weight, behind=behind, shown_by=shown_by)


KINDS = (
    PartKind(
        name="fan_board",
        title="fan board",
        terminals=("G", "C", "COM", "NO", "NC"),
        parameters=(
            Parameter("coil_volt", "V", 24.0, 12.0, 30.0, "volts of its input"),
            Parameter("coil_ohm", "Ω", 300.0, 30.0, 5000.0, "what its input draws", tolerance=0.2,
                      untold=1.6, learned=False),
            closed_contact(0.01, 1e-4, 0.1, 0.5, untold=0.9),
            Parameter("on_s", "s", 3.0, 0.0, 30.0, "from G to the blower", tolerance=0.5,
                      untold=0.9, learned=False, source="0 to 7 s by make"),
            Parameter("off_s", "s", 65.0, 0.0, 300.0, "from G gone to the blower off",
                      tolerance=0.3, untold=0.4, learned=False, source="45 to 90 s by make"),
            handle("dead", "input gives nothing to its relay"),
            handle("no_open", "contact that G closes does not carry"),
            handle("nc_open", "contact that G opens does not carry"),
            handle("welded", "contact that G closes is welded"),
        ),
        elements=(
            Branch("coil", "G", "C", value("coil_ohm")),
            *contact(
                "no_contact", "COM", "NO", ohm=value("contact_ohm"),
                closed=either(value("welded"), both(_PULLED, negate(value("no_open")))),
            ),
            *contact(
                "nc_contact", "COM", "NC", ohm=value("contact_ohm"),
                closed=both(negate(_PULLED), negate(value("nc_open")), negate(value("welded"))),
            ),
        ),
        facets=(
            families("electronics", "board", "relay"),
            Stand(top=("NO", "NC"), bottom=("COM",), right=("G", "C"), rank=SWITCHING_RANK),
            Symbol(
                (
                    Piece("no", ("NO", "COM"), ("contact",), ("no_contact",), through=True,
                          aside="closes on G"),
                    Piece("nc", ("NC", "COM"), ("contact_nc",), ("nc_contact",), through=True,
                          aside="opens on G"),
                    Piece("input", ("G", "C"), ("timer",), ("coil",), aside="input"),
                )
            ),
            Words(
                purpose="The fan board starts the blower, and lets it run on for a while.",
                modes={
                    **told(FAILED, ("dead", "no_open")),
                    "nc_open": Plain(
                        "The {noun} did not start the blower for the heat.", off=LeaveOff.BREAKER
                    ),
                    "welded": Plain(
                        "The {noun} kept the blower running.", off=LeaveOff.DOES_NOT_STOP
                    ),
                    "another_contact": SOMETHING,
                },
            ),
            Probes(drops=True),
            Looks(),
            Poles(
                (
                    Pole("NO", "COM", "no_contact", "no_open", stuck_handle="welded"),
                    Pole("NC", "COM", "nc_contact", "nc_open"),
                ),
                moved_by="coil", at_rest="open",
            ),
            Coil("coil", ("G", "C"), "pulled", "coil_volt", "general purpose"),
            Label(figures=(CONTACT_A,)),
            Ratings(
                (
                    Rating("coil_volt", Against.COIL_VOLTS),
                    Rating(CONTACT_A.name, Against.RUNNING_MOTORS),
                )
            ),
            Wear(CONTROLS, usual=False),
        ),
        lacks=LOADS | SWITCHING - {Coil, Poles} | JOINTS | {MixedUp, Terminals},
        states=(
            State("pulled", 0.0, "rule", "its relay is in", "starts the blower",
                  "lets the blower go"),
        ),
        rules=(
            SlowActuatorRule(
                "pulled", "coil", volts=lambda p: 0.65 * p["coil_volt"], delay_s=value("on_s"),
                off_s=value("off_s"),
            ),
        ),
        modes=(
            _mode("dead", "{noun} does nothing on G", 8.0, _CONTACT,
                  behind="a surge, low volts or a short in the control wires"),
            _mode("no_open", "relay of the {noun} does not make", 20.0, _CONTACT),
            _mode("nc_open", "{noun} gives the heat no blower", 4.0, _CONTACT),
            _mode("welded", "relay of the {noun} welded", 12.0, _CONTACT | {"look:idle"}),
            _REPLACE.another("contact", 0.6, Draw("contact_ohm", 0.2, 1000.0)),
        ),
    ),
)  # fmt: skip
