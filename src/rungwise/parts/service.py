"""The utility service: two 120 V legs about a grounded neutral, and the house's other loads.

The legs meet at the utility transformer's center tap (`mid`), from which the neutral conductor
comes to the panel and is bonded to ground there.  What else runs in the house lies on each leg,
and between both: it pulls the legs apart, and with the neutral lost it sets their volts.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from rungwise.parts.element import EARTH, Branch, Lookup, PhasorArray, fixed, negate, value
from rungwise.parts.facets import (
    JOINTS,
    LOADS,
    SWITCHING,
    Leg,
    MixedUp,
    Supply,
    Terminals,
    families,
)
from rungwise.parts.kind import Draw, Mode, Parameter, PartKind, handle
from rungwise.parts.pictures import SUPPLY_RANK, Piece, Stand, Symbol
from rungwise.parts.seen import Looks, Probes
from rungwise.parts.trade import WIRING, Label, Ratings, Wear
from rungwise.parts.ways import Repair
from rungwise.parts.words import SOMETHING, LeaveOff, Plain, Words, told

CALL_MINUTES = 240.0
VOLTS = frozenset({"volts"})


def call_utility(before: str, found: str) -> Repair:
    """A call for the utility. before: what is done first."""
    told = f"{before}call the electric utility with the volts read: {found}"
    return Repair("call_utility", told, CALL_MINUTES, VOLTS)


LOW_VOLTS = Mode(
    "low_volts",
    "supply volts low",
    12.0,
    (Draw("leg_volt", 0.6, 0.84, "scale"),),
    "raise_supply",
    "find why the supply volts are low (utility, panel, undersized run)",
    shown_by=VOLTS,
    wrong_minutes=CALL_MINUTES,
)

_LOW_208 = replace(
    LOW_VOLTS,
    name="low_208",
    title="supply volts low, two legs of a 208 V system",
    weight=3.0,
    edits=(*LOW_VOLTS.edits, Draw("apart_deg", 120, 120)),
)
"""Where 208 V are usual, so few more have to be lost before a compressor stalls that it is met more
often than one such site in ten would have it (common practice, no source)."""

BAD_NEUTRAL = call_utility("read each leg to neutral; ", "the neutral is bad").another(
    "neutral", 0.5, Draw("neutral_ohm", 2.1, 50.0), noun="supply neutral"
)


def _leg(number: int) -> Branch:
    """One leg; the second stands `apart_deg` behind the first."""

    def emf(p: Lookup) -> PhasorArray:
        turn = np.exp(1j * np.deg2rad(p["apart_deg"] * (number - 1)))
        return np.asarray(p["leg_volt"] * turn)

    return Branch(
        f"leg{number}",
        f"L{number}",
        "mid",
        lambda p: p["source_ohm"] + p[f"leg{number}_fault_ohm"],
        henry=value("source_henry"),
        emf_volt=emf,
        closed=negate(value(f"leg{number}_lost")),
    )


def _house(name: str, what: str, ohm: float) -> Parameter:
    return Parameter(
        name,
        "Ω",
        ohm,
        1.0,
        1e6,
        what,
        untold=2.4,
        spread_source="0.1 to 13 A of other loads on a leg; rule of thumb",
    )


_PARAMETERS = (
    Parameter(
        "leg_volt",
        "V",
        120.0,
        90.0,
        140.0,
        "volts of each leg to the neutral",
        tolerance=0.05,
        source="ANSI C84.1 service range B, 110 to 127 V; check your own copy",
        untold=0.11,
        spread_source="197 to 253 V at a 208/230 V unit, ANSI C84.1, AHRI 110; check your own copy",
    ),
    Parameter(
        "apart_deg",
        "",
        180.0,
        100.0,
        180.0,
        "angle between the legs in degrees: 180 of a center tap, 120 of two phases of a 208 V wye",
        other=120.0,
        other_share=0.1,
    ),
    Parameter(
        "source_ohm",
        "Ω",
        0.03,
        0.001,
        2.0,
        "resistance of each leg to the pole",
        untold=1.0,
        spread_source="service drops of 10 to 60 m; rule of thumb",
    ),
    Parameter(
        "source_henry",
        "H",
        6e-5,
        0.0,
        1e-2,
        "inductance of each leg",
        untold=1.0,
        moves_with="source_ohm",
    ),
    Parameter(
        "neutral_ohm",
        "Ω",
        0.03,
        0.001,
        2.0,
        "resistance of the neutral to the pole",
        untold=1.0,
        learned=False,
    ),
    Parameter(
        "earthing_ohm",
        "Ω",
        25.0,
        0.1,
        500.0,
        "ground electrodes of house and pole in series",
        source="25 Ω: NEC 250.53; check your own copy",
        untold=1.5,
        learned=False,
    ),
    _house("house_l1_ohm", "other loads of the house on L1", 100.0),
    _house("house_l2_ohm", "other loads of the house on L2", 100.0),
    _house("house_240_ohm", "other loads of the house from L1 to L2", 600.0),
    Parameter("leg1_fault_ohm", "Ω", 0.0, 0.0, 1e6, "bad connection in leg L1", hidden=True),
    Parameter("leg2_fault_ohm", "Ω", 0.0, 0.0, 1e6, "bad connection in leg L2", hidden=True),
    handle("leg1_lost", "leg L1 is open before the panel"),
    handle("leg2_lost", "leg L2 is open before the panel"),
    handle("neutral_lost", "the neutral is open between pole and panel"),
)


def _leg_lost(number: int) -> Mode:
    return call_utility("", "a leg is lost before the panel").mode(
        f"leg_l{number}_lost",
        f"supply leg L{number} lost before the panel",
        3.0,
        # What is on across the legs at the time feeds the dead one back, or pulls it down.
        Draw(f"leg{number}_lost", 1, 1),
        Draw("house_240_ohm", 10.0, 1e5),
    )


def _leg_bad(number: int) -> Mode:
    return call_utility("read L1 and L2 to neutral, idle and running; ", "one leg sags").another(
        f"leg_l{number}",
        0.8,
        Draw(f"leg{number}_fault_ohm", 0.15, 30.0),
        noun=f"supply leg L{number}",
    )


_NEUTRAL = Branch("neutral", "mid", "N", value("neutral_ohm"), closed=negate(value("neutral_lost")))

_WORDS = Words(
    "power supply of the house",
    "The supply is what comes to the house from the utility.",
    {
        **told(
            Plain(
                "Part of the power from the electric utility was missing.",
                "have the electric utility repair it",
            ),
            ("leg_l1_lost", "leg_l2_lost"),
        ),
        **told(
            Plain(
                "The power that comes to the unit was too low.",
                "find where it is lost, with the electric utility if need be",
            ),
            ("low_volts", "low_208"),
        ),
        "neutral_lost": Plain(
            "A main wire of the house's power supply was broken.",
            "have the electric utility repair it at once",
            LeaveOff.MAIN,
        ),
        **told(SOMETHING, ("another_leg_l1", "another_leg_l2", "another_neutral")),
    },
)

KINDS = (
    PartKind(
        name="service",
        title="utility service",
        terminals=("L1", "L2", "N"),
        parameters=_PARAMETERS,
        elements=(
            _leg(1),
            _leg(2),
            _NEUTRAL,
            Branch("earthing", "mid", EARTH, value("earthing_ohm")),
            Branch("bonding", "N", EARTH, fixed(0.003)),
            Branch("house_l1", "L1", "N", value("house_l1_ohm")),
            Branch("house_l2", "L2", "N", value("house_l2_ohm")),
            Branch("house_240", "L1", "L2", value("house_240_ohm")),
        ),
        facets=(
            families("supply"),
            Supply(
                tuple(Leg(f"L{n}", 180.0 * (n - 1), "leg_volt", f"leg{n}_lost") for n in (1, 2)),
                neutral="N",
            ),
            Stand(bottom=("L1", "L2", "N"), rank=SUPPLY_RANK, mark="wave"),
            Symbol(tuple(Piece(each, (each,), source=True) for each in ("L1", "L2", "N"))),
            _WORDS,
            Wear(WIRING),
        ),
        lacks=LOADS - {Supply}
        | SWITCHING
        | JOINTS
        | {Label, Looks, MixedUp, Probes, Ratings, Terminals},
        modes=(
            _leg_lost(1),
            _leg_lost(2),
            replace(LOW_VOLTS, weight=LOW_VOLTS.weight - _LOW_208.weight),
            _LOW_208,
            call_utility(
                "open the main breaker; 120 V appliances may see up to 240 V. ",
                "the neutral is lost",
            ).mode(
                "neutral_lost",
                "neutral lost between pole and panel",
                2.0,
                Draw("neutral_lost", 1, 1),
                Draw("house_l1_ohm", 12.0, 1500.0),
                signal="DANGER",
            ),
            _leg_bad(1),
            _leg_bad(2),
            BAD_NEUTRAL,
        ),
        inner_nodes=("mid",),
    ),
)
