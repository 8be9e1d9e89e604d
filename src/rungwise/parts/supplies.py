"""Supplies other than a house's two legs: three phases, with and without a high leg, and 230 V.

The legs meet at `mid`, the star point of the utility's transformers or the middle of the one that
is tapped; from there comes the neutral, which is bonded to ground at the panel.  A high-leg bank
has its windings in delta: of its three points the tap of the winding between A and C is `mid`, so
that B stands √3 times as far from it as the others, a quarter turn away.  An open delta has two
transformers for three legs: what the third leg takes goes through half of the tapped one too.  A
delta with a grounded corner has no neutral: `mid` is the corner, whose leg reads nothing to ground
and is as live to the others as they are.  What else runs in the building lies on every leg and
between each two of them.
"""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from rungwise.parts.element import (
    EARTH,
    Branch,
    Expr,
    FloatArray,
    Lookup,
    PhasorArray,
    fixed,
    negate,
    value,
)
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
from rungwise.parts.kind import LACKS_LEG, Draw, Mode, Parameter, PartKind, handle
from rungwise.parts.pictures import SUPPLY_RANK, Piece, Stand, Symbol
from rungwise.parts.seen import Looks, Probes
from rungwise.parts.service import BAD_NEUTRAL, CALL_MINUTES, LOW_VOLTS, VOLTS, call_utility
from rungwise.parts.trade import WIRING, Label, Ratings, Wear
from rungwise.parts.ways import Repair
from rungwise.parts.words import SOMETHING, LeaveOff, Plain, Words, told

_TURN = Repair(
    "turn_legs",
    "find the work ahead of the unit that changed it; lock out the supply, verify it, and swap "
    "any two of its legs there and nowhere in the unit; mark it, then prove the direction at "
    "the start",
    60.0,
    frozenset({"look:turns", "look:phase_light", "look:rotation"}),
)


@dataclass(frozen=True, slots=True)
class _Point:
    """Where a leg stands about the neutral: its volts over `leg_volt`, and its angle.

    `behind`: the inner node at which its source begins.
    """

    terminal: str
    share: float
    angle_deg: float
    behind: str = "mid"

    @property
    def low(self) -> str:
        """Its terminal, as the names of its parameters begin."""
        return self.terminal.lower()

    def phasor(self, p: Lookup) -> PhasorArray:
        """Its volts; with the order of the legs turned it stands on the other side of the first."""
        angle = self.angle_deg * (1.0 - 2.0 * p["legs_turned"])
        volt = self.share * p["leg_volt"] * p[f"{self.low}_share"] * (1.0 - p[f"{self.low}_sag"])
        return np.asarray(volt * np.exp(1j * np.deg2rad(angle)))

    def seen_from(self, other: _Point | None) -> complex:
        """Its even volts over `leg_volt` from another, or from the middle."""
        one, far = (
            0j if each is None else cmath.rect(each.share, math.radians(each.angle_deg))
            for each in (self, other)
        )
        return one - far


@dataclass(frozen=True, slots=True)
class _Bank:
    """The transformers and where they are grounded.

    corner: the leg that is grounded in the place of a neutral, by number; None with a neutral.
    inside: what the bank has inside besides its legs, and the parameters of that.
    """

    points: tuple[_Point, ...]
    leg_volt: float
    corner: int | None = None
    inside: tuple[Branch, ...] = ()
    own: tuple[Parameter, ...] = ()

    @property
    def ground(self) -> _Point | None:
        """The grounded corner."""
        return None if self.corner is None else self.points[self.corner]

    @property
    def terminals(self) -> tuple[str, ...]:
        """Those of the legs, and of the neutral where there is one."""
        return (*(p.terminal for p in self.points), *(("N",) if self.ground is None else ()))

    @property
    def inner_nodes(self) -> tuple[str, ...]:
        """The middle, and what the bank has inside."""
        return tuple(dict.fromkeys(("mid", *(point.behind for point in self.points))))

    def legs(self) -> tuple[Leg, ...]:
        """Each with its volts to ground."""
        return tuple(
            Leg(p.terminal, math.degrees(cmath.phase(volt)), "leg_volt", f"{p.low}_lost", abs(volt))
            for p, volt in ((p, p.seen_from(self.ground)) for p in self.points)
        )


WYE = tuple(_Point(f"L{n + 1}", 1.0, -120.0 * n) for n in range(3))
HIGH_LEG = (_Point("L1", 1.0, 0.0), _Point("L2", math.sqrt(3), -90.0), _Point("L3", 1.0, 180.0))
OPEN_DELTA = (
    _Point("L1", 1.0, 0.0), _Point("L2", math.sqrt(3), -90.0, "x3"), _Point("L3", 1.0, 180.0, "x3")
)  # fmt: skip
DELTA = tuple(_Point(f"L{n + 1}", math.sqrt(1 / 3), -120.0 * n) for n in range(3))
ONE_LEG = (_Point("L", 1.0, 0.0),)


def _leg(point: _Point, bank: _Bank) -> Branch:
    """One leg, from the middle of the bank or from its grounded corner."""
    low = point.low

    def emf(p: Lookup) -> PhasorArray:
        if len(bank.points) == 1:
            return np.asarray(p["leg_volt"] + 0j)
        far = 0j if bank.ground is None else bank.ground.phasor(p)
        return np.asarray(point.phasor(p) - far)

    power = point.behind != "mid" and point.terminal == "L2"

    return Branch(
        f"leg_{low}",
        point.terminal,
        point.behind,
        lambda p: p["source_ohm"] + p[f"{low}_fault_ohm"] + (p["power_ohm"] if power else 0.0),
        henry=lambda p: p["source_henry"] + (p["power_henry"] if power else 0.0),
        emf_volt=emf,
        closed=negate(value(f"{low}_lost")),
    )


_SKEWS = (1.0, -1.0, 0.0)
"""To which power the pairs of legs share the unevenness of what lies between them."""


def _apart(skew: float) -> Expr:
    def ohm(p: Lookup) -> FloatArray:
        return np.asarray(p["house_apart_ohm"] * p["apart_skew"] ** skew)

    return ohm


def _loads(bank: _Bank) -> tuple[Branch, ...]:
    """Everything else in the building."""
    points = bank.points
    return (
        *(
            Branch(f"house_{p.low}", p.terminal, "N", value(f"house_{p.low}_ohm"))
            for p in points
            if bank.ground is None
        ),
        *(
            Branch(f"house_{a.terminal.lower()}_{b.terminal.lower()}", a.terminal, b.terminal,
                   _apart(skew))
            for (a, b), skew in zip(combinations(points, 2), _SKEWS, strict=False)
        ),
    )  # fmt: skip


def _parameters(bank: _Bank) -> tuple[Parameter, ...]:
    lows, leg_volt = [each.low for each in bank.points], bank.leg_volt
    with_neutral = bank.ground is None
    what = "volts of each leg to the neutral (of a high-leg bank, of the two lower legs)"
    return (
        Parameter("leg_volt", "V", leg_volt, 0.78 * leg_volt, 1.15 * leg_volt,
                  what if with_neutral else "volts of each leg to the grounded one",
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
        *((Parameter("neutral_ohm", "Ω", 0.02, 0.001, 2.0, "resistance of the neutral", untold=1.0,
                     learned=False),) if with_neutral else ()),
        Parameter("earthing_ohm", "Ω", 25.0, 0.1, 500.0, "ground electrodes in series",
                  source="25 Ω: NEC 250.53; check your own copy", untold=1.5, learned=False),
        *(Parameter(f"house_{low}_ohm", "Ω", 100.0, 1.0, 1e6,
                    f"other loads of the building on {low.upper()}", untold=2.4,
                    spread_source="0.1 to 13 A on a leg; rule of thumb")
          for low in lows if with_neutral),
        *((Parameter("house_apart_ohm", "Ω", 600.0, 1.0, 1e6,
                     "other loads of the building from leg to leg", untold=2.4,
                     spread_source="rule of thumb"),
           Parameter("apart_skew", "", 1.0, 0.02, 50.0, "how uneven they are from pair to pair",
                     untold=1.8, learned=False, hidden=True,
                     spread_source="0.1 to 8 kW on a pair, by what is on (rule of thumb)"))
          if len(lows) > 1 else ()),
        *(Parameter(f"{low}_fault_ohm", "Ω", 0.0, 0.0, 1e6, f"bad connection in leg {low.upper()}",
                    hidden=True) for low in lows),
        *(handle(f"{low}_lost", f"leg {low.upper()} is open before the panel") for low in lows),
        *((handle("legs_turned", "the legs come in the other order"),) if len(lows) > 1 else ()),
        handle("neutral_lost", "the neutral is open between transformer and panel")
        if with_neutral
        else handle("ground_lost", "the grounded corner has lost its ground"),
        *bank.own,
    )  # fmt: skip


def _lost(low: str, share: float) -> Mode:
    # What is on across the legs at the time holds the dead one at either of the others, or
    # anywhere between.
    held = (Draw("house_apart_ohm", 10.0, 20.0), Draw("apart_skew", 0.1, 10.0))
    before = "read the legs against each other, never to ground alone; "
    return call_utility(before, "a leg is lost before the panel").mode(
        f"leg_{low}_lost",
        f"supply leg {low.upper()} lost before the panel",
        10.0 * share,
        Draw(f"{low}_lost", 1, 1),
        *(held if share < 1.0 else ()),
        overdraws=LACKS_LEG,
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
        overdraws=0.4,
    )


def _bad(low: str, share: float) -> Mode:
    return call_utility("read the legs idle and running; ", "one leg sags").another(
        f"leg_{low}",
        1.6 * share,
        Draw(f"{low}_fault_ohm", 0.15, 30.0),
        noun=f"supply leg {low.upper()}",
    )


def _whole_supply(bank: _Bank) -> tuple[Mode, ...]:
    """Of all its legs together, and of the neutral or the grounded corner."""
    first = bank.points[0].low
    if bank.ground is not None:
        return (LOW_VOLTS, _GROUND_LOST)
    return (
        LOW_VOLTS,
        call_utility(
            "open the main breaker; what lies between a leg and the neutral may see up to the "
            "volts between two legs. ",
            "the neutral is lost",
        ).mode(
            "neutral_lost",
            "neutral lost between transformer and panel",
            4.0,
            Draw("neutral_lost", 1, 1),
            Draw(f"house_{first}_ohm", 12.0, 1500.0),
            signal="DANGER",
        ),
        BAD_NEUTRAL,
    )


_GROUND_LOST = call_utility(
    "each leg reads some volts to ground, and the same as before to the others: nothing to ground "
    "is to be trusted, a first fault to metal goes unseen. ",
    "the ground is lost",
).mode(
    "ground_lost",
    "grounded corner of the delta has lost its ground: the legs float",
    2.0,
    signal="DANGER",
)


def _modes(bank: _Bank) -> tuple[Mode, ...]:
    lows = [each.low for each in bank.points]
    share = 1.0 / len(lows)
    turned = _TURN.mode(
        "legs_turned",
        "supply legs in the other order: everything of three phases turns backwards",
        3.0,
        behind="work on the service, the panel or the disconnect, or a borrowed generator",
        signs={"recent_work": 0.8},
    )
    three = (*(_low(low, share) for low in lows), turned) if len(lows) > 1 else ()
    return (
        *(_lost(low, share) for low in lows),
        *(_bad(low, share) for low in lows),
        *three,
        *_whole_supply(bank),
    )


def _words(bank: _Bank) -> Words:
    lows = [each.low for each in bank.points]
    mend = "have the electric utility repair it"
    uneven = Plain("The power from the electric utility was uneven.", "have it evened out")
    return Words(
        "power supply of the building",
        "The supply is what comes to the building from the utility.",
        {
            **told(Plain("Part of the power from the electric utility was missing.", mend),
                   (f"leg_{low}_lost" for low in lows)),
            **told(uneven, (f"leg_{low}_low" for low in lows if len(lows) > 1)),
            **_lost_words(bank),
            "low_volts": Plain(
                "The power that comes to the unit was too low.",
                "find where it is lost, with the electric utility if need be",
            ),
            **({"legs_turned": Plain(
                "The power came in an order that turned the unit's motors backwards.",
                "have the phase order corrected at the supply",
                LeaveOff.BREAKER,
            )} if len(lows) > 1 else {}),
            **told(SOMETHING, (f"another_leg_{low}" for low in lows)),
        },
    )  # fmt: skip


def _lost_words(bank: _Bank) -> dict[str, Plain]:
    """Of the wire that holds the supply to ground."""
    lost = Plain(
        "A main wire of the building's power supply was broken.",
        "have the electric utility repair it at once",
        LeaveOff.MAIN,
    )
    if bank.ground is not None:
        return {"ground_lost": lost}
    return {"neutral_lost": lost, "another_neutral": SOMETHING}


STRAY_OHM = 3e5
"""From each leg of a delta to ground, by the cables' own capacity (order of magnitude, common
practice, no source): what holds the legs near ground once nothing else does."""


def _grounding(bank: _Bank) -> tuple[Branch, ...]:
    """What holds the bank to ground: a neutral bonded at the panel, or one of its legs."""
    if bank.ground is None:
        return (
            Branch(
                "neutral", "mid", "N", value("neutral_ohm"), closed=negate(value("neutral_lost"))
            ),
            Branch("earthing", "mid", EARTH, value("earthing_ohm")),
            Branch("bonding", "N", EARTH, fixed(0.003)),
        )
    held = negate(value("ground_lost"))
    return (
        Branch("earthing", "mid", EARTH, value("earthing_ohm"), closed=held),
        Branch("bonding", bank.ground.terminal, EARTH, fixed(0.003), closed=held),
        *(Branch(f"stray_{p.low}", p.terminal, EARTH, fixed(STRAY_OHM)) for p in bank.points),
    )


def _supply(name: str, title: str, bank: _Bank) -> PartKind:
    terminals = bank.terminals
    return PartKind(
        name=name,
        title=title,
        terminals=terminals,
        parameters=_parameters(bank),
        elements=(
            *(_leg(each, bank) for each in bank.points),
            *bank.inside,
            *_grounding(bank),
            *_loads(bank),
        ),
        facets=(
            families("supply"),
            Supply(bank.legs(), neutral="N" if bank.ground is None else ""),
            Stand(bottom=terminals, rank=SUPPLY_RANK, mark="wave"),
            Symbol(tuple(Piece(each, (each,), source=True) for each in terminals)),
            _words(bank),
            Wear(WIRING, usual=False),
        ),
        lacks=LOADS - {Supply}
        | SWITCHING
        | JOINTS
        | {Label, Looks, MixedUp, Probes, Ratings, Terminals},
        modes=_modes(bank),
        inner_nodes=bank.inner_nodes,
    )


_BANK_SOURCE = "1.2% and 1.5% of 25 and 10 kVA: order of magnitude, rule of thumb"
_OPEN = _Bank(
    OPEN_DELTA,
    120.0,
    inside=(Branch("half", "x3", "mid", value("half_ohm"), henry=value("half_henry")),),
    own=(
        Parameter("half_ohm", "Ω", 0.014, 1e-4, 1.0, "half of the tapped transformer, at 240 V",
                  untold=1.0, learned=False, spread_source=_BANK_SOURCE),
        Parameter("half_henry", "H", 4.6e-5, 1e-7, 1e-2, "the same, its inductance", untold=1.0,
                  moves_with="half_ohm", learned=False, spread_source=_BANK_SOURCE),
        Parameter("power_ohm", "Ω", 0.07, 1e-4, 5.0, "the other transformer, seen at 240 V",
                  untold=1.0, learned=False, spread_source=_BANK_SOURCE),
        Parameter("power_henry", "H", 2.3e-4, 1e-7, 1e-2, "the same, its inductance", untold=1.0,
                  moves_with="power_ohm", learned=False, spread_source=_BANK_SOURCE),
    ),
)  # fmt: skip

KINDS = (
    _supply("service_208y", "208Y/120 V three-phase service", _Bank(WYE, 120.0)),
    _supply("service_480y", "480Y/277 V three-phase service", _Bank(WYE, 277.0)),
    _supply("service_400y", "400Y/230 V three-phase service", _Bank(WYE, 230.0)),
    _supply("service_high_leg", "240 V high-leg delta service", _Bank(HIGH_LEG, 120.0)),
    _supply("service_open_delta", "240 V open-delta service with a high leg", _OPEN),
    _supply("service_corner", "240 V delta service, corner grounded", _Bank(DELTA, 240.0, 1)),
    _supply("service_230", "230 V service", _Bank(ONE_LEG, 230.0)),
)
