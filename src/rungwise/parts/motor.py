"""Two-winding capacitor motors: the hermetic compressor and the fan motor.

Both share one inside: common lead, internal overload, then the run (main) and the start
(auxiliary) winding.  What a nameplate gives is in the visible parameters; the machine constants
are fitted from them in `rungwise.circuit.machine_fit` and kept in the hidden ones.

RLA and FLA are ceilings, not what a motor draws: a good compressor runs at 55 to 90% of its RLA
and follows the weather, a good fan at 70 to 100% of its FLA (common practice, no source).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from rungwise.parts import refrigeration as heat
from rungwise.parts.element import (
    Branch,
    Element,
    Expr,
    FloatArray,
    Lookup,
    Machine,
    both,
    insulation,
    negate,
    value,
)
from rungwise.parts.facets import JOINTS, LOADS, SWITCHING, MixedUp, Motor, Terminals, families
from rungwise.parts.kind import Mode, Parameter, PartKind, State, handle
from rungwise.parts.motor_modes import compressor_modes, compressor_words, fan_modes, fan_words
from rungwise.parts.pictures import LOAD_RANK, Piece, Stand, Symbol
from rungwise.parts.rule import MotorRule, OverloadRule, Rule
from rungwise.parts.seen import Looks, Probes
from rungwise.parts.trade import COMPRESSORS, FAN_MOTORS, Against, Label, Rating, Ratings, Wear

LOCKED = (
    "locked-rotor amps ±20% of a compressor's plate, ±45% of a fan, whose plate seldom tells "
    "them (rule of thumb)"
)

NEEDS_KIT_START_RATIO = 1.6
"""Torque at standstill over what the run capacitor alone gives, for a compressor that was built
with a start kit: some start without it at good volts, most do not (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class _Usual:
    """A usual motor of its sort: nameplate, load, and how far good ones differ (2 sd of log).

    `trip_s`: time constant of its overload.  `run_up_s`: time in which its rotor comes to speed
    or to rest (order of magnitude, common practice, no source).
    """

    volt: float
    rated_a: float
    locked_a: float
    run_uf: float
    main_ohm: float
    aux_ohm: float
    rpm: float
    poles: float
    efficiency: float
    power_factor: float
    trip_ratio: float
    trip_spread: float
    trip_s: float
    run_up_s: float
    load_ratio: float
    load_spread: float
    start_ratio: float
    start_spread: float
    plate_share: float
    locked_spread: float
    winding_spread: float
    turns_lean: float
    magnetising_lean: float
    """What no plate gives.  A capacitor has about V√(1 + a²) volts at a turns ratio a: 1.15 keeps a
    230 V fan's on 240 V under the 370 V marked on such cans, and on high supply within the
    10% that a can bears.  Magnetising over leakage reactance is 6.9 in a published fan-sized motor
    (B. S. Guru, Electric Machinery and Transformers, ex. 10.3) and 21 in one of a compressor's size
    (A. E. Fitzgerald, Electric Machinery, ex. 9.5)."""


_COMPRESSOR = _Usual(
    230.0, 16.0, 80.0, 45.0, 0.7, 2.2, 3450.0, 2.0, 0.82, 0.97,
    trip_ratio=1.48, trip_spread=0.12, trip_s=75.0, run_up_s=0.4, load_ratio=0.67, load_spread=0.24,
    start_ratio=0.45, start_spread=0.3, plate_share=1.0, locked_spread=0.2,
    winding_spread=0.35, turns_lean=1.3, magnetising_lean=20.0,
)  # fmt: skip
_FAN = _Usual(
    230.0, 1.3, 2.6, 5.0, 21.0, 38.0, 1075.0, 6.0, 0.55, 0.96,
    trip_ratio=1.5, trip_spread=0.15, trip_s=60.0, run_up_s=2.0, load_ratio=0.88, load_spread=0.2,
    start_ratio=0.4, start_spread=0.25, plate_share=0.9, locked_spread=0.45,
    winding_spread=0.6, turns_lean=1.15, magnetising_lean=7.0,
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Fitted:
    """A machine constant that the fit fills in, and what it differs with among good motors."""

    name: str
    unit: str
    what: str
    spread: float = 0.0
    locked: bool = False
    moves_with: str = ""


_LEADER = "main_leak_ohm"
"""The windings of a motor that draws fewer locked amps are all alike higher in ohms."""

FITTED = (
    _Fitted(_LEADER, "Ω", "leakage reactance of the main winding", locked=True),
    _Fitted("magnetising_ohm", "Ω", "magnetising reactance", 0.3),
    _Fitted("rotor_ohm", "Ω", "rotor resistance seen from the main winding",
            locked=True, moves_with=_LEADER),
    _Fitted("rotor_leak_ohm", "Ω", "rotor leakage reactance seen from the main winding",
            locked=True, moves_with=_LEADER),
    _Fitted("turns_ratio", "", "effective turns, auxiliary over main", 0.15),
    _Fitted("aux_leak_ohm", "Ω", "leakage reactance of the auxiliary winding",
            locked=True, moves_with=_LEADER),
    _Fitted("rated_torque_nm", "N·m", "shaft torque at the rated speed"),
    _Fitted("start_torque_nm", "N·m", "torque at standstill, rated volts and capacitor"),
)  # fmt: skip
"""Machine constants that the fit fills in."""

_UNLEARNED = ("magnetising_ohm",)


def standstill_nm(p: Lookup) -> FloatArray:
    """Torque in N·m that its load asks for standing."""
    return p["start_load_ratio"] * p["start_torque_nm"]


def rated_nm(p: Lookup) -> FloatArray:
    """Torque in N·m that its load asks for at the rated speed."""
    return p["load_ratio"] * p["rated_torque_nm"]


def pumping_nm(p: Lookup) -> FloatArray:
    """A compressor's load follows the temperatures of its two sides."""
    usual = heat.usual_evaporating_c(p["indoor_c"])
    return rated_nm(p) * heat.load_share(p["condensing_c"], p["evaporating_c"], usual)


def _inside(load_nm: Expr) -> tuple[Element, ...]:
    return (
        Branch(
            "common",
            "C",
            "x",
            value("common_ohm"),
            closed=both(
                negate(value("tripped")), negate(value("overload_held")), negate(value("c_open"))
            ),
        ),
        Machine(
            "windings",
            ("R", "x"),
            ("S", "x"),
            negate(value("r_open")),
            negate(value("s_open")),
            value("turns"),
            standstill_nm,
            load_nm,
        ),
        # At the run lead: a winding earthed there is fed past the overload, and trips the breaker.
        # At the start lead its amps go through the windings, and the overload opens first.
        insulation("insulation", "R", value("insulation_ohm"), closed=negate(value("leaks_at_s"))),
        insulation("start_insulation", "S", value("insulation_ohm"), closed=value("leaks_at_s")),
        insulation("end_insulation", "C", lambda p: 50.0 * p["good_insulation_ohm"]),
    )


_COLD_OR_WARM = "told: cold or just run, a tenth of an ohm; untold: make and size (rule of thumb)"


def _nameplate(usual: _Usual) -> tuple[Parameter, ...]:
    return (
        Parameter("rated_volt", "V", usual.volt, 100, 600, "rated volts"),
        Parameter("rated_a", "A", usual.rated_a, 0.1, 150, "rated amps (RLA or FLA)"),
        Parameter("locked_a", "A", usual.locked_a, 0.2, 900, "locked-rotor amps"),
        Parameter("run_uf", "µF", usual.run_uf, 1, 120, "run capacitor it is made for"),
        Parameter("main_ohm", "Ω", usual.main_ohm, 0.05, 200, "run winding, C to R, cold",
                  0.12, untold=usual.winding_spread, spread_source=_COLD_OR_WARM),
        Parameter("aux_ohm", "Ω", usual.aux_ohm, 0.1, 500, "start winding, C to S, cold",
                  0.12, untold=usual.winding_spread, spread_source=_COLD_OR_WARM),
        Parameter("rated_rpm", "rpm", usual.rpm, 300, 3600, "rated speed"),
        Parameter("poles", "", usual.poles, 2, 12, "number of poles"),
        Parameter("efficiency", "", usual.efficiency, 0.2, 0.95, "shaft watts over input watts"),
        Parameter("power_factor", "", usual.power_factor, 0.4, 1.0, "rated power factor"),
        Parameter("plate_share", "", usual.plate_share, 0.5, 1.2,
                  "amps at the rated load over those on the plate, which are a ceiling",
                  hidden=True),
        Parameter("turns_lean", "", usual.turns_lean, 0.5, 3.0,
                  "auxiliary over main turns that the fit leans to", hidden=True),
        Parameter("magnetising_lean", "", usual.magnetising_lean, 2.0, 60.0,
                  "magnetising over leakage reactance that the fit leans to", hidden=True),
        Parameter("trip_ratio", "", usual.trip_ratio, 1.05, 3.0, "overload trip over rated amps",
                  usual.trip_spread, learned=False,
                  spread_source="a protector may carry 140 to 156% of RLA (rule of thumb)"),
    )  # fmt: skip


def load_of(load: tuple[float, float], start: tuple[float, float]) -> tuple[Parameter, ...]:
    """What the motor drives: how much of its rated load a good one asks for, and how they differ.

    load, start: usual share and its spread (2 sd of the logarithm), running and standing.
    """
    return (
        Parameter("load_ratio", "", load[0], 0.3, 1.6, "load over the rated load",
                  0.12, untold=load[1],
                  spread_source="RLA and FLA are ceilings (rule of thumb)"),
        Parameter("start_load_ratio", "", start[0], 0.0, 5.0,
                  "torque needed at standstill over the healthy starting torque",
                  0.12, untold=start[1], learned=False,
                  spread_source="a good motor starts at 197 V (rule of thumb)"),
        Parameter("air_share", "", 1.0, 0.0, 1.0, "share of its air that the wheel moves",
                  hidden=True),
    )  # fmt: skip


def heat_side() -> tuple[Parameter, ...]:
    """What is not told of the air and the refrigerant around a compressor."""
    return (
        Parameter("outdoor_c", "°C", heat.OUTDOOR_C, -20.0, 55.0, "air at the outdoor coil",
                  0.04, untold=0.25, common=True,
                  spread_source="25 to 41 °C on days of such calls (rule of thumb)"),
        Parameter("indoor_c", "°C", heat.RETURN_C, -40.0, 35.0,
                  "air at the indoor coil, of a cooler that of its box", learned=False),
        Parameter("approach_k", "K", heat.APPROACH_K, 5.0, 30.0,
                  "condensing over outdoor air, clean, at full air flow", 0.25, learned=False,
                  spread_source="11 to 17 K (rule of thumb)"),
        Parameter("fouling", "", 0.05, 0.0, 0.95, "share of the outdoor coil's air held up by dirt",
                  1.5, learned=False, hidden=True, common=True),
        Parameter("charge", "", 1.0, 0.05, 2.0, "refrigerant over the right charge",
                  0.08, learned=False, hidden=True),
        Parameter("indoor_blocked", "", 0.05, 0.0, 0.98,
                  "share of the indoor air held up by filter, coil and ducts",
                  1.2, learned=False, hidden=True, common=True),
        Parameter("run_s", "s", 120.0, 1.0, 1e5,
                  "seconds that it has run when it is looked at", 2.2, learned=False, hidden=True,
                  common=True,
                  spread_source="from half a minute to the end of a visit (estimate)"),
    )  # fmt: skip


def _parameters(usual: _Usual, around: tuple[Parameter, ...]) -> tuple[Parameter, ...]:
    return (
        *_nameplate(usual),
        *around,
        Parameter("insulation_ohm", "Ω", 3e8, 1.0, 1e12, "winding insulation to the shell",
                  2.7, learned=False,
                  spread_source="20 MΩ to beyond any meter is good (rule of thumb)"),
        handle("leaks_at_s", "what leaks to the shell leaks from the start lead"),
        Parameter("good_insulation_ohm", "Ω", 1e9, 1e6, 1e12, "terminal insulation", hidden=True),
        *load_of(
            (usual.load_ratio, usual.load_spread), (usual.start_ratio, usual.start_spread)
        ),
        *(Parameter(each.name, each.unit, float("nan"), -1e9, 1e9, each.what,
                    each.spread or usual.locked_spread * each.locked,
                    hidden=True, moves_with=each.moves_with, spread_source=LOCKED,
                    learned=each.name not in _UNLEARNED)
          for each in FITTED),
        Parameter("turns", "", 1.0, 0.05, 1.0, "share of turns not shorted", hidden=True),
        Parameter("common_ohm", "Ω", 0.01, 1e-3, 1e4, "common lead with its overload",
                  learned=False, hidden=True),
        handle("c_open", "common lead open"),
        handle("r_open", "run winding open"),
        handle("s_open", "start winding open"),
        handle("overload_held", "internal overload open, hot"),
        handle("seized", "rotor cannot turn"),
    )  # fmt: skip


def trip_amp(p: Lookup) -> FloatArray:
    """Amps from which its overload opens with time."""
    return p["trip_ratio"] * p["rated_a"]


def hot_trip_amp(p: Lookup) -> FloatArray:
    """A compressor's overload sits in its shell, and opens at fewer amps the hotter that is."""
    usual = heat.usual_evaporating_c(p["indoor_c"])
    return trip_amp(p) * heat.overload_share(p["condensing_c"], p["evaporating_c"], usual)


def _rules(usual: _Usual, trip_amp: Expr) -> tuple[Rule, ...]:
    return (
        MotorRule("slip", "common", "windings", value("seized"), usual.run_up_s),
        OverloadRule(
            "tripped",
            "common",
            slow_amp=trip_amp,
            slow_s=usual.trip_s,
            reset_s=1800.0,
            rated_by="trip_ratio",
            held_by="overload_held",
        ),
    )


MOTOR_STATES = (
    State("slip", 1.0, "rule", "slip of the rotor: 1 at standstill, small when running"),
    State(
        "tripped",
        0.0,
        "rule",
        "internal overload open",
        "internal overload opens",
        "internal overload closes again",
    ),
)


TEMPERATURES = (
    State("condensing_c", heat.CONDENSING_C, "rule", "temperature at which the outdoor coil works"),
    State(
        "evaporating_c", heat.EVAPORATING_C, "rule", "temperature at which the indoor coil works"
    ),
    State("ambient_c", 27.0, "ambient", "outdoor temperature of the condition"),
)


_COMPRESSOR_TERMINALS = Terminals(
    places=dict.fromkeys(("C", "R", "S"), ("tab",)),
    colors={
        "C": ("black", "yellow/black", "blue"),
        "R": ("red", "yellow", "black"),
        "S": ("blue", "white", "red"),
    },
    reach_minutes=4.0,
)
_FAN_TERMINALS = Terminals(
    colors={
        "C": ("black", "yellow/black", "white"),
        "R": ("white", "purple", "black"),
        "S": ("brown", "brown/white", "purple"),
    },
    reach_minutes=2.0,
)


_COMPRESSOR_LABEL = Label(
    ("rated_volt", "rated_a", "locked_a", "run_uf"),
    unseen=("capacity", "refrigerant", "oil", "fittings", "speed control"),
)
_FAN_LABEL = Label(
    ("rated_volt", "rated_a", "run_uf", "rated_rpm", "poles"),
    words={"rotation": ("clockwise", "counterclockwise", "reversible")},
    weighty=("locked_a",),
    unseen=("shaft and mount", "bearings", "blade and direction of the air", "speed control"),
    read_as={"volt": "rated_volt", "fla_a": "rated_a", "uf": "run_uf"},
    on_a_van=5,
)
_RATED = Ratings(
    (
        Rating("rated_volt", Against.VOLTS),
        Rating("rated_rpm", Against.SPEED),
        Rating("rated_a", Against.WORK),
        Rating("run_uf", Against.MICROFARADS),
    )
)
FAN_WEAR = Wear(FAN_MOTORS, {"bearings": ("seized",)}, one_of="fan motor")
COMPRESSOR_WEAR = Wear(COMPRESSORS, {"insulation": ("earthed", "start_earthed", "turns_shorted")})


_SYMBOL = Symbol(
    (Piece("windings", ("R", "C", "S"), ("winding", "winding"), ("run", "start"), round=True),)
)


def _motor(
    name: Literal["compressor", "fan"],
    title: str,
    usual: _Usual,
    modes: tuple[Mode, ...],
) -> PartKind:
    compresses = name == "compressor"
    return PartKind(
        name=name if compresses else "fan_motor",
        title=title,
        terminals=("C", "R", "S"),
        parameters=_parameters(usual, heat_side() if compresses else ()),
        elements=_inside(pumping_nm if compresses else rated_nm),
        facets=(
            families("motor", "compressor" if compresses else "fan motor"),
            Stand(("C", "R", "S"), turns=True, rank=LOAD_RANK, mark=name),
            _SYMBOL,
            compressor_words() if compresses else fan_words(),
            Probes(),
            Looks(),
            Motor(name, "windings", "C", "R", "S"),
            _COMPRESSOR_TERMINALS if compresses else _FAN_TERMINALS,
            *((MixedUp(swapped=(("R", "S"), ("C", "R"), ("C", "S"))),) if compresses else ()),
            _COMPRESSOR_LABEL if compresses else _FAN_LABEL,
            _RATED,
            COMPRESSOR_WEAR if compresses else FAN_WEAR,
        ),
        lacks=LOADS - {Motor} | SWITCHING | JOINTS | (set() if compresses else {MixedUp}),
        states=(*MOTOR_STATES, *TEMPERATURES) if compresses else MOTOR_STATES,
        rules=_rules(usual, hot_trip_amp if compresses else trip_amp),
        modes=modes,
        inner_nodes=("x",),
        change_minutes=(300.0, 300.0) if compresses else (90.0, 120.0),
    )


KINDS = (
    _motor("compressor", "compressor", _COMPRESSOR, compressor_modes()),
    _motor("fan", "fan motor", _FAN, fan_modes()),
)
