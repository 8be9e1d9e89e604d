"""Supplies other than a house's two legs: three phases, with and without a high leg, and 230 V.

The legs meet at `mid`, the star point of the utility's transformers or the middle of the one that
is tapped; from there comes the neutral, which is bonded to ground at the panel.  A high-leg bank
has its windings in delta: of its three points the tap of the winding between A and C is `mid`, so
that B stands √3 times as far from it as the others, a quarter turn away.  What else runs in the
building lies on every leg and between each two of them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import combinations

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
from rungwise.parts.service import BAD_NEUTRAL, CALL_MINUTES, LOW_VOLTS, UTILITY, VOLTS
from rungwise.parts.trade import WIRING, Label, Ratings, Wear
from rungwise.parts.ways import another
from rungwise.parts.words import SOMETHING, LeaveOff, Plain, Words, told

_TURN = (
    "turn_legs",
    (
        "find the work ahead of the unit that changed it; lock out the supply, verify it, and swap "
        "any two of its legs there and nowhere in the unit; mark it, then prove the direction at "
        "the start"
    ),
)


@dataclass(frozen=True, slots=True)
class _Point:
    """Where a leg stands about the neutral: its volts over `leg_volt`, and its angle."""

    terminal: str
    share: float
    angle_deg: float


WYE = tuple(_Point(f"L{n + 1}", 1.0, -120.0 * n) for n in range(3))
HIGH_LEG = (_Point("L1", 1.0, 0.0), _Point("L2", math.sqrt(3), -90.0), _Point("L3", 1.0, 180.0))
ONE_LEG = (_Point("L", 1.0, 0.0),)


def _leg(point: _Point, *, alone: bool) -> Branch:
    """One leg; with the order of the legs turned it stands on the other side of the first."""
    low = point.terminal.lower()

    def emf(p: Lookup) -> PhasorArray:
        if alone:
            return np.asarray(p["leg_volt"] + 0j)
        angle = point.angle_deg * (1.0 - 2.0 * p["legs_turned"])
        volt = point.share * p["leg_volt"] * p[f"{low}_share"] * (1.0 - p[f"{low}_sag"])
        return np.asarray(volt * np.exp(1j * np.deg2rad(angle)))

    return Branch(
        f"leg_{low}",
        point.terminal,
        "mid",
        lambda p: p["source_ohm"] + p[f"{low}_fault_ohm"],
        henry=value("source_henry"),
        emf_volt=emf,
        closed=negate(value(f"{low}_lost")),
    )


def _loads(points: tuple[_Point, ...]) -> tuple[Branch, ...]:
    """Everything else in the building."""
    return (
        *(
            Branch(f"house_{p.terminal.lower()}", p.terminal, "N",
                   value(f"house_{p.terminal.lower()}_ohm"))
            for p in points
        ),
        *(
            Branch(f"house_{a.terminal.lower()}_{b.terminal.lower()}", a.terminal, b.terminal,
                   value("house_apart_ohm"))
            for a, b in combinations(points, 2)
        ),
    )  # fmt: skip


def _parameters(points: tuple[_Point, ...], leg_volt: float) -> tuple[Parameter, ...]:
    lows = [each.terminal.lower() for each in points]
    return (
        Parameter("leg_volt", "V", leg_volt, 0.78 * leg_volt, 1.15 * leg_volt,
                  "volts of each leg to the neutral (of a high-leg bank, of the two lower legs)",
                  tolerance=0.03,
                  source="ANSI C84.1; IEC 60038: ±10%; check your own copy", untold=0.05,
                  spread_source="114 to 126 of 120 V, ANSI C84.1 range A; check your own copy"),
        *(Parameter(f"{low}_share", "", 1.0, 0.5, 1.2, f"volts of leg {low.upper()} over even ones",
                    tolerance=0.012, learned=False, hidden=True,
                    spread_source="up to 1% of unbalance is usual (NEMA MG 1 allows 1%)")
          for low in lows if len(lows) > 1),
        *(Parameter(f"{low}_sag", "", 0.0, 0.0, 0.5, f"share of its volts that {low.upper()} lacks",
                    hidden=True) for low in lows if len(lows) > 1),
        Parameter("source_ohm", "Ω", 0.02, 0.001, 2.0, "resistance of each leg to the transformer",
                  untold=1.0, spread_source="service drops of 10 to 60 m; rule of thumb"),
        Parameter("source_henry", "H", 6e-5, 0.0, 1e-2, "inductance of each leg", untold=1.0,
                  moves_with="source_ohm"),
        Parameter("neutral_ohm", "Ω", 0.02, 0.001, 2.0, "resistance of the neutral", untold=1.0,
                  learned=False),
        Parameter("earthing_ohm", "Ω", 25.0, 0.1, 500.0, "ground electrodes in series",
                  source="25 Ω: NEC 250.53; check your own copy", untold=1.5, learned=False),
        *(Parameter(f"house_{low}_ohm", "Ω", 100.0, 1.0, 1e6,
                    f"other loads of the building on {low.upper()}", untold=2.4,
                    spread_source="0.1 to 13 A on a leg; rule of thumb") for low in lows),
        *((Parameter("house_apart_ohm", "Ω", 600.0, 1.0, 1e6,
                     "other loads of the building from leg to leg", untold=2.4,
                     spread_source="rule of thumb"),) if len(lows) > 1 else ()),
        *(Parameter(f"{low}_fault_ohm", "Ω", 0.0, 0.0, 1e6, f"bad connection in leg {low.upper()}",
                    hidden=True) for low in lows),
        *(handle(f"{low}_lost", f"leg {low.upper()} is open before the panel") for low in lows),
        *((handle("legs_turned", "the legs come in the other order"),) if len(lows) > 1 else ()),
        handle("neutral_lost", "the neutral is open between transformer and panel"),
    )  # fmt: skip


def _lost(low: str, share: float) -> Mode:
    return Mode(
        f"leg_{low}_lost",
        f"supply leg {low.upper()} lost before the panel",
        10.0 * share,
        # What is on across the legs at the time feeds the dead one back, or pulls it down.
        (
            Draw(f"{low}_lost", 1, 1),
            *((Draw("house_apart_ohm", 10.0, 5000.0),) if share < 1.0 else ()),
        ),
        UTILITY[0],
        f"read the legs against each other, never to ground alone; {UTILITY[1]}a leg is lost "
        "before the panel",
        shown_by=VOLTS,
        wrong_minutes=CALL_MINUTES,
    )


def _low(low: str, share: float) -> Mode:
    return Mode(
        f"leg_{low}_low",
        f"supply unbalanced, leg {low.upper()} low",
        8.0 * share,
        (Draw(f"{low}_sag", 0.04, 0.12),),
        "balance",
        "read leg to leg and roll the three leads one place: where the low amps stay with the "
        "line, it is the supply; balance the building's loads or call the utility",
        shown_by=VOLTS,
        wrong_minutes=CALL_MINUTES,
    )


def _bad(low: str, share: float) -> Mode:
    name = low.upper()
    return another(
        f"leg_{low}",
        f"supply leg {name}",
        1.6 * share,
        (Draw(f"{low}_fault_ohm", 0.15, 30.0),),
        (UTILITY[0], f"read the legs idle and running; {UTILITY[1]}one leg sags"),
        VOLTS,
        CALL_MINUTES,
    )


def _whole_supply(lows: list[str]) -> tuple[Mode, ...]:
    """Of all its legs together, and of the neutral."""
    first = lows[0]
    return (
        LOW_VOLTS,
        Mode(
            "neutral_lost",
            "neutral lost between transformer and panel",
            4.0,
            (Draw("neutral_lost", 1, 1), Draw(f"house_{first}_ohm", 12.0, 1500.0)),
            UTILITY[0],
            "open the main breaker; what lies between a leg and the neutral may see up to "
            f"the volts between two legs. {UTILITY[1]}the neutral is lost",
            signal="DANGER",
            shown_by=VOLTS,
            wrong_minutes=CALL_MINUTES,
        ),
        BAD_NEUTRAL,
    )


def _modes(points: tuple[_Point, ...]) -> tuple[Mode, ...]:
    lows = [each.terminal.lower() for each in points]
    share = 1.0 / len(lows)
    turned = Mode(
        "legs_turned",
        "supply legs in the other order: everything of three phases turns backwards",
        3.0,
        (Draw("legs_turned", 1, 1),),
        *_TURN,
        behind="work on the service, the panel or the disconnect, or a borrowed generator",
        signs={"recent_work": 0.8},
        shown_by=frozenset({"volts", "look:turns"}),
        wrong_minutes=60.0,
    )
    three = (*(_low(low, share) for low in lows), turned) if len(lows) > 1 else ()
    return (
        *(_lost(low, share) for low in lows),
        *(_bad(low, share) for low in lows),
        *three,
        *_whole_supply(lows),
    )


def _words(points: tuple[_Point, ...]) -> Words:
    lows = [each.terminal.lower() for each in points]
    mend = "have the electric utility repair it"
    uneven = Plain("The power from the electric utility was uneven.", "have it evened out")
    return Words(
        "power supply of the building",
        "The supply is what comes to the building from the utility.",
        {
            **told(Plain("Part of the power from the electric utility was missing.", mend),
                   (f"leg_{low}_lost" for low in lows)),
            **told(uneven, (f"leg_{low}_low" for low in lows if len(lows) > 1)),
            "low_volts": Plain(
                "The power that comes to the unit was too low.",
                "find where it is lost, with the electric utility if need be",
            ),
            "neutral_lost": Plain(
                "A main wire of the building's power supply was broken.",
                "have the electric utility repair it at once",
                LeaveOff.MAIN,
            ),
            **({"legs_turned": Plain(
                "The power came in an order that turned the unit's motors backwards.",
                "have the phase order corrected at the supply",
                LeaveOff.BREAKER,
            )} if len(lows) > 1 else {}),
            **told(SOMETHING, (f"another_leg_{low}" for low in lows)),
            "another_neutral": SOMETHING,
        },
    )  # fmt: skip


_NEUTRAL = Branch("neutral", "mid", "N", value("neutral_ohm"), closed=negate(value("neutral_lost")))


def _supply(name: str, title: str, points: tuple[_Point, ...], leg_volt: float) -> PartKind:
    terminals = (*(each.terminal for each in points), "N")
    return PartKind(
        name=name,
        title=title,
        terminals=terminals,
        parameters=_parameters(points, leg_volt),
        elements=(
            *(_leg(each, alone=len(points) == 1) for each in points),
            Branch(
                "neutral", "mid", "N", value("neutral_ohm"), closed=negate(value("neutral_lost"))
            ),
            Branch("earthing", "mid", EARTH, value("earthing_ohm")),
            Branch("bonding", "N", EARTH, fixed(0.003)),
            *_loads(points),
        ),
        facets=(
            families("supply"),
            Supply(
                tuple(
                    Leg(p.terminal, p.angle_deg, "leg_volt", f"{p.terminal.lower()}_lost", p.share)
                    for p in points
                ),
                neutral="N",
            ),
            Stand(bottom=terminals, rank=SUPPLY_RANK, mark="wave"),
            Symbol(tuple(Piece(each, (each,), source=True) for each in terminals)),
            _words(points),
            Wear(WIRING, usual=False),
        ),
        lacks=LOADS - {Supply}
        | SWITCHING
        | JOINTS
        | {Label, Looks, MixedUp, Probes, Ratings, Terminals},
        modes=_modes(points),
        inner_nodes=("mid",),
    )


KINDS = (
    _supply("service_208y", "208Y/120 V three-phase service", WYE, 120.0),
    _supply("service_480y", "480Y/277 V three-phase service", WYE, 277.0),
    _supply("service_400y", "400Y/230 V three-phase service", WYE, 230.0),
    _supply("service_high_leg", "240 V high-leg delta service", HIGH_LEG, 120.0),
    _supply("service_230", "230 V service", ONE_LEG, 230.0),
)
