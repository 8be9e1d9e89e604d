"""Two-winding capacitor motors: the hermetic compressor and the fan motor.

Both share one inside: common lead, internal overload, then the run (main) and the start
(auxiliary) winding.  What a nameplate gives is in the visible parameters; the machine constants
are fitted from them in :mod:`rungwise.circuit.machine_fit` and kept in the hidden ones.
"""

from __future__ import annotations

from typing import Literal

from rungwise.unit.element import Branch, Element, Machine, both, fixed, insulation, negate, value
from rungwise.unit.kind import Draw, Mode, Parameter, PartKind, State, handle
from rungwise.unit.rule import MotorRule, OverloadRule, Rule

FITTED = (
    ("main_leak_ohm", "Ω", "leakage reactance of the main winding"),
    ("magnetising_ohm", "Ω", "magnetising reactance"),
    ("rotor_ohm", "Ω", "rotor resistance seen from the main winding"),
    ("rotor_leak_ohm", "Ω", "rotor leakage reactance seen from the main winding"),
    ("turns_ratio", "", "effective turns, auxiliary over main"),
    ("aux_leak_ohm", "Ω", "leakage reactance of the auxiliary winding"),
    ("rated_torque_nm", "N·m", "shaft torque at the rated speed"),
    ("start_torque_nm", "N·m", "torque at standstill, rated volts and capacitor"),
)
"""Machine constants that the fit fills in: name, unit, meaning."""


def _inside() -> tuple[Element, ...]:
    return (
        Branch(
            "common",
            "C",
            "x",
            fixed(0.01),
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
        ),
        # At the run lead: a winding earthed there is fed past the overload, and trips the breaker.
        insulation("insulation", "R", value("insulation_ohm")),
        insulation("end_insulation", "C", lambda p: 50.0 * p["good_insulation_ohm"]),
    )


def _parameters(nameplate: tuple[Parameter, ...]) -> tuple[Parameter, ...]:
    return (
        *nameplate,
        Parameter("insulation_ohm", "Ω", 1e8, 1.0, 1e12, "winding insulation to the shell", 0.6),
        Parameter("good_insulation_ohm", "Ω", 1e9, 1e6, 1e12, "terminal insulation", hidden=True),
        Parameter("load_ratio", "", 1.0, 0.3, 1.6, "load over the rated load", 0.12),
        Parameter(
            "start_load_ratio",
            "",
            0.6,
            0.0,
            0.95,
            "torque needed at standstill over the healthy starting torque",
            0.08,
        ),
        *(Parameter(name, unit, float("nan"), -1e9, 1e9, what, hidden=True)
          for name, unit, what in FITTED),
        Parameter("turns", "", 1.0, 0.05, 1.0, "share of turns not shorted", hidden=True),
        handle("c_open", "common lead open"),
        handle("r_open", "run winding open"),
        handle("s_open", "start winding open"),
        handle("overload_held", "internal overload open, hot"),
        handle("seized", "rotor cannot turn"),
    )  # fmt: skip


def _rules(trip_s: float) -> tuple[Rule, ...]:
    return (
        MotorRule("slip", "windings", value("seized")),
        OverloadRule(
            "tripped",
            "common",
            slow_amp=lambda p: p["trip_ratio"] * p["rated_a"],
            slow_s=trip_s,
            reset_s=1800.0,
        ),
    )


_STATES = (
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


def _nameplate(numbers: dict[str, float], tolerance: float) -> tuple[Parameter, ...]:
    n = numbers
    return (
        Parameter("rated_volt", "V", n["volt"], 100, 600, "rated volts"),
        Parameter("rated_a", "A", n["amp"], 0.1, 150, "rated amps (RLA or FLA)"),
        Parameter("locked_a", "A", n["locked"], 0.2, 900, "locked-rotor amps"),
        Parameter("run_uf", "µF", n["uf"], 1, 120, "run capacitor it is made for"),
        Parameter("main_ohm", "Ω", n["main"], 0.05, 200, "run winding, C to R, cold", tolerance),
        Parameter("aux_ohm", "Ω", n["aux"], 0.1, 500, "start winding, C to S, cold", tolerance),
        Parameter("rated_rpm", "rpm", n["rpm"], 300, 3600, "rated speed"),
        Parameter("poles", "", n["poles"], 2, 12, "number of poles"),
        Parameter("efficiency", "", n["efficiency"], 0.2, 0.95, "shaft watts over input watts"),
        Parameter("power_factor", "", n["pf"], 0.4, 1.0, "rated power factor"),
        Parameter("trip_ratio", "", n["trip"], 1.05, 3.0, "overload trip over rated amps", 0.06),
    )


def _modes(
    noun: str,
    weights: dict[str, float],
    insulation_ohm: tuple[float, float],
    overload_behind: str,
) -> tuple[Mode, ...]:
    replace = ("replace", f"replace the {noun}")
    opened = tuple(
        Mode(
            f"{lead}_open",
            f"{noun} {what} open",
            weights["open"] / 3,
            (Draw(f"{lead}_open", 1, 1),),
            *replace,
        )
        for lead, what in (("c", "common lead"), ("r", "run winding"), ("s", "start winding"))
    )
    return (
        Mode("seized", f"{noun} seized", weights["seized"], (Draw("seized", 1, 1),), *replace),
        *opened,
        Mode(
            "earthed",
            f"{noun} winding shorted to earth",
            weights["earthed"],
            (Draw("insulation_ohm", *insulation_ohm),),
            *replace,
        ),
        Mode(
            "turns_shorted",
            f"{noun} winding has shorted turns",
            weights["shorted"],
            (Draw("turns", 0.35, 0.8),),
            *replace,
        ),
        Mode(
            "overload_open",
            f"{noun} internal overload open, hot",
            weights["overload"],
            (Draw("overload_held", 1, 1),),
            "let_cool",
            f"let the {noun} cool, then find what made it hot; it is not proved dead",
            behind=overload_behind,
            signs={"hot_shell": 0.9},
        ),
    )


_KEYS = ("volt", "amp", "locked", "uf", "main", "aux", "rpm", "poles", "efficiency", "pf", "trip")
_COMPRESSOR = (230.0, 16.0, 80.0, 45.0, 0.7, 2.2, 3450.0, 2.0, 0.82, 0.97, 1.45)
_FAN = (230.0, 1.3, 2.6, 5.0, 21.0, 38.0, 1075.0, 6.0, 0.55, 0.96, 1.25)


def _motor(
    name: Literal["compressor", "fan"],
    title: str,
    nameplate: tuple[float, ...],
    modes: tuple[Mode, ...],
    trip_s: float,
) -> PartKind:
    return PartKind(
        name=name if name == "compressor" else "fan_motor",
        title=title,
        terminals=("C", "R", "S"),
        parameters=_parameters(_nameplate(dict(zip(_KEYS, nameplate, strict=True)), 0.05)),
        elements=_inside(),
        states=_STATES,
        rules=_rules(trip_s),
        modes=modes,
        inner_nodes=("x",),
        motor=name,
    )


KINDS = (
    _motor(
        "compressor",
        "compressor",
        _COMPRESSOR,
        _modes(
            "compressor",
            {"seized": 25.0, "open": 12.0, "earthed": 15.0, "shorted": 5.0, "overload": 25.0},
            (0.5, 2e5),
            "a weak capacitor, a fan that does not turn, low charge or a dirty coil",
        ),
        75.0,
    ),
    _motor(
        "fan",
        "fan motor",
        _FAN,
        _modes(
            "fan motor",
            {"seized": 40.0, "open": 18.0, "earthed": 2.0, "shorted": 5.0, "overload": 5.0},
            (0.5, 2e5),
            "worn bearings, a weak capacitor section or a blocked coil",
        ),
        60.0,
    ),
)
