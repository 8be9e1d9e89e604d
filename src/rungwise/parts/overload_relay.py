"""The motor overload relay: heaters in the three lines of a motor, a contact in its coil's circuit.

It does not open the lines; its contact 95-96 takes the contactor's coil away, and stays open until
a hand resets it.  Trips by heat: in some seconds at locked amps, in minutes at half more than its
dial (IEC 60947-4-1 class 10 trips within 10 s at 7.2 times the dial; check your own copy).
"""

from __future__ import annotations

from rungwise.parts.element import (
    Branch,
    Expr,
    FloatArray,
    Lookup,
    both,
    contact,
    either,
    negate,
    value,
)
from rungwise.parts.facets import (
    JOINTS,
    LOADS,
    SWITCHING,
    MixedUp,
    Overcurrent,
    Pole,
    Poles,
    Terminals,
    families,
)
from rungwise.parts.kind import Draw, Mode, Parameter, PartKind, State, closed_contact, handle
from rungwise.parts.pictures import SWITCHING_RANK, Piece, Stand, Symbol
from rungwise.parts.rule import FuseRule
from rungwise.parts.seen import Looks, Probes, Stands
from rungwise.parts.trade import CONTROLS, Against, Label, Rating, Ratings, Wear
from rungwise.parts.ways import Repair
from rungwise.parts.words import FAILED, SOMETHING, Plain, Words, told
from rungwise.wording import mark

LINES = (("1", "2"), ("3", "4"), ("5", "6"))
TRIPS_FROM = 1.15
"""Amps over the dial from which it trips (IEC 60947-4-1: not at 1.05, by 1.2 times)."""

SLOW_S = 300.0
"""So that 7.2 times the dial opens it in 8 s, within class 10."""

NEVER_AT_ONCE = 1e9

_READ = frozenset({"volts", "drop", "ohms"})
_REPLACE = Repair(
    "replace",
    "reset it once and find why it tripped; only where 95-96 stays open after that, or its "
    "dial reads the motor's amps and it still trips, replace it",
    90.0,
    _READ,
)


def _heater_ohm(number: int) -> Expr:
    def ohm(p: Lookup) -> FloatArray:
        return p["heater_ohm"] + p[f"more{number}_ohm"]

    return ohm


def _rule(number: int) -> FuseRule:
    return FuseRule(
        "tripped",
        f"heater{number}",
        fast_amp=lambda p: NEVER_AT_ONCE * p["dial_a"],
        slow_amp=lambda p: TRIPS_FROM * p["dial_a"],
        slow_s=SLOW_S,
        rated_by="dial_a",
    )


KINDS = (
    PartKind(
        name="overload_relay",
        title="motor overload relay",
        terminals=(*(end for line in LINES for end in line), "95", "96"),
        parameters=(
            Parameter("dial_a", "A", 5.2, 0.1, 100, "dial, set to the motor's amps", 0.05,
                      learned=False),
            Parameter("heater_ohm", "Ω", 0.01, 1e-4, 5.0, "a heater in the line", 0.2, untold=0.8,
                      learned=False),
            *(Parameter(f"more{n}_ohm", "Ω", 0.0, 0.0, 1e6, f"heater {n}: more than a good one",
                        hidden=True) for n in (1, 2, 3)),
            closed_contact(0.02, 1e-4, 0.2, 0.5, untold=0.9),
            handle("held_tripped", "found tripped"),
            handle("contact_open", "contact does not close"),
            handle("welded", "contact never opens"),
        ),
        elements=(
            *(
                Branch(f"heater{n}", a, b, _heater_ohm(n))
                for n, (a, b) in enumerate(LINES, 1)
            ),
            *contact(
                "contact",
                "95",
                "96",
                ohm=value("contact_ohm"),
                closed=either(
                    value("welded"),
                    both(
                        negate(value("tripped")),
                        negate(value("held_tripped")),
                        negate(value("contact_open")),
                    ),
                ),
            ),
        ),
        facets=(
            families("relay"),
            Stand(("1", "3", "5"), ("2", "4", "6"), right=("95", "96"), rank=SWITCHING_RANK),
            Symbol(
                (
                    *(Piece(f"heater{n}", line, ("heater",), (f"heater{n}",), through=True,
                            aside=f"line {n}") for n, line in enumerate(LINES, 1)),
                    Piece("contact", ("95", "96"), ("contact_nc",), ("contact",), through=True,
                          aside="contact"),
                )
            ),
            Words(
                "motor overload relay",
                "The overload relay stops a motor that draws too much.",
                {
                    "tripped": Plain("The {noun} had tripped.", "find what made the motor draw too "
                                     "much, then reset it"),
                    "contact_open": FAILED,
                    "welded": Plain("The {noun} had ceased to guard the motor."),
                    **told(SOMETHING, ("another_contact",)),
                    **told(SOMETHING, (f"another_line{n}" for n in (1, 2, 3))),
                },
            ),
            Probes(apart=(("95", "96"), *LINES), volts=(("95", "96"),), conducts=True),
            Looks(stands=Stands(("held_tripped", "tripped"), ("set", "tripped"), 1.0)),
            Poles(
                (Pole("95", "96", "contact", "contact_open", stuck_handle="welded"),),
                moved_by="itself",
                at_rest="closed",
            ),
            Overcurrent(
                "trips",
                "dial_a",
                ("tripped",),
                found=("tripped",),
                opened=mark("so the overload relay has tripped"),
                put_right=mark("reset the {part} once"),
                senses=LINES,
            ),
            Label(("dial_a",), unseen=("class", "range of the dial")),
            Ratings((Rating("dial_a", Against.OVERCURRENT),)),
            Wear(CONTROLS, usual=False),
        ),
        lacks=LOADS | SWITCHING - {Overcurrent, Poles} | JOINTS | {MixedUp, Terminals},
        states=(State("tripped", 0.0, "rule", "tripped on overload", "trips"),),
        rules=tuple(_rule(n) for n in (1, 2, 3)),
        modes=(
            Mode("tripped", "{noun} tripped, by what is not known", 8.0,
                 (Draw("held_tripped", 1, 1),), "reset",
                 "read the motor's amps leg by leg and its ohms; find what loaded it or which leg "
                 "was low; reset it once",
                 behind="a motor that drags, a leg that is low or lost, or a dial set too low",
                 shown_by=_READ | {"look:device"}, is_effect=True, wrong_minutes=60.0),
            _REPLACE.mode("contact_open", "{noun}'s contact stays open", 1.5),
            _REPLACE.mode("welded", "{noun}'s contact never opens", 0.4,
                          shown_by=frozenset({"ohms"})),
            *(
                _REPLACE.another(f"line{n}", 0.2, Draw(f"more{n}_ohm", 0.3, 500.0))
                for n in (1, 2, 3)
            ),
            _REPLACE.another("contact", 0.3, Draw("contact_ohm", 2.0, 5e3)),
        ),
    ),
)  # fmt: skip
