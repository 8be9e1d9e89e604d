"""The contactor: one pole with a solid bar, or two poles; a 24 V coil that moves a plunger."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from rungwise.parts.contactor_modes import CONTACT_WAYS, contactor_modes
from rungwise.parts.element import (
    Branch,
    Element,
    Expr,
    FloatArray,
    Lookup,
    both,
    contact,
    either,
    insulation,
    negate,
    value,
)
from rungwise.parts.facets import (
    JOINTS,
    LOADS,
    SWITCHING,
    Coil,
    MixedUp,
    Pole,
    Poles,
    Terminals,
    families,
)
from rungwise.parts.kind import Parameter, PartKind, State, handle
from rungwise.parts.pictures import SWITCHING_RANK, Piece, Stand, Symbol
from rungwise.parts.rule import CoilRule
from rungwise.parts.seen import Look, Looks, Probes
from rungwise.parts.trade import (
    CONTACTORS,
    TORQUE,
    TORQUE_SOURCE,
    Against,
    Facet,
    Label,
    LabelFigure,
    Rating,
    Ratings,
    Wear,
)
from rungwise.parts.words import SOMETHING, LeaveOff, Plain, Words, told

PLUNGER_IN: Expr = either(
    both(value("attracted"), negate(value("blocked"))),
    value("welded"),
)
"""1 where the plunger is in: pulled and free to move, or held in by a weld."""


def _coil_henry(p: Lookup) -> FloatArray:
    plunger_in = PLUNGER_IN(p)
    return p["coil_out_henry"] + (p["coil_in_henry"] - p["coil_out_henry"]) * plunger_in


def _pole(pole: int) -> tuple[Branch, ...]:
    across = (f"L{pole}", f"T{pole}")
    return (
        *contact(
            f"pole{pole}",
            *across,
            ohm=value(f"contact{pole}_ohm"),
            closed=both(PLUNGER_IN, negate(value(f"open{pole}"))),
        ),
        Branch(f"leak{pole}", *across, value("leak_ohm"), closed=value(f"leaks{pole}")),
    )


def _bar(pole: int) -> Branch:
    return Branch(f"bar{pole}", f"L{pole}", f"T{pole}", value("bar_ohm"))


_COIL = (
    Branch(
        "coil",
        "coil1",
        "coil2",
        value("coil_ohm"),
        henry=_coil_henry,
        closed=negate(value("coil_open")),
    ),
    insulation("coil_insulation", "coil1", value("insulation_ohm")),
)

_COIL_SOURCE = "24 V coils of 8 to 20 Ω by make, rule of thumb"


def _inductance(name: str, henry: float, what: str) -> Parameter:
    return Parameter(
        name,
        "H",
        henry,
        0.005,
        50.0,
        what,
        tolerance=0.08,
        untold=0.47,
        spread_source=f"as its ohms: {_COIL_SOURCE}",
        moves_with="coil_ohm",
    )


_COIL_PARAMETERS = (
    Parameter("coil_volt", "V", 24.0, 20.0, 277.0, "rated coil volts"),
    Parameter(
        "coil_ohm",
        "Ω",
        13.0,
        4.0,
        30.0,
        "coil resistance, cold",
        tolerance=0.08,
        untold=0.47,
        spread_source=_COIL_SOURCE,
    ),
    _inductance("coil_in_henry", 0.2, "coil inductance, plunger in"),
    _inductance("coil_out_henry", 0.075, "coil inductance, plunger out"),
    Parameter(
        "pull_in_ratio",
        "",
        0.75,
        0.5,
        0.85,
        "share of rated volts that pulls the plunger in",
        tolerance=0.08,
        source="IEC 60947-4-1: at most 0.85; check your own copy",
        untold=0.13,
        spread_source="0.65 to 0.85 of rated volts, IEC 60947-4-1 and common practice",
        learned=False,
    ),
    Parameter(
        "drop_out_ratio",
        "",
        0.48,
        0.2,
        0.75,
        "share of rated volts at which it lets go",
        tolerance=0.2,
        source="IEC 60947-4-1: 0.20 to 0.75; check your own copy",
        learned=False,
    ),
    Parameter(
        "insulation_ohm",
        "Ω",
        2e8,
        1e3,
        1e11,
        "coil insulation to the frame",
        2.7,
        learned=False,
        spread_source="20 MΩ to beyond any meter is good (rule of thumb)",
    ),
)

_RATINGS = (
    Parameter("fla_a", "A", 30.0, 1, 400, "full-load ampere rating of a pole"),
    Parameter("lra_a", "A", 150.0, 6, 2400, "locked-rotor ampere rating of a pole"),
    Parameter("resistive_a", "A", 40.0, 1, 500, "resistive ampere rating of a pole"),
)


def _closed_contact(pole: int) -> Parameter:
    return Parameter(
        f"contact{pole}_ohm",
        "Ω",
        0.003,
        1e-4,
        0.02,
        f"closed contact {pole}",
        tolerance=0.6,
        untold=1.15,
        spread_source="1 to 10 mΩ, new to worn and still good; rule of thumb",
    )


def _handles(poles: int) -> tuple[Parameter, ...]:
    numbers = range(1, poles + 1)
    bar = Parameter("bar_ohm", "Ω", 3e-4, 1e-5, 1e6, "solid bar in place of pole 2", hidden=True)
    return (
        *((bar,) if poles == 1 else ()),
        Parameter("leak_ohm", "Ω", 1e9, 1.0, 1e12, "path over an open contact", hidden=True),
        handle("coil_open", "coil open"),
        handle("coil_weak", "coil too weak to pull"),
        handle("chatters", "contactor pulls in and drops out"),
        handle("hums", "plunger in, and hums"),
        handle("blocked", "plunger cannot go in"),
        handle("welded", "contacts welded, plunger held in"),
        *(handle(f"open{n}", f"contact {n} does not carry") for n in numbers),
        *(handle(f"leaks{n}", f"a path lies over open contact {n}") for n in numbers),
    )


def _pull_in(p: Lookup) -> FloatArray:
    return p["coil_volt"] * p["pull_in_ratio"] * (1 + 99 * p["coil_weak"])


def _drop_out(p: Lookup) -> FloatArray:
    """A plunger that cannot stay in lets go at whatever volts pulled it in."""
    never_holds = 99 * either(value("coil_weak"), value("chatters"))(p)
    return p["coil_volt"] * p["drop_out_ratio"] * (1 + never_holds)


_LABEL = Label(
    ("coil_volt", "fla_a", "lra_a", "resistive_a"),
    (
        LabelFigure("sealed_va", "VA", 1, 100, "coil volt-amperes, plunger in"),
        LabelFigure("inrush_va", "VA", 2, 1000, "coil volt-amperes, plunger out"),
        TORQUE,
    ),
    {"coil_hz": ("50", "60", "50/60"), **TORQUE_SOURCE},
    weighty=("coil_ohm", "pull_in_ratio"),
    stands_in="contactor",
    unseen=("cover", "short-circuit rating", "auxiliary contacts"),
)
_RATED = Ratings(
    (
        Rating("fla_a", Against.RUNNING_MOTORS),
        Rating("lra_a", Against.LOCKED_MOTORS),
        Rating("resistive_a", Against.HEATERS),
        Rating("coil_volt", Against.COIL_VOLTS),
    )
)


def _lines(poles: int) -> range:
    """Its lines by number; with one pole the second is the bar."""
    return range(1, max(poles, 2) + 1)


def _power_terminals(poles: int) -> tuple[str, ...]:
    return tuple(f"{side}{n}" for n in _lines(poles) for side in "LT")


def _symbol(poles: int) -> Symbol:
    """Two lines are drawn at least: with one pole a solid bar lies in the place of the second."""
    lines = (
        Piece(
            f"pole{n}",
            (f"L{n}", f"T{n}"),
            ("contact" if n <= poles else "bar",),
            (f"pole{n}",),
            through=True,
        )
        for n in _lines(poles)
    )
    return Symbol((*lines, Piece("coil", ("coil1", "coil2"), ("coil",), ("coil",), aside="coil")))


def _words(poles: int) -> Words:
    coil = Plain("The coil of the {noun} had failed.")
    burnt = Plain("The contacts of the {noun} were burnt.")
    numbers = range(1, poles + 1)
    others = ("coil", "coil_leak", "pull", *(("bar",) if poles == 1 else ()))
    return Words(
        "contactor",
        "The contactor is the switch that puts the outdoor unit on the line.",
        {
            **told(coil, ("coil_open", "coil_wrong_volts")),
            "coil_shorted": coil.staying_off(LeaveOff.BREAKER),
            "blocked": Plain(
                "The {noun} was blocked by insects or dirt.", "clear the {noun}, or replace it"
            ),
            "chatters": Plain("The {noun} did not hold."),
            "hums": Plain("The {noun} did not close fully."),
            "welded": Plain(
                "The {noun} had stuck closed, so that the unit did not stop.",
                off=LeaveOff.DOES_NOT_STOP,
            ),
            **told(burnt, (f"pole{n}_{how}" for n in numbers for how in CONTACT_WAYS)),
            **told(SOMETHING, (f"another_{what}{n}" for n in numbers for what in ("pole", "leak"))),
            **told(SOMETHING, (f"another_{what}" for what in others)),
        },
    )


def _terminals(poles: int) -> Terminals:
    return Terminals(
        places={
            **{f"{side}{n}": ("plate", *("tab",) * 4) for n in _lines(poles) for side in "LT"},
            **dict.fromkeys(("coil1", "coil2"), ("tab", "tab")),
        },
        sides=(
            ("load side", tuple(f"T{n}" for n in _lines(poles))),
            ("coil", ("coil1", "coil2")),
            ("line side", tuple(f"L{n}" for n in _lines(poles))),
        ),
    )


_LACKS: frozenset[type[Facet]] = LOADS | SWITCHING - {Coil, Poles} | JOINTS


def _facets(poles: int) -> tuple[Facet, ...]:
    numbers = range(1, poles + 1)
    return (
        families("contactor"),
        Stand(
            tuple(f"L{n}" for n in _lines(poles)),
            tuple(f"T{n}" for n in _lines(poles)),
            right=("coil1", "coil2"),
            rank=SWITCHING_RANK,
        ),
        _symbol(poles),
        _words(poles),
        Probes(),
        Looks(
            (
                Look("burnt", "burnt", "are contacts or coil burnt?", ("no", "burnt")),
                Look("debris", "debris", "insects or debris in it?", ("no", "debris")),
            )
        ),
        Poles(
            tuple(
                Pole(f"L{n}", f"T{n}", f"pole{n}", f"open{n}", f"pole{n}_pitted", "welded")
                for n in numbers
            ),
            moved_by="coil",
            at_rest="open",
            bar=("L2", "T2") if poles == 1 else None,
        ),
        Coil("coil", ("coil1", "coil2"), "attracted", "coil_volt", "definite purpose"),
        _terminals(poles),
        MixedUp(
            landed=(("coil1", "coil2", frozenset({"field"})),),
            fed_for_ever=tuple((f"T{n}", f"L{n}") for n in numbers),
            beside=tuple(
                each
                for one, other in pairwise(_lines(poles))
                for each in ((f"T{one}", f"T{other}"), (f"T{other}", f"T{one}"))
            ),
        ),
        replace(_LABEL, on_a_van=1 + poles if poles <= 2 else 0),
        _RATED,
        Wear(
            CONTACTORS,
            {
                "contacts": (
                    "welded",
                    *(f"pole{n}_{how}" for n in numbers for how in CONTACT_WAYS),
                )
            },
            one_of="contactor",
        ),
    )


def contactor(poles: int, title: str) -> PartKind:
    """A definite-purpose contactor of so many poles; one pole has a solid bar beside it."""
    numbers = range(1, poles + 1)
    power: tuple[Element, ...] = tuple(element for n in numbers for element in _pole(n))
    if poles == 1:
        power += (_bar(2),)
    return PartKind(
        name=f"contactor_{poles}p",
        title=title,
        noun="contactor",
        terminals=(*_power_terminals(poles), "coil1", "coil2"),
        parameters=(
            *_COIL_PARAMETERS,
            *_RATINGS,
            Parameter("marked", "", 1.0, 0.0, 1.0, "1 where line and load are marked"),
            *(_closed_contact(n) for n in numbers),
            *_handles(poles),
        ),
        elements=(*power, *_COIL),
        facets=_facets(poles),
        lacks=_LACKS,
        states=(
            State("attracted", 0.0, "rule", "coil pulls the plunger", "pulls in", "drops out"),
        ),
        rules=(CoilRule("attracted", "coil", _pull_in, _drop_out),),
        modes=contactor_modes(poles),
    )


KINDS = (
    contactor(1, "one-pole contactor"),
    contactor(2, "two-pole contactor"),
)
