"""The defrost timer of a cooler or freezer: a clock that turns cooling off for its minutes.

Known by its terminals: 2 to N drives the clock, 2 to 4 is closed while it cools, 2 to 3 while it
defrosts, and what comes on X ends a defrost before its backup time.  Makers number otherwise.
Two to four defrosts a day, 20 to 40 minutes at the most (common practice, no source).
"""

from __future__ import annotations

import numpy as np

from rungwise.parts.defrost_rule import DefrostRule
from rungwise.parts.element import Branch, both, contact, either, negate, value
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
from rungwise.parts.heat_facets import Defrosts
from rungwise.parts.kind import ICES, Draw, Parameter, PartKind, State, closed_contact, handle
from rungwise.parts.pictures import CONTROL_RANK, Piece, Stand, Symbol
from rungwise.parts.seen import Look, Looks, Probes
from rungwise.parts.trade import CONTROLS, Against, Label, Rating, Ratings, Wear
from rungwise.parts.ways import Repair
from rungwise.parts.words import FAILED, SOMETHING, Plain, Words, told

CLOCK_VOLT = 90.0
"""Volts from which its clock turns, and its release draws (common practice, no source)."""

_READ = frozenset({"volts", "drop", "ohms"})
_REPLACE = Repair(
    "replace",
    "read 2 to N, then turn the dial by hand through a defrost: volts on 4 before, on 3 in it, "
    "on 4 after; replace the timer, and copy its pins and its backup minutes",
    120.0,
    _READ,
)

_RUNS = either(value("defrosting"), value("stuck_in"))

_DIAL = Look(
    "dial_stands", "dial", "does the dial of the defrost timer move in ten minutes?",
    ("moves", "stands"),
)  # fmt: skip

_HANDLES = {
    "motor_open": "its clock does not turn",
    "stuck_in": "stays in defrost",
    "cooling_burnt": "contact 2-4 never conducts",
    "heat_burnt": "contact 2-3 never conducts",
}

KINDS = (
    PartKind(
        name="defrost_timer",
        title="defrost timer",
        terminals=("2", "N", "4", "3", "X"),
        parameters=(
            Parameter("motor_ohm", "Ω", 14000.0, 500.0, 1e5, "what its clock draws",
                      tolerance=0.3, untold=0.5, learned=False),
            Parameter("release_ohm", "Ω", 7000.0, 200.0, 1e5, "what its release draws",
                      tolerance=0.3, untold=0.5, learned=False),
            closed_contact(0.01, 1e-4, 0.5, 0.5, untold=0.9),
            Parameter("interval_s", "s", 21600.0, 3600.0, 86400.0,
                      "time from defrost to defrost, by its pins"),
            Parameter("ends_s", "s", 1800.0, 300.0, 7200.0, "longest defrost, its backup time"),
            *(handle(name, what) for name, what in _HANDLES.items()),
        ),
        elements=(
            Branch("motor", "2", "N", value("motor_ohm"), closed=negate(value("motor_open"))),
            *contact("cooling", "2", "4", ohm=value("contact_ohm"),
                     closed=both(negate(_RUNS), negate(value("cooling_burnt")))),
            *contact("heat", "2", "3", ohm=value("contact_ohm"),
                     closed=both(_RUNS, negate(value("heat_burnt")))),
            Branch("release", "3", "X", value("release_ohm")),
        ),
        facets=(
            families("defrost timer"),
            Stand(top=("2", "N"), bottom=("4", "3", "X"), rank=CONTROL_RANK, mark="clock"),
            Symbol(
                (
                    Piece("motor", ("2", "N"), ("box",), ("motor",)),
                    Piece("cooling", ("2", "4"), ("contact_nc",), ("cooling",), through=True),
                    Piece("heat", ("2", "3"), ("contact",), ("heat",), through=True),
                    Piece("release", ("3", "X"), ("coil",), ("release",)),
                )
            ),
            Words(
                "defrost clock",
                "The defrost clock stops the cooling now and then, so that ice melts.",
                {
                    "motor_open": Plain("The {noun} stood still."),
                    "stuck_in": Plain("The {noun} was stuck and kept the cooling off."),
                    **told(FAILED, ("cooling_burnt", "heat_burnt")),
                    "another_contact": SOMETHING,
                },
            ),
            Probes(volts=(("2", "N"), ("4", "N"), ("3", "N"))),
            Looks((_DIAL,)),
            Poles(
                (Pole("2", "4", "cooling", "cooling_burnt"),), moved_by="itself", at_rest="closed"
            ),
            Defrosts("due", "defrosting"),
            Terminals(dict.fromkeys(("2", "N", "4", "3", "X"), ("screw", "screw"))),
            Label(("ends_s",)),
            Ratings((Rating("ends_s", Against.TIME),)),
            Wear(CONTROLS, one_of="defrost timer", usual=False),
        ),
        lacks=LOADS | SWITCHING - {Defrosts, Poles} | JOINTS | {MixedUp},
        states=(
            State("due", 0.0, "demand", "a defrost is due"),
            State("defrosting", 0.0, "rule", "it defrosts", "begins a defrost", "ends the defrost"),
        ),
        rules=(
            DefrostRule(
                "defrosting", "motor", "due",
                (("motor", CLOCK_VOLT, np.inf), ("release", -1.0, CLOCK_VOLT)),
                negate(value("motor_open")), value("interval_s"), value("ends_s"),
            ),
        ),
        modes=(
            _REPLACE.mode("motor_open", "{noun}'s clock stands, no defrost comes", 20.0,
                          behind="worn gears or its coil",
                          signs={"dial_stands": 0.97, "ice": 0.7},
                          shown_by=_READ | {"look:dial"}, ices=ICES),
            _REPLACE.mode("stuck_in", "{noun} stuck in defrost", 12.0, behind="worn gears",
                          signs={"dial_stands": 0.9}, shown_by=_READ | {"look:dial"}),
            _REPLACE.mode("cooling_burnt", "{noun}'s contact 2-4 burnt open", 8.0),
            _REPLACE.mode("heat_burnt", "{noun}'s contact 2-3 burnt open", 4.0,
                          signs={"ice": 0.6}),
            _REPLACE.another("contact", 0.6, Draw("contact_ohm", 20.0, 3000.0)),
        ),
    ),
)  # fmt: skip
