"""The anti-short-cycle delay: passes Y on to the contactor after Y has been present a while."""

from __future__ import annotations

from rungwise.parts.element import Branch, both, contact, negate, value
from rungwise.parts.facets import (
    JOINTS,
    LOADS,
    SWITCHING,
    MixedUp,
    Pole,
    Poles,
    Terminals,
    Timer,
    families,
)
from rungwise.parts.kind import Draw, Parameter, PartKind, State, closed_contact, handle
from rungwise.parts.pictures import Piece, Stand, Symbol
from rungwise.parts.rule import DelayRule
from rungwise.parts.seen import Looks, Probes
from rungwise.parts.trade import CONTROLS, Against, Label, Rating, Ratings, Wear
from rungwise.parts.ways import Repair
from rungwise.parts.words import FAILED, SOMETHING, Words, told

_REPLACE = Repair(
    "replace",
    "wait out its time, then read Y in and Y out; replace the {noun}",
    90.0,
    frozenset({"volts", "drop"}),
)

KINDS = (
    PartKind(
        name="delay",
        title="anti-short-cycle delay",
        noun="delay",
        terminals=("y_in", "y_out", "c"),
        parameters=(
            Parameter("delay_s", "s", 180.0, 0.0, 900.0, "time from Y present to Y passed on"),
            Parameter(
                "supply_ohm",
                "Ω",
                1500.0,
                50.0,
                1e5,
                "what its electronics draw",
                tolerance=0.1,
                untold=0.8,
                learned=False,
            ),
            closed_contact(0.05, 1e-3, 1.0, 0.3, untold=0.8),
            handle("dead", "never passes Y on"),
        ),
        elements=(
            Branch("supply", "y_in", "c", value("supply_ohm")),
            *contact(
                "contact",
                "y_in",
                "y_out",
                ohm=value("contact_ohm"),
                closed=both(value("timed_in"), negate(value("dead"))),
            ),
        ),
        facets=(
            families("electronics", "delay"),
            Stand(top=("y_in", "y_out", "c"), turns=True, mark="clock"),
            Symbol(
                (
                    Piece(
                        "delay", ("y_out", "y_in", "c"), ("contact", "timer"), ("contact", "supply")
                    ),
                )
            ),
            Words(
                "time delay",
                "The delay keeps the compressor from starting again too soon.",
                {"dead": FAILED, **told(SOMETHING, ("another_contact", "another_supply"))},
            ),
            Probes(apart=(("y_in", "c"),), volts=(("y_in", "c"), ("y_out", "c"))),
            Looks(),
            Poles((Pole("y_in", "y_out", "contact"),), moved_by="itself", at_rest="open"),
            Terminals(dict.fromkeys(("y_in", "y_out", "c"), ("tab",) * 2)),
            Timer("y_in", "y_out", "c", "delay_s"),
            Label(),
            Ratings((Rating("delay_s", Against.TIME),)),
            Wear(CONTROLS),
        ),
        lacks=LOADS | SWITCHING - {Poles, Timer} | JOINTS | {MixedUp},
        states=(
            State("timed_in", 0.0, "rule", "the delay has run out", "passes Y on", "starts over"),
        ),
        rules=(
            DelayRule(
                "timed_in",
                "supply",
                volts=lambda p: 0.0 * p["delay_s"] + 16.0,
                delay_s=value("delay_s"),
            ),
        ),
        modes=(
            _REPLACE.mode("dead", "{noun} does not pass Y on", 15.0),
            _REPLACE.another("contact", 0.5, Draw("contact_ohm", 2.0, 5e3)),
            _REPLACE.another(
                "supply", 0.3, Draw("supply_ohm", 0.5, 40.0), shown_by=frozenset({"ohms", "amps"})
            ),
        ),
    ),
)
