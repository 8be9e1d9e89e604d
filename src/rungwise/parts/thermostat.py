"""The room thermostat: R to Y on a call for cooling, R to G for the fan."""

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
from rungwise.parts.kind import Draw, Mode, Parameter, PartKind, State, closed_contact, handle
from rungwise.parts.pictures import Piece, Stand, Symbol
from rungwise.parts.seen import Looks, Probes
from rungwise.parts.trade import CONTROLS, Against, Label, LabelFigure, Rating, Ratings, Wear
from rungwise.parts.ways import Repair
from rungwise.parts.words import SOMETHING, Plain, Words, told

_READ = frozenset({"volts", "drop"})
_MINUTES = 120.0
_REPLACE = Repair(
    "replace",
    "check its setting, batteries and wiring first, and join R to Y at its base for a moment: "
    "the unit starts where the {noun} is at fault; then replace the thermostat",
    _MINUTES,
    _READ,
)

KINDS = (
    PartKind(
        name="thermostat",
        title="thermostat",
        terminals=("R", "Y", "G"),
        parameters=(
            closed_contact(0.05, 1e-3, 1.0, 0.3, untold=0.9),
            Parameter("y_ohm", "Ω", 0.0, 0.0, 1e6, "bad contact from R to Y", hidden=True),
            handle("y_held_open", "never calls for cooling"),
            handle("y_stuck", "always calls for cooling"),
            handle("g_held_open", "never calls for the fan"),
        ),
        elements=(
            *contact(
                "y",
                "R",
                "Y",
                ohm=lambda p: p["contact_ohm"] + p["y_ohm"],
                closed=either(
                    both(value("calls_cool"), negate(value("y_held_open"))), value("y_stuck")
                ),
            ),
            *contact(
                "g",
                "R",
                "G",
                ohm=value("contact_ohm"),
                closed=both(value("calls_fan"), negate(value("g_held_open"))),
            ),
        ),
        facets=(
            families("thermostat"),
            Stand(bottom=("R", "Y", "G"), mark="bulb"),
            Symbol(
                (
                    Piece(
                        "contacts",
                        ("Y", "R", "G"),
                        ("thermal_switch", "thermal_switch"),
                        ("y", "g"),
                        through=True,
                        forks=True,
                    ),
                )
            ),
            Words(
                purpose="The thermostat asks for cooling.",
                modes={
                    "not_calling": Plain("The thermostat did not ask for cooling."),
                    "setting": Plain(
                        "The thermostat was not set to cool, or its batteries were empty.",
                        "set it, or replace its batteries",
                    ),
                    "keeps_calling": Plain("The thermostat asked for cooling all the time."),
                    **told(SOMETHING, ("another_y", "another_g")),
                },
            ),
            Probes(volts=(("R", "Y"),), conducts=True),
            Looks(),
            Poles(
                (Pole("R", "Y", "y", "y_held_open"), Pole("R", "G", "g", "g_held_open")),
                moved_by="itself",
                at_rest="open",
            ),
            Control(
                "R",
                {
                    "off": Demand((), "no longer calls"),
                    "fan": Demand(("G",), "is set to run the fan only"),
                    "cool": Demand(("Y", "G"), "is set to call for cooling"),
                },
                {"Y": "calls_cool", "G": "calls_fan"},
            ),
            Label(
                ("volt",),
                (
                    LabelFigure("volt", "V", 12, 250, "volts that it is made for"),
                    LabelFigure("rating_a", "A", 0.1, 20, "ampere rating of its contacts"),
                ),
                {"needs_common": ("yes", "no")},
            ),
            Ratings((Rating("volt", Against.VOLTS), Rating("rating_a", Against.CURRENT))),
            Wear(CONTROLS, one_of="thermostat"),
        ),
        lacks=LOADS | SWITCHING - {Control, Poles} | JOINTS | {MixedUp, Terminals},
        states=(
            State("calls_cool", 0.0, "demand", "set to call for cooling"),
            State("calls_fan", 0.0, "demand", "set to run the fan"),
        ),
        modes=(
            _REPLACE.mode(
                "not_calling",
                "{noun} does not call though it is set to",
                20.0,
                Draw("y_held_open", 1, 1),
                signs={"blank": 0.3},
            ),
            Mode(
                "setting",
                "{noun} not set to cool, or its batteries are dead",
                30.0,
                (Draw("y_held_open", 1, 1),),
                "set",
                "set mode, temperature and schedule, wait out its delay, replace its batteries",
                behind="a hand, a schedule, a power cut or old batteries",
                signs={"thermostat": 0.92},
                shown_by=frozenset({"look:thermostat", "look:screen"}),
                wrong_minutes=10.0,
            ),
            Mode(
                "keeps_calling",
                "{noun} calls for cooling all the time",
                4.0,
                (Draw("y_stuck", 1, 1),),
                "replace",
                "take its Y wire off: the unit stops where the {noun} is at fault; then "
                "replace the thermostat",
                shown_by=_READ,
                wrong_minutes=_MINUTES,
            ),
            _REPLACE.another("y", 0.8, Draw("y_ohm", 2.0, 2e4)),
            _REPLACE.another("g", 0.6, Draw("g_held_open", 1, 1)),
        ),
    ),
)
