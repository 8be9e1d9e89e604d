"""The contactor: one pole with a solid bar, or two poles; a 24 V coil that moves a plunger."""

from __future__ import annotations

from rungwise.unit.element import (
    Branch,
    Element,
    Expr,
    FloatArray,
    Lookup,
    both,
    contact,
    either,
    fixed,
    insulation,
    negate,
    value,
)
from rungwise.unit.kind import Draw, Mode, Parameter, PartKind, State, handle
from rungwise.unit.rule import CoilRule

PLUNGER_IN: Expr = either(
    both(value("attracted"), negate(value("blocked"))),
    value("welded"),
)
"""1 where the plunger is in: pulled and free to move, or held in by a weld."""


def _coil_henry(p: Lookup) -> FloatArray:
    plunger_in = PLUNGER_IN(p)
    return p["coil_out_henry"] + (p["coil_in_henry"] - p["coil_out_henry"]) * plunger_in


def _pole(pole: int) -> tuple[Branch, Branch]:
    return contact(
        f"pole{pole}",
        f"L{pole}",
        f"T{pole}",
        ohm=value(f"contact{pole}_ohm"),
        closed=both(PLUNGER_IN, negate(value(f"open{pole}"))),
    )


def _bar(pole: int) -> Branch:
    return Branch(f"bar{pole}", f"L{pole}", f"T{pole}", fixed(3e-4))


_COIL = (
    Branch(
        "coil",
        "coil1",
        "coil2",
        value("coil_ohm"),
        henry=_coil_henry,
        closed=negate(value("coil_open")),
    ),
    insulation("coil_insulation", "coil2", value("insulation_ohm")),
)

_REPLACE = ("replace", "replace the contactor")

_COIL_PARAMETERS = (
    Parameter("coil_volt", "V", 24.0, 20.0, 277.0, "rated coil volts"),
    Parameter("coil_ohm", "Ω", 14.0, 9.0, 20.0, "coil resistance, cold", tolerance=0.08),
    Parameter("coil_in_henry", "H", 0.215, 0.01, 20.0, "coil inductance, plunger in", 0.08),
    Parameter("coil_out_henry", "H", 0.079, 0.005, 10.0, "coil inductance, plunger out", 0.08),
    Parameter(
        "pull_in_ratio",
        "",
        0.75,
        0.5,
        0.85,
        "share of rated volts that pulls the plunger in",
        0.08,
        "IEC 60947-4-1: at most 0.85; clause from memory",
    ),
    Parameter(
        "drop_out_ratio",
        "",
        0.5,
        0.2,
        0.75,
        "share of rated volts at which it lets go",
        0.2,
        "IEC 60947-4-1: 0.20 to 0.75; clause from memory",
    ),
    Parameter("insulation_ohm", "Ω", 2e8, 1e3, 1e11, "coil insulation to the frame"),
)

_RATINGS = (
    Parameter("fla_a", "A", 30.0, 1, 400, "full-load ampere rating of a pole"),
    Parameter("lra_a", "A", 150.0, 6, 2400, "locked-rotor ampere rating of a pole"),
    Parameter("resistive_a", "A", 40.0, 1, 500, "resistive ampere rating of a pole"),
)

_COIL_MODES = (
    Mode("coil_open", "contactor coil open", 22.0, (Draw("coil_open", 1, 1),), *_REPLACE),
    Mode(
        "coil_shorted",
        "contactor coil has shorted turns",
        9.0,
        (
            Draw("coil_ohm", 0.05, 0.5, "scale"),
            Draw("coil_in_henry", 0.003, 0.15, "scale"),
            Draw("coil_out_henry", 0.003, 0.15, "scale"),
            Draw("coil_weak", 1, 1),
        ),
        *_REPLACE,
        signs={"burnt": 0.4},
    ),
    Mode(
        "blocked",
        "plunger blocked by insects or debris",
        22.0,
        (Draw("blocked", 1, 1),),
        "clear",
        "clear the insects or debris, or replace the contactor if it is scarred",
        signs={"debris": 0.85},
    ),
    Mode(
        "welded",
        "contactor contacts welded",
        18.0,
        (Draw("welded", 1, 1),),
        *_REPLACE,
        behind="low coil volts, short cycling or a loose joint",
        signs={"burnt": 0.5},
    ),
)


def _pole_modes(pole: int, poles: int) -> tuple[Mode, ...]:
    return (
        Mode(
            f"pole{pole}_pitted",
            f"contactor contact {pole} pitted",
            45.0 / poles,
            (Draw(f"contact{pole}_ohm", 0.02, 5.0),),
            *_REPLACE,
            behind="age, low coil volts, short cycling or a loose joint",
            signs={"burnt": 0.6},
        ),
        Mode(
            f"pole{pole}_open",
            f"contactor contact {pole} does not carry",
            15.0 / poles,
            (Draw(f"open{pole}", 1, 1),),
            *_REPLACE,
            behind="burnt away, or an insect between the contacts",
            signs={"burnt": 0.5},
        ),
    )


def _contactor(poles: int, title: str) -> PartKind:
    numbers = range(1, poles + 1)
    power: tuple[Element, ...] = tuple(element for n in numbers for element in _pole(n))
    if poles == 1:
        power += (_bar(2),)
    return PartKind(
        name=f"contactor_{poles}p",
        title=title,
        terminals=("L1", "T1", "L2", "T2", "coil1", "coil2"),
        parameters=(
            *_COIL_PARAMETERS,
            *_RATINGS,
            Parameter("marked", "", 1.0, 0.0, 1.0, "1 where line and load are marked"),
            *(
                Parameter(f"contact{n}_ohm", "Ω", 0.0015, 1e-4, 0.01, f"closed contact {n}", 0.5)
                for n in numbers
            ),
            handle("coil_open", "coil open"),
            handle("coil_weak", "coil too weak to pull"),
            handle("blocked", "plunger cannot go in"),
            handle("welded", "contacts welded, plunger held in"),
            *(handle(f"open{n}", f"contact {n} does not carry") for n in numbers),
        ),
        elements=(*power, *_COIL),
        states=(
            State("attracted", 0.0, "rule", "coil pulls the plunger", "pulls in", "drops out"),
        ),
        rules=(
            CoilRule(
                "attracted",
                "coil",
                lambda p: p["coil_volt"] * p["pull_in_ratio"] * (1 + 99 * p["coil_weak"]),
                lambda p: p["coil_volt"] * p["drop_out_ratio"] * (1 + 99 * p["coil_weak"]),
            ),
        ),
        modes=(*_COIL_MODES, *(mode for n in numbers for mode in _pole_modes(n, poles))),
    )


KINDS = (
    _contactor(1, "one-pole contactor"),
    _contactor(2, "two-pole contactor"),
)
