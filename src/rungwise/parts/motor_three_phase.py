"""Three-phase induction motors: the hermetic compressor and the motor of a belt-driven blower.

Three legs to a star that no wire leads out of.  The overload of a compressor sits at the star and
opens all three at once, which between the terminals is the same as three contacts at the leads.
Legs that get unlike volts, or of which one gets none, are not told apart by any rule: the machine
meets the positive and the negative sequence with an impedance of its own, and what it then draws,
whether it starts, growls, runs on or turns backwards comes out of the solution.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from rungwise.parts.element import (
    STAR,
    Branch,
    Element,
    Expr,
    FloatArray,
    Lookup,
    Machine,
    both,
    fixed,
    insulation,
    negate,
    value,
)
from rungwise.parts.facets import JOINTS, LOADS, SWITCHING, MixedUp, Motor, Terminals, families
from rungwise.parts.kind import Parameter, PartKind, handle
from rungwise.parts.motor import (
    COMPRESSOR_WEAR,
    FAN_WEAR,
    MOTOR_STATES,
    TEMPERATURES,
    heat_side,
    hot_trip_amp,
    load_of,
    pumping_nm,
    rated_nm,
    standstill_nm,
    trip_amp,
)
from rungwise.parts.motor_modes import compressor_modes, compressor_words, fan_modes, fan_words
from rungwise.parts.pictures import LOAD_RANK, Piece, Stand, Symbol
from rungwise.parts.rule import MotorRule, OverloadRule, Rule
from rungwise.parts.seen import Looks, Probes
from rungwise.parts.trade import Against, Label, Rating, Ratings

LEGS = ("T1", "T2", "T3")

TURNED_BACK = 0.35
"""Load of a scroll that turns backwards, over its usual one: amps clearly low, no pressure (common
practice; no published ratio was found)."""


@dataclass(frozen=True, slots=True)
class _Usual:
    """A usual motor of its sort, as in `motor`; ohms of one leg are half of those between two.

    Lead to lead a compressor has 0.28 to 0.35 of its volts over its locked amps (maker's tables of
    nine, common practice), so a leg 0.155 of that.
    """

    volt: float
    rated_a: float
    locked_a: float
    leg_ohm: float
    rpm: float
    poles: float
    efficiency: float
    power_factor: float
    trip_ratio: float
    trip_s: float
    run_up_s: float
    load: tuple[float, float]
    start: tuple[float, float]
    plate_share: float
    locked_spread: float


_COMPRESSOR = _Usual(
    230.0, 16.1, 110.0, 0.325, 3450.0, 2.0, 0.87, 0.85,
    trip_ratio=1.48, trip_s=60.0, run_up_s=0.3, load=(0.75, 0.2), start=(0.35, 0.3),
    plate_share=1.0, locked_spread=0.2,
)  # fmt: skip
_BLOWER = _Usual(
    230.0, 5.2, 34.0, 1.05, 1725.0, 4.0, 0.8, 0.78,
    trip_ratio=1.25, trip_s=90.0, run_up_s=1.5, load=(0.85, 0.2), start=(0.15, 0.3),
    plate_share=1.0, locked_spread=0.3,
)  # fmt: skip

_FITTED = (
    ("aux_ohm", "Ω", "a leg as the second winding sees it, cold"),
    ("main_leak_ohm", "Ω", "leakage reactance of a leg"),
    ("aux_leak_ohm", "Ω", "leakage reactance of a leg as the second winding sees it"),
    ("magnetising_ohm", "Ω", "magnetising reactance of a leg"),
    ("rotor_ohm", "Ω", "rotor resistance seen from a leg"),
    ("rotor_leak_ohm", "Ω", "rotor leakage reactance seen from a leg"),
    ("turns_ratio", "", "effective turns of the two windings that stand for three legs"),
    ("rated_torque_nm", "N·m", "shaft torque at the rated speed"),
    ("start_torque_nm", "N·m", "torque at standstill at rated volts"),
)
_ALIKE = ("main_leak_ohm", "aux_leak_ohm", "rotor_ohm", "rotor_leak_ohm")
"""A motor that draws fewer locked amps is higher in all of them."""


def _nameplate(usual: _Usual) -> tuple[Parameter, ...]:
    return (
        Parameter("rated_volt", "V", usual.volt, 100, 600, "rated volts, leg to leg"),
        Parameter("rated_a", "A", usual.rated_a, 0.1, 150, "rated amps of a leg (RLA or FLA)"),
        Parameter("locked_a", "A", usual.locked_a, 0.2, 900, "locked-rotor amps of a leg"),
        Parameter("main_ohm", "Ω", usual.leg_ohm, 0.01, 100,
                  "a leg to the star: half the ohms between two leads, cold", 0.12, untold=0.3,
                  spread_source="lead to lead 0.28 to 0.35 V/LRA, and make (rule of thumb)"),
        Parameter("rated_rpm", "rpm", usual.rpm, 300, 3600, "rated speed"),
        Parameter("poles", "", usual.poles, 2, 12, "number of poles"),
        Parameter("efficiency", "", usual.efficiency, 0.2, 0.97, "shaft watts over input watts"),
        Parameter("power_factor", "", usual.power_factor, 0.4, 1.0, "rated power factor"),
        Parameter("plate_share", "", usual.plate_share, 0.5, 1.2,
                  "amps at the rated load over those on the plate", hidden=True),
        Parameter("magnetising_lean", "", 20.0, 2.0, 60.0,
                  "magnetising over leakage reactance that the fit leans to", hidden=True),
        Parameter("trip_ratio", "", usual.trip_ratio, 1.05, 3.0, "overload trip over rated amps",
                  0.12, learned=False,
                  spread_source="a protector may carry 140 to 156% of RLA (rule of thumb)"),
    )  # fmt: skip


def _fitted(usual: _Usual) -> tuple[Parameter, ...]:
    alike = dict.fromkeys(_ALIKE, usual.locked_spread) | {"aux_ohm": 0.12}
    leader = {"aux_ohm": "main_ohm", **dict.fromkeys(_ALIKE[1:], _ALIKE[0])}
    return tuple(
        Parameter(name, unit, float("nan"), -1e9, 1e9, what, alike.get(name, 0.0), hidden=True,
                  moves_with=leader.get(name, ""), untold=0.3 if name == "aux_ohm" else 0.0,
                  spread_source="locked-rotor amps of good motors against their plate")
        for name, unit, what in _FITTED
    )  # fmt: skip


def _handles() -> tuple[Parameter, ...]:
    return (
        Parameter("turns", "", 1.0, 0.05, 1.0, "share of turns not shorted", hidden=True),
        *(handle(f"{leg.lower()}_open", f"leg {leg} open") for leg in LEGS),
        *(Parameter(f"{leg.lower()}_ohm", "Ω", 0.003, 0.0, 1e6, f"connection of leg {leg} inside",
                    hidden=True) for leg in LEGS),
        handle("shorted", "turns of the first leg shorted, which load it as a short winding does"),
        Parameter("short_share", "", 1.0, 0.01, 10.0,
                  "ohms of that load over rated volts by rated amps", hidden=True),
        handle("overload_held", "internal overload open, hot"),
        handle("seized", "rotor cannot turn"),
    )  # fmt: skip


def _insulated() -> tuple[Parameter, ...]:
    return (
        Parameter("insulation_ohm", "Ω", 3e8, 1.0, 1e12, "winding insulation to the shell",
                  2.7, learned=False,
                  spread_source="20 MΩ to beyond any meter is good (rule of thumb)"),
        Parameter("good_insulation_ohm", "Ω", 1e9, 1e6, 1e12, "terminal insulation", hidden=True),
    )  # fmt: skip


def _backwards_nm(p: Lookup) -> FloatArray:
    """A compressor's load by its temperatures; one that turns backwards compresses nothing."""
    return pumping_nm(p) * np.where(p["slip"] > 1.0, p["backward_load"], 1.0)


_BACKWARD = Parameter("backward_load", "", TURNED_BACK, 0.05, 1.2,
                      "load turned backwards over the usual one: 1 of a reciprocating compressor",
                      0.3, learned=False)  # fmt: skip


def _short_ohm(p: Lookup) -> FloatArray:
    return p["short_share"] * p["rated_volt"] / p["rated_a"]


def _lead(leg: str) -> Branch:
    """A leg up to its winding: joint, overload at the star, and the break of an open leg."""
    name = leg.lower()
    whole = both(
        negate(value("tripped")), negate(value("overload_held")), negate(value(f"{name}_open"))
    )
    return Branch(f"lead_{name}", leg, f"w{name}", value(f"{name}_ohm"), closed=whole)


def _inside(load_nm: Expr) -> tuple[Element, ...]:
    one, two, three = (f"w{leg.lower()}" for leg in LEGS)
    return (
        *(_lead(leg) for leg in LEGS),
        Machine(
            "windings",
            (one, three),
            (two, three),
            fixed(1.0),
            fixed(1.0),
            value("turns"),
            standstill_nm,
            load_nm,
            STAR,
        ),
        Branch("short", one, two, _short_ohm, closed=value("shorted")),
        # At the first leg: a winding earthed there is fed past the overload, and trips the breaker.
        insulation("insulation", "T1", value("insulation_ohm")),
        *(
            insulation(f"end_insulation{n}", f"T{n}", lambda p: 50.0 * p["good_insulation_ohm"])
            for n in (2, 3)
        ),
    )


def _rules(usual: _Usual, opens_amp: Expr) -> tuple[Rule, ...]:
    return (
        MotorRule("slip", "lead_t1", "windings", value("seized"), usual.run_up_s),
        *(
            OverloadRule(
                "tripped",
                f"lead_{leg.lower()}",
                slow_amp=opens_amp,
                slow_s=usual.trip_s,
                reset_s=1800.0,
                rated_by="trip_ratio",
                held_by="overload_held",
            )
            for leg in LEGS
        ),
    )


_TERMINALS = Terminals(
    places=dict.fromkeys(LEGS, ("lug",)),
    colors={"T1": ("black",), "T2": ("red",), "T3": ("blue",)},
    reach_minutes=4.0,
)
_SYMBOL = Symbol(
    (Piece("windings", LEGS, ("winding", "winding"), ("lead_t1", "lead_t3"), round=True),)
)
_RATED = Ratings(
    (
        Rating("rated_volt", Against.VOLTS),
        Rating("rated_rpm", Against.SPEED),
        Rating("rated_a", Against.WORK),
    )
)
_LABELS = {
    "compressor": Label(
        ("rated_volt", "rated_a", "locked_a"),
        unseen=("capacity", "refrigerant", "oil", "fittings", "which way it must turn"),
    ),
    "fan": Label(
        ("rated_volt", "rated_a", "rated_rpm", "poles"),
        weighty=("locked_a",),
        unseen=("frame and shaft", "belt and sheave", "direction of the air", "speed control"),
    ),
}
_MIXED_UP = MixedUp(swapped=(("T1", "T2"), ("T2", "T3"), ("T1", "T3")))
"""Any two of them swapped and it turns the other way."""


def _motor(drives: Literal["compressor", "fan"], title: str, usual: _Usual) -> PartKind:
    compresses = drives == "compressor"
    noun = "compressor" if compresses else "fan motor"
    return PartKind(
        name=f"{'compressor' if compresses else 'blower_motor'}_3ph",
        title=title,
        noun=noun,
        terminals=LEGS,
        parameters=(
            *_nameplate(usual),
            *((_BACKWARD, *heat_side()) if compresses else ()),
            *_insulated(),
            *load_of(usual.load, usual.start),
            *_fitted(usual),
            *_handles(),
        ),
        elements=_inside(_backwards_nm if compresses else rated_nm),
        facets=(
            families("motor", "compressor" if compresses else "fan motor"),
            Stand(LEGS, turns=True, rank=LOAD_RANK, mark=drives),
            _SYMBOL,
            compressor_words(3) if compresses else fan_words(3),
            Probes(),
            Looks(),
            Motor(
                drives,
                "windings",
                *LEGS,
                phases=3,
                leads=tuple(f"lead_{leg.lower()}" for leg in LEGS),
            ),
            _TERMINALS,
            _MIXED_UP,
            _LABELS[drives],
            _RATED,
            replace(COMPRESSOR_WEAR if compresses else FAN_WEAR, usual=False),
        ),
        lacks=LOADS - {Motor} | SWITCHING | JOINTS,
        states=(*MOTOR_STATES, *TEMPERATURES) if compresses else MOTOR_STATES,
        rules=_rules(usual, hot_trip_amp if compresses else trip_amp),
        modes=compressor_modes(3) if compresses else fan_modes(3),
        inner_nodes=tuple(f"w{leg.lower()}" for leg in LEGS),
        change_minutes=(300.0, 300.0) if compresses else (120.0, 120.0),
    )


KINDS = (
    _motor("compressor", "three-phase compressor", _COMPRESSOR),
    _motor("fan", "three-phase blower motor", _BLOWER),
)
