"""The room thermostat at line volts: one contact that feeds the coil outdoors and the fan indoors.

Nothing in it waits: what it starts again starts at once.
"""

from __future__ import annotations

from rungwise.parts.element import both, contact, either, negate, value
from rungwise.parts.facets import (
    JOINTS,
    LOADS,
    SWITCHING,
    Control,
    Demand,
    MixedUp,
    Pole,
    Poles,
    Terminals,
    families,
)
from rungwise.parts.kind import Draw, Mode, PartKind, State, closed_contact, handle
from rungwise.parts.pictures import in_line, series_switch
from rungwise.parts.seen import Looks, Probes
from rungwise.parts.trade import CONTROLS, Against, Label, LabelFigure, Rating, Ratings, Wear
from rungwise.parts.ways import Repair
from rungwise.parts.words import SOMETHING, Plain, Words

_REPLACE = Repair(
    "replace",
    "with it set to cool read the volts across it: the line there is a burnt contact; replace it",
    90.0,
    frozenset({"volts", "drop", "ohms"}),
)

KINDS = (
    PartKind(
        name="line_thermostat",
        title="line-volts thermostat",
        noun="thermostat",
        terminals=("1", "2"),
        parameters=(
            closed_contact(0.02, 1e-3, 1.0, 0.5, untold=0.9),
            handle("held_open", "never calls"),
            handle("stuck", "always calls"),
        ),
        elements=contact(
            "contact", "1", "2", ohm=value("contact_ohm"),
            closed=either(both(value("calls_cool"), negate(value("held_open"))), value("stuck")),
        ),
        facets=(
            families("thermostat"),
            in_line(),
            series_switch("thermal_switch"),
            Words(
                "thermostat",
                "The thermostat asks for cooling.",
                {
                    "burnt": Plain("The contact of the {noun} was burnt."),
                    "setting": Plain("The {noun} was not set to cool.", "set it"),
                    "stuck": Plain("The {noun} asked for cooling all the time."),
                    "another_contact": SOMETHING,
                },
            ),
            Probes(apart=(("1", "2"),), across=(("1", "2"),), to_neutral=("1", "2")),
            Looks(),
            Poles((Pole("1", "2", "contact", "held_open", stuck_handle="stuck"),),
                  moved_by="itself", at_rest="open"),
            Control(
                "1",
                {"off": Demand((), "no longer calls"),
                 "cool": Demand(("2",), "is set to call for cooling")},
                {"2": "calls_cool"},
            ),
            Label(
                ("volt", "rating_a"),
                (
                    LabelFigure("volt", "V", 12, 277, "volts that it is made for"),
                    LabelFigure("rating_a", "A", 0.1, 30, "ampere rating of its contact"),
                ),
            ),
            Ratings((Rating("volt", Against.VOLTS), Rating("rating_a", Against.CURRENT))),
            Wear(CONTROLS, usual=False),
        ),
        lacks=LOADS | SWITCHING - {Control, Poles} | JOINTS | {MixedUp, Terminals},
        states=(State("calls_cool", 0.0, "demand", "set to call for cooling"),),
        modes=(
            _REPLACE.mode("burnt", "{noun}'s contact burnt: it calls and passes nothing on",
                          20.0, Draw("held_open", 1, 1)),
            Mode("setting", "{noun} not set to cool", 15.0, (Draw("held_open", 1, 1),),
                 "set", "set mode and temperature", behind="a hand",
                 signs={"thermostat": 0.92}, shown_by=frozenset({"look:thermostat"}),
                 wrong_minutes=10.0),
            _REPLACE.mode("stuck", "{noun} calls for cooling all the time", 4.0),
            _REPLACE.another("contact", 0.8, Draw("contact_ohm", 2.0, 2e3)),
        ),
    ),
)  # fmt: skip
