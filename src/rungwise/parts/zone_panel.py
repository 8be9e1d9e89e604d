"""The zone panel: zone thermostats ask it, it moves its dampers and then asks the equipment.

It lives on a transformer of its own; between its side and the equipment's there are dry contacts.
A damper drives for 30 to 90 s, and the blower runs on for 1 to 3 minutes (by make; the rest is
common practice, no source).
"""

from __future__ import annotations

from rungwise.parts.element import Branch, both, contact, either, fixed, negate, value
from rungwise.parts.facets import (
    JOINTS,
    LOADS,
    SWITCHING,
    MixedUp,
    Pole,
    Poles,
    Terminals,
    families,
)
from rungwise.parts.kind import (
    Draw,
    Parameter,
    PartKind,
    State,
    board_input,
    closed_contact,
    handle,
)
from rungwise.parts.pictures import TWO_TABS, Piece, Stand, Symbol
from rungwise.parts.seen import Looks, Probes
from rungwise.parts.slow_actuator import SlowActuatorRule
from rungwise.parts.trade import CONTROLS, Facet, Label, Ratings, Wear
from rungwise.parts.ways import Repair
from rungwise.parts.words import FAILED, SOMETHING, Words, told

_ZONE = ("24V", "24C", "ZR", "ZY", "ZG", "DO", "DC")
_EQUIPMENT = ("Req", "Yeq", "Geq")
_MINUTES = 180.0
_REPLACE = Repair(
    "replace",
    "with a zone that calls, join Req to Yeq for a moment: if the unit runs, the panel is at "
    "fault; replace it",
    _MINUTES,
    frozenset({"volts", "drop", "ohms"}),
)
_SEES = fixed(15.0)
_ALIVE = negate(value("dead"))


def _panel_facets() -> tuple[Facet, ...]:
    return (
        families("electronics", "board"),
        Stand(top=("ZR", "ZY", "ZG", "24V", "24C"), bottom=("Geq", "Req", "Yeq", "DO", "DC")),
        Symbol(
            (
                Piece("y", ("Req", "Yeq"), ("contact",), ("y",), through=True,
                      aside="asks for cooling"),
                Piece("g", ("Req", "Geq"), ("contact",), ("g",), through=True,
                      aside="asks for the fan"),
                Piece("damper", ("24V", "DO"), ("contact",), ("damper",), through=True,
                      aside="opens the damper"),
                Piece("to_zone", ("24V", "ZR"), ("bar",), ("to_zone",), through=True),
                Piece("damper_common", ("24C", "DC"), ("bar",), ("damper_common",)),
                Piece("y_in", ("ZY", "24C"), ("timer",), ("y_in",), aside="Y of the zone"),
                Piece("g_in", ("ZG", "24C"), ("timer",), ("g_in",), aside="G of the zone"),
            )
        ),
        Words(
            purpose="The zone panel sends the air to the rooms that ask for it.",
            modes={
                **told(FAILED, ("dead", "y_open")),
                "another_contact": SOMETHING,
            },
        ),
        Probes(volts=(("24V", "24C"), ("ZY", "24C"), ("ZG", "24C"), ("Req", "Yeq"),
                      ("Req", "Geq"))),
        Looks(),
        Poles(
            (
                Pole("Req", "Yeq", "y", "y_open"),
                Pole("Req", "Geq", "g"),
                Pole("24V", "DO", "damper"),
            ),
            moved_by="itself", at_rest="open", asked=True,
        ),
        Terminals(dict.fromkeys((*_ZONE, *_EQUIPMENT), ("screw",) * 2)),
        Label(),
        Wear(CONTROLS, usual=False),
    )  # fmt: skip


def _panel() -> PartKind:
    ohm = value("contact_ohm")
    calls = either(value("y_called"), value("g_called"))
    return PartKind(
        name="zone_panel",
        title="zone panel",
        terminals=(*_ZONE, *_EQUIPMENT),
        parameters=(
            Parameter("supply_ohm", "Ω", 150.0, 30.0, 1e5, "what its electronics draw", 0.2,
                      untold=0.8, learned=False),
            board_input("what its inputs draw"),
            closed_contact(0.05, 1e-3, 1.0, 0.3, untold=0.8),
            Parameter("drive_s", "s", 60.0, 5.0, 180.0, "time that a damper drives first", 0.3,
                      learned=False, source="30 to 90 s by make"),
            Parameter("blower_off_s", "s", 120.0, 0.0, 300.0, "blower after the last call", 0.3,
                      learned=False, source="1 to 3 min by make"),
            handle("dead", "panel asks for nothing"),
            handle("y_open", "its output to Y does not carry"),
        ),
        elements=(
            Branch("supply", "24V", "24C", value("supply_ohm")),
            Branch("to_zone", "24V", "ZR", fixed(0.02)),
            Branch("y_in", "ZY", "24C", value("input_ohm")),
            Branch("g_in", "ZG", "24C", value("input_ohm")),
            Branch("damper_common", "24C", "DC", fixed(0.02)),
            *contact("damper", "24V", "DO", ohm=ohm, closed=both(_ALIVE, calls)),
            *contact("y", "Req", "Yeq", ohm=ohm,
                     closed=both(value("y_called"), _ALIVE, negate(value("y_open")))),
            *contact("g", "Req", "Geq", ohm=ohm, closed=both(value("g_called"), _ALIVE)),
        ),
        facets=_panel_facets(),
        lacks=LOADS | SWITCHING - {Poles} | JOINTS | {MixedUp, Ratings},
        states=(
            State("y_called", 0.0, "rule", "a zone has asked for cooling", "asks for cooling",
                  "no longer asks for cooling"),
            State("g_called", 0.0, "rule", "a zone has asked for the fan", "asks for the blower",
                  "no longer asks for the blower"),
        ),
        rules=(
            SlowActuatorRule("y_called", "y_in", volts=_SEES, delay_s=value("drive_s"),
                             off_s=fixed(0.5)),
            SlowActuatorRule("g_called", "g_in", volts=_SEES, delay_s=value("drive_s"),
                             off_s=value("blower_off_s")),
        ),
        modes=(
            _REPLACE.mode("dead", "{noun} asks for nothing", 6.0,
                          behind="a surge, low volts or water"),
            _REPLACE.mode("y_open", "output of the {noun} to Y does not carry", 8.0),
            _REPLACE.another("contact", 0.5, Draw("contact_ohm", 2.0, 5e3)),
        ),
    )  # fmt: skip


_DAMPER = Repair(
    "replace",
    "lift its two wires: the panel comes back where its motor is shorted; replace the damper's "
    "motor",
    _MINUTES,
    frozenset({"ohms"}),
)


def _damper() -> PartKind:
    return PartKind(
        name="damper",
        title="zone damper",
        terminals=("1", "2"),
        parameters=(
            Parameter("motor_ohm", "Ω", 70.0, 10.0, 5000.0, "what its motor draws", 0.2,
                      untold=0.8, learned=False),
            handle("open", "motor open"),
            handle("shorted", "motor shorted"),
        ),
        elements=(
            Branch("motor", "1", "2", lambda p: p["motor_ohm"] * (1.0 - 0.99 * p["shorted"]),
                   closed=negate(value("open"))),
        ),
        facets=(
            families("electronics"),
            TWO_TABS,
            Symbol((Piece("motor", ("1", "2"), ("box",), ("motor",)),)),
            Words(
                purpose="The damper lets air into a part of the house.",
                modes={**told(FAILED, ("open", "shorted")), "another_motor": SOMETHING},
            ),
            Probes(apart=(("1", "2"),), volts=(("1", "2"),)),
            Looks(),
            Terminals(dict.fromkeys(("1", "2"), ("screw",)), reach_minutes=10.0),
            Label(),
            Wear(CONTROLS, usual=False),
        ),
        lacks=LOADS | SWITCHING | JOINTS | {MixedUp, Ratings},
        modes=(
            _DAMPER.mode("open", "motor of the {noun} open", 6.0),
            _DAMPER.mode("shorted", "motor of the {noun} shorted", 20.0, opens_ahead=(0.8, "1")),
            _DAMPER.another("motor", 0.6, Draw("motor_ohm", 10.0, 30.0)),
        ),
    )  # fmt: skip


KINDS = (_panel(), _damper())
