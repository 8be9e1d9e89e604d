"""The phase monitor: a contact that closes on three good legs in the right order.

Inside it senses by two filters of resistors and capacitors, as such monitors do: between the points
x and y stand 0.866 of the leg-to-leg volts of the positive sequence and nothing of the negative
one, between z and y the other way about.  x divides L1-L2 by R over a capacitor of R/√3, z by a
capacitor of √3·R over R, y halves L2-L3.  What it draws goes by a star of resistors, so that a leg
which nothing else ties down floats between the two others; how far, differs from make to make.
"""

from __future__ import annotations

import math

from rungwise.parts.element import (
    Branch,
    Expr,
    FloatArray,
    Lookup,
    both,
    contact,
    either,
    fixed,
    negate,
    value,
)
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
from rungwise.parts.kind import Draw, Parameter, PartKind, State, closed_contact, handle
from rungwise.parts.phase_rule import RIDES_OUT, PhaseRule
from rungwise.parts.pictures import CONTROL_RANK, Piece, Stand, Symbol
from rungwise.parts.seen import Looks, Probes
from rungwise.parts.trade import CONTROLS, Against, Label, Rating, Ratings, Wear
from rungwise.parts.ways import Repair
from rungwise.parts.words import FAILED, SOMETHING, Plain, Words, told

SENSING_OHM = 3e6
"""Ohms of its dividers, which draw next to nothing."""

STAR_OHM = 2e5
"""Ohms of each leg to its star: about 1 mA a leg (order of magnitude, no source)."""

_REPLACE = Repair(
    "replace",
    "read leg to leg at its three terminals first, and their order: only where they are good, "
    "even and in order and it still does not close is it the monitor",
    120.0,
    frozenset({"drop", "volts"}),
)


def _farad(over_ohm: float) -> Expr:
    """A capacitor whose reactance at its frequency is the dividers' ohms over `over_ohm`."""

    def farad(p: Lookup) -> FloatArray:
        return over_ohm / (2 * math.pi * p["set_hz"] * SENSING_OHM)

    return farad


_SENSING = (
    Branch("rx", "L1", "x", fixed(SENSING_OHM)),
    Branch("cx", "x", "L2", fixed(1.0), farad=_farad(math.sqrt(3))),
    Branch("cz", "L1", "z", fixed(1.0), farad=_farad(1 / math.sqrt(3))),
    Branch("rz", "z", "L2", fixed(SENSING_OHM)),
    Branch("ry2", "L2", "y", fixed(SENSING_OHM)),
    Branch("ry3", "y", "L3", fixed(SENSING_OHM)),
    *(Branch(f"star{leg}", f"L{leg}", "star", value(f"star{leg}_ohm")) for leg in (1, 2, 3)),
    Branch("positive", "x", "y", fixed(1e10)),
    Branch("negative", "z", "y", fixed(1e10)),
)
_LEGS = ("L1", "L2", "L3")

KINDS = (
    PartKind(
        name="phase_monitor",
        title="phase monitor",
        terminals=(*_LEGS, "com", "no"),
        parameters=(
            Parameter("least_volt", "V", 180.0, 80, 500, "least volts leg to leg (dial)", 0.03,
                      learned=False),
            Parameter("most_volt", "V", 264.0, 120, 600, "most volts leg to leg (dial)", 0.03,
                      learned=False),
            Parameter("unbalance", "", 0.05, 0.015, 0.15,
                      "most unbalance: negative over positive sequence (dial of 2 to 8%)", 0.2,
                      learned=False),
            Parameter("rides_out", "", 1.0, 0.0, 1.0,
                      "1 where it waits some seconds on uneven legs, 0 where it opens at once",
                      hidden=True, other=0.0, other_share=1.0 - RIDES_OUT,
                      spread_source="some have such a delay (estimate)"),
            Parameter("delay_s", "s", 5.0, 0.2, 600, "seconds of good legs before it closes (dial)",
                      0.2, learned=False),
            Parameter("set_hz", "", 60.0, 50, 60, "frequency that it is made for in hertz"),
            closed_contact(0.02, 1e-4, 0.2, 0.5, untold=0.9),
            *(Parameter(f"star{leg}_ohm", "Ω", STAR_OHM, 1e4, 1e7, f"leg L{leg} to its star",
                        1.4, learned=False, hidden=True) for leg in (1, 2, 3)),
            handle("dead", "relay inside does not close"),
            handle("welded", "contact welded"),
        ),
        elements=(
            *_SENSING,
            *contact(
                "contact",
                "com",
                "no",
                ohm=value("contact_ohm"),
                closed=either(value("welded"), both(value("good"), negate(value("dead")))),
            ),
        ),
        facets=(
            families("electronics"),
            Stand(("com",), ("no",), right=_LEGS, rank=CONTROL_RANK),
            Symbol(
                (
                    Piece("legs", _LEGS, ("box", "box"), ("positive", "negative"), aside="legs"),
                    Piece("contact", ("com", "no"), ("contact",), ("contact",), through=True,
                          aside="contact"),
                )
            ),
            Words(
                "phase monitor",
                "The phase monitor lets the unit run only on sound power of all three wires.",
                {
                    "dead": FAILED,
                    "welded": Plain("The {noun} had ceased to guard the unit."),
                    **told(SOMETHING, ("another_contact", "another_dial")),
                },
            ),
            Probes(apart=(("com", "no"),), volts=(("com", "no"),), conducts=True),
            Looks(),
            Poles(
                (Pole("com", "no", "contact", "dead", stuck_handle="welded"),),
                moved_by="itself",
                at_rest="open",
            ),
            Label(("least_volt", "most_volt"), unseen=("what it does on a loss while it runs",)),
            Ratings((Rating("delay_s", Against.TIME),)),
            Wear(CONTROLS, usual=False),
        ),
        lacks=LOADS | SWITCHING - {Poles} | JOINTS | {MixedUp, Terminals},
        states=(
            State("good", 1.0, "rule", "three good legs in order", "closes", "opens on its legs"),
        ),
        rules=(
            PhaseRule(
                "good",
                "positive",
                volts=value("least_volt"),
                delay_s=value("delay_s"),
                negative="negative",
                most_volt=value("most_volt"),
                unbalance=value("unbalance"),
                rides_out=value("rides_out"),
            ),
        ),
        inner_nodes=("x", "y", "z", "star"),
        modes=(
            _REPLACE.mode("dead", "{noun} does not close on three good legs", 3.0),
            _REPLACE.mode("welded", "{noun}'s contact welded: it guards nothing", 0.5,
                          shown_by=frozenset({"ohms"})),
            _REPLACE.another("contact", 0.4, Draw("contact_ohm", 2.0, 5e3)),
            _REPLACE.another("dial", 0.4, Draw("least_volt", 1.15, 1.3, "scale")),
        ),
        change_minutes=(30.0, 30.0),
    ),
)  # fmt: skip
