"""The board of a gas furnace: source of the 24 V circuit, and what lights the gas and runs the air.

An honest black box by its terminals: what goes in, what must come out, and when.  Its times are
read on suppliers' pages: inducer 15 to 60 s and igniter 15 to 45 s before the gas, a flame within
2 to 7 s, the blower 30 to 60 s after it and 90 to 180 s past it, 3 to 5 tries and then a lock; in
cooling 0 to 5 s and 45 to 90 s.  The rest is common practice, no source.  What burns, and how well,
is no matter of volts and is not judged.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from rungwise.parts.element import (
    Branch,
    Element,
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
    Junction,
    MixedUp,
    Pole,
    Poles,
    Terminals,
    families,
)
from rungwise.parts.furnace_rules import LightTriesRule, NoticeRule, ShutsRule, StageRule
from rungwise.parts.heat_facets import Ignites
from rungwise.parts.kind import Draw, Mode, Parameter, PartKind, State, board_input, by_make, handle
from rungwise.parts.passive import LEAK_WORDS, LEAKING, LEAKS, leak_modes
from rungwise.parts.pictures import CONTROL_RANK, Piece, Sign, Stand, Symbol
from rungwise.parts.rule import BoolArray, Rule, Seen
from rungwise.parts.seen import Looks, Probes
from rungwise.parts.trade import CONTROLS, Facet, Label, Ratings, Wear
from rungwise.parts.ways import Repair
from rungwise.parts.words import FAILED, SOMETHING, LeaveOff, Plain, Words, told

SEES_VOLT = 16.0
"""Volts at which the board works and sees a call or a closed loop (common practice, no source)."""

FLAME_SHARE = (0.02, 0.65)
"""Of the line's volts what stands at the flame rod's terminal while a flame carries microamperes;
more is no flame, less a rod that touches metal (follows from the ohms below)."""

_FEED_OHM, _SENSE_OHM = 1e7, 5e7

_LINE = ("L1", "XF", "COOL", "HEAT", "IND", "HSI")
_STRIP = ("R", "C", "Y", "G", "W")
_LOW = ("24V", "COM", "LIM1", "LIM2", "PS1", "PS2", "MV", "FS")

_READ = frozenset({"volts", "drop", "ohms"})
_SEQUENCE = frozenset({"look:sequence"})
_IDLE = frozenset({"look:idle"})
_REPLACE = Repair(
    "replace",
    "read its light's code first; with 24 V to R and C, the call at its terminal, every loop "
    "closed and no volts out after its time, the board is at fault; replace it, with the same "
    "settings and taps",
    240.0,
    _READ,
)


def _there(seen: Seen, *elements: str) -> BoolArray:
    volts = [np.asarray(seen.volt(each) >= SEES_VOLT) for each in elements]
    return np.asarray(np.logical_and.reduce(volts))


def _chain(seen: Seen) -> BoolArray:
    """A call for heat, the inducer on, and every guard of the flame closed."""
    on = (seen.values["inducing"] > 0) & (seen.values["shut"] == 0)
    return np.asarray(_there(seen, "w", "limit", "draft") & on)


def _induces(seen: Seen) -> BoolArray:
    """It starts the inducer on a draft switch that is open, and keeps it while the call stays."""
    proven = (seen.values["inducing"] > 0) | ~_there(seen, "draft")
    return np.asarray(_there(seen, "supply", "w", "limit") & proven)


def _glows(seen: Seen) -> BoolArray:
    return np.asarray(_chain(seen) & (seen.values["proved"] == 0))


def _gives_gas(seen: Seen) -> BoolArray:
    lit = (seen.values["glowing"] > 0) | (seen.values["proved"] > 0)
    return np.asarray(_chain(seen) & lit)


def _sees_flame(seen: Seen) -> BoolArray:
    share = seen.volt("flame") / np.maximum(seen.volt("line"), 1e-6)
    least, most = FLAME_SHARE
    lit = (share > least) & (share < most) & (seen.volt("line") > 80.0)
    return np.asarray(_there(seen, "supply") & lit & (seen.values["deaf"] == 0))


def _cools(seen: Seen) -> BoolArray:
    return np.asarray(_there(seen, "supply") & (_there(seen, "y") | _there(seen, "g")))


def _blows_heat(seen: Seen) -> BoolArray:
    """With a flame; and while the limit is open, so that the air cools what is too hot."""
    wanted = (seen.values["proved"] > 0) | ~_there(seen, "limit")
    return np.asarray(_there(seen, "supply") & wanted)


def _gives_up(seen: Seen) -> BoolArray:
    return np.asarray(_locked(seen.values) > 0)


def _locked(p: Lookup) -> FloatArray:
    return np.asarray(p["half_tries"] >= 2.0 * p["tries_allowed"] - 1.0, float)


_WORKS = negate(value("dead"))


def _out(state: str, handle_name: str, stuck: str = "") -> Expr:
    """A contact of the board: closed by a state, unless it does not carry, or is stuck."""
    moved = both(_WORKS, value(state), negate(value(handle_name)))
    return either(value(stuck), moved) if stuck else moved


def _heat_contact() -> Expr:
    return both(_out("heat_air", "heat_open"), negate(value("cool_air")), negate(value("welded")))


def _elements() -> Iterator[Element]:
    ohm = value("contact_ohm")
    yield Branch("supply", "24V", "COM", value("supply_ohm"))
    yield Branch("line", "L1", "COM", fixed(_SENSE_OHM))
    yield Branch("to_transformer", "L1", "XF", fixed(0.005))
    yield Branch("to_r", "24V", "R", fixed(0.01))
    yield Branch("to_c", "COM", "C", fixed(0.01))
    yield Branch("to_limit", "24V", "LIM1", fixed(0.01))
    yield Branch("to_draft", "LIM2", "PS1", fixed(0.01))
    for name in ("y", "g", "w"):
        yield Branch(name, name.upper(), "C", value("input_ohm"))
    yield Branch("limit", "LIM2", "COM", value("input_ohm"))
    yield Branch("draft", "PS2", "COM", value("input_ohm"))
    yield Branch("flame_feed", "L1", "FS", fixed(_FEED_OHM))
    yield Branch("flame", "FS", "COM", fixed(_SENSE_OHM))
    yield from contact(
        "cool", "L1", "COOL", ohm=ohm, closed=_out("cool_air", "cool_open", "welded")
    )
    yield from contact("heat", "L1", "HEAT", ohm=ohm, closed=_heat_contact())
    yield from contact("induce", "L1", "IND", ohm=ohm, closed=_out("inducing", "no_inducer"))
    yield from contact("ignite", "L1", "HSI", ohm=ohm, closed=_out("glowing", "no_igniter"))
    yield from LEAKS
    yield from contact("gas", "PS2", "MV", ohm=ohm, closed=_out("gas_on", "no_gas"))


_HANDLES = {
    "dead": "does nothing though it has 24 V and a call",
    "deaf": "does not see a flame that is there",
    "cool_open": "relay of the cooling speed does not make",
    "welded": "relay of the cooling speed is welded",
    "heat_open": "relay of the heating speed does not make",
    "no_inducer": "gives the inducer no volts",
    "no_igniter": "gives the igniter no volts",
    "no_gas": "gives the gas valve no volts",
}

_TITLES: dict[str, tuple[str, float, frozenset[str]]] = {
    "dead": ("{noun} does nothing on a call", 12.0, _READ | _SEQUENCE),
    "cool_open": ("relay of the {noun} for the cooling speed does not make", 12.0, _READ),
    "welded": ("relay of the {noun} for the cooling speed welded", 4.0, _READ | _IDLE),
    "heat_open": ("relay of the {noun} for the heating speed does not make", 4.0, _READ),
    "no_inducer": ("{noun} gives the inducer no volts", 4.0, _READ | _SEQUENCE),
    "no_igniter": ("{noun} gives the igniter no volts", 4.0, _READ | _SEQUENCE),
    "no_gas": ("{noun} gives the gas valve no volts", 3.0, _READ | _SEQUENCE),
    "deaf": ("{noun} does not see the flame", 3.0, _SEQUENCE),
}


def _parameters() -> Iterator[Parameter]:
    yield by_make("supply_ohm", 150.0, 50.0, 1e5, "what its electronics draw")
    yield board_input("what each input draws")
    yield by_make("contact_ohm", 0.01, 1e-4, 0.5, "closed contact")
    for name, (default, least, most, what) in _TIMES.items():
        yield Parameter(name, "s", default, least, most, what, 0.2, learned=False,
                        source="by make and setting")  # fmt: skip
    yield Parameter("tries_allowed", "", 4.0, 2.0, 8.0, "tries to light after which it locks")
    for name, what in _HANDLES.items():
        yield handle(name, what)
    yield from LEAKING


_TIMES = {
    "cool_on_s": (3.0, 0.0, 30.0, "from Y or G to the blower"),
    "cool_off_s": (65.0, 0.0, 300.0, "from Y and G gone to the blower off"),
    "purge_s": (15.0, 0.0, 120.0, "inducer before the igniter, and after the gas"),
    "warm_s": (25.0, 2.0, 90.0, "igniter before the gas"),
    "trial_s": (7.0, 2.0, 20.0, "gas without a flame"),
    "rest_s": (60.0, 5.0, 300.0, "from a try that failed to the next"),
    "heat_on_s": (40.0, 0.0, 120.0, "from the flame to the blower"),
    "heat_off_s": (120.0, 10.0, 300.0, "from no flame to the blower off"),
}


def _modes() -> Iterator[Mode]:
    for name, (title, weight, shown) in _TITLES.items():
        yield _REPLACE.mode(name, title, weight,
                            behind="a surge, water, or a short in the control wires",
                            shown_by=shown)  # fmt: skip
    yield _REPLACE.another("contact", 0.8, Draw("contact_ohm", 0.5, 1000.0))
    yield _REPLACE.another("supply", 0.4, Draw("supply_ohm", 0.02, 0.2, "scale"))
    yield from leak_modes()


_BOX: Sign = "box"
_CLOSES: tuple[tuple[str, str, str, str, str], ...] = (
    ("cool", "L1", "COOL", "cooling speed", "cool"),
    ("heat", "L1", "HEAT", "heating speed", "heat"),
    ("induce", "L1", "IND", "inducer", "induce"),
    ("ignite", "L1", "HSI", "igniter", "ignite"),
    ("gas", "PS2", "MV", "gas valve", "gas"),
)


def _pieces() -> Iterator[Piece]:
    for name, a, b, aside, element in _CLOSES:
        yield Piece(name, (a, b), ("contact",), (element,), through=True, aside=aside)
    yield Piece("to_transformer", ("L1", "XF"), ("bar",), ("to_transformer",), through=True)
    yield Piece("to_limit", ("24V", "LIM1"), ("bar",), ("to_limit",), through=True)
    yield Piece("to_draft", ("LIM2", "PS1"), ("bar",), ("to_draft",), through=True)
    yield Piece("to_r", ("24V", "R"), ("bar",), ("to_r",), through=True)
    yield Piece("to_c", ("COM", "C"), ("bar",), ("to_c",))
    yield Piece("supply", ("24V", "COM"), (_BOX,), ("supply",), aside="electronics")
    for name in ("y", "g", "w"):
        yield Piece(name, (name.upper(), "C"), (_BOX,), (name,), aside=f"sees {name.upper()}")
    yield Piece("flame", ("FS",), aside="flame rod")


def _facets() -> tuple[Facet, ...]:
    live = tuple((each, "C") for each in _STRIP if each != "C")
    return (
        families("electronics", "board"),
        Stand(top=_LINE, bottom=_STRIP, right=_LOW, rank=CONTROL_RANK),
        Symbol(tuple(_pieces())),
        Words(
            purpose="The furnace board runs the blower, lights the gas and feeds the thermostat.",
            modes={
                **told(FAILED, (n for n in _HANDLES if n != "welded")),
                "welded": Plain(
                    "The {noun} kept the blower running.", off=LeaveOff.DOES_NOT_STOP
                ),
                **told(SOMETHING, ("another_contact", "another_supply")),
                **LEAK_WORDS,
            },
        ),
        Probes(in_circuit=live, apart=(("Y", "C"),), volts=live, to_neutral=("L1", "XF", "COOL"),
               on_heat=(("MV", "C"), ("LIM2", "C"), ("PS2", "C"))),
        Looks(light="board"),
        Poles(
            (
                Pole("L1", "COOL", "cool", "cool_open", stuck_handle="welded"),
                Pole("L1", "HEAT", "heat", "heat_open"),
                Pole("L1", "IND", "induce", "no_inducer"),
                Pole("L1", "HSI", "ignite", "no_igniter"),
                Pole("PS2", "MV", "gas", "no_gas"),
            ),
            moved_by="itself", at_rest="open", asked=True,
        ),
        Ignites(value("proved"), draft="induce", glow="ignite"),
        Junction(one_point=False, carries="control"),
        Terminals(dict.fromkeys((*_LINE, *_LOW), ("tab",) * 2)),
        Label(unseen=("settings and taps", "gas side", "maker's list of boards that fit")),
        Wear(CONTROLS, one_of="control board", usual=False),
        MixedUp(
            landed=(
                ("Y", "C", frozenset({"control", "field"})),
                ("Y", "R", frozenset({"field"})),
                ("Y", "W", frozenset({"control"})),
                ("C", "R", frozenset({"field"})),
                ("G", "W", frozenset({"control"})),
            )
        ),
    )  # fmt: skip


_STATES = (
    State("inducing", 0.0, "rule", "it runs the inducer", "starts the inducer",
          "stops the inducer"),
    State("glowing", 0.0, "rule", "it heats the igniter", "heats the igniter",
          "lets the igniter go cold"),
    State("gas_on", 0.0, "rule", "it opens the gas valve", "opens the gas valve",
          "shuts the gas valve"),
    State("proved", 0.0, "rule", "it sees a flame", "sees the flame", "sees no flame any more"),
    State("shut", 0.0, "rule", "a try to light failed", "saw no flame and shuts the gas",
          "tries again to light"),
    State("half_tries", 0.0, "rule", "half tries to light in this call"),
    State("locked", 0.0, "rule", "it has tried often enough",
          "locks: it lights no more until W or the power is taken off", "forgets its lock"),
    State("cool_air", 0.0, "rule", "its relay of the cooling speed is in",
          "starts the blower on the cooling speed", "ends the cooling speed"),
    State("heat_air", 0.0, "rule", "its relay of the heating speed is in",
          "starts the blower on the heating speed", "ends the heating speed"),
)  # fmt: skip


def _rules() -> tuple[Rule, ...]:
    soon = fixed(0.5)
    trying = both(value("gas_on"), negate(value("proved")))
    return (
        StageRule("inducing", "w", _induces, fixed(1.0), value("purge_s")),
        StageRule("glowing", "w", _glows, value("purge_s"), soon),
        StageRule("gas_on", "w", _gives_gas, value("warm_s"), soon),
        NoticeRule("proved", "flame", _sees_flame, fixed(1.0), soon),
        ShutsRule("shut", "w", SEES_VOLT, trying, _locked, value("trial_s"), value("rest_s")),
        LightTriesRule("half_tries", "w", "shut", "proved", SEES_VOLT),
        NoticeRule("locked", "w", _gives_up, soon, soon),
        StageRule("cool_air", "y", _cools, value("cool_on_s"), value("cool_off_s")),
        StageRule("heat_air", "w", _blows_heat, value("heat_on_s"), value("heat_off_s")),
    )


KINDS = (
    PartKind(
        name="furnace_board",
        title="furnace board",
        terminals=(*_LINE, *_STRIP, *_LOW),
        parameters=tuple(_parameters()),
        elements=tuple(_elements()),
        facets=_facets(),
        lacks=LOADS | SWITCHING - {Ignites, Poles} | JOINTS - {Junction} | {Ratings},
        states=_STATES,
        rules=_rules(),
        modes=tuple(_modes()),
        change_minutes=(90.0, 90.0),
    ),
)
