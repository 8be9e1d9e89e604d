"""Fan motors with electronics of their own: line volts always on, and 24 V signals to turn.

What is inside (a rectifier, a module, a rotor with magnets) is not modelled as a circuit: it is
known by what goes in and what must come of it. The numbers are usual ones of half a horsepower
(common practice, no source); a power factor of 0.5 to 0.6 is seen on makers' sheets. The amps of
the rectifier come in peaks, and stand here as a sine of the same RMS amps and watts.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import pi, sqrt

import numpy as np

from rungwise.parts.any_signal import AnySignalRule, SignalRule
from rungwise.parts.element import (
    Branch,
    Element,
    Expr,
    FloatArray,
    Lookup,
    both,
    insulation,
    negate,
    value,
)
from rungwise.parts.facets import (
    JOINTS,
    LOADS,
    SWITCHING,
    ElectronicMotor,
    MixedUp,
    Terminals,
    families,
)
from rungwise.parts.kind import Draw, Mode, Parameter, PartKind, State, handle
from rungwise.parts.motor_modes import OVERHEATS
from rungwise.parts.pictures import LOAD_RANK, Piece, Stand, Symbol
from rungwise.parts.rule import DelayRule, Rule
from rungwise.parts.seen import Looks, Probes
from rungwise.parts.trade import FAN_MOTORS, Label, Ratings, Wear
from rungwise.parts.ways import Repair
from rungwise.parts.words import FAILED, SOMETHING, Plain, Words, told

_MODULE = ("module", "with line volts and signal proved at its plug, replace its module or motor")
_MODULE_ALONE = (
    "module",
    (
        "with line volts and signal proved at its plugs and three equal pins on the motor, "
        "replace the module alone, of the maker's own program"
    ),
)
_IN = frozenset({"volts", "amps"})
_TURNED = frozenset({"look:turns", "amps"})
_MINUTES = 300.0
_MOTOR = Repair(
    "replace",
    "replace the motor with its module, same type and turning the same way",
    _MINUTES,
    frozenset({"ohms"}),
)

IDLE_OHM_AT_120 = 4000.0
"""What its electronics draw at rest, on 120 V (common practice, no source)."""

NOUN = "fan motor"

POWER_FACTOR = 0.55
"""Of the rectifier, 0.5 to 0.6 on makers' sheets (from memory)."""

MAINS_HZ = 60.0
"""At which the power factor holds; half a percent of it is lost at 50 Hz."""

PINS = ("p1", "p2", "p3")
PAIRS = (("p1", "p2"), ("p2", "p3"), ("p1", "p3"))
"""The three pins of a motor whose module comes off, and each with each."""


@dataclass(frozen=True, slots=True)
class _Tap:
    """A signal that makes it turn: its terminal and element.

    share: of its whole air. state: says that it is there; "" of the only one, which `told` is for.
    """

    terminal: str
    element: str
    state: str = ""
    share: float = 1.0


@dataclass(frozen=True, slots=True)
class _Sort:
    """A sort of motor with electronics.

    feed: the terminal of 24 V that its module needs all the time; "" for none. pins: whether
    the module comes off, and leaves the three pins of the motor to be read.
    """

    name: str
    title: str
    volt: float
    common: str
    taps: tuple[_Tap, ...]
    start_s: float = 3.0
    feed: str = ""
    pins: bool = False
    weights: tuple[float, float, float, float] = (20.0, 8.0, 8.0, 4.0)
    """Of its module, bearing, signal and rectifier."""
    signals: str = "signal"

    @property
    def pair(self) -> tuple[tuple[str, str], ...]:
        """Where it is told to turn, what asks for most air first."""
        return tuple((tap.terminal, self.common) for tap in self.taps)

    @property
    def terminals(self) -> tuple[str, ...]:
        """All of them, line first."""
        ends = tuple(tap.terminal for tap in self.taps)
        if not self.feed and len(ends) == 1:
            return ("L", "N", *ends, self.common)
        return ("L", "N", *filter(None, (self.feed,)), self.common, *ends,
                *(PINS if self.pins else ()))  # fmt: skip

    @property
    def turns(self) -> Expr:
        """1 where it turns."""
        whole = [negate(value("module_dead")), negate(value("seized"))]
        if self.pins:
            whole += [negate(value("winding_open")), negate(value("winding_earthed"))]
        fed = (value("fed"),) if self.feed else ()
        return both(value("awake"), *fed, value("told"), *whole)


def _drawn_watt(sort: _Sort, p: Lookup) -> FloatArray:
    """What it takes of its plate's watts: of the signals that are there the one for most air wins.

    The watts of a fan go with a power of its air: its third by the fan laws, less by what the
    electronics lose (common practice, no source).
    """
    most = np.asarray(0.0)
    for tap in (each for each in sort.taps if each.state):
        most = np.maximum(most, p[tap.state] * tap.share)
    air = np.where(most > 0.0, most, 1.0)
    return np.asarray(p["watt"] * p["plate_share"] * air ** p["air_power"])


def _drive(sort: _Sort) -> Branch:
    """What it draws while it turns: its watts, at its power factor."""
    factor = POWER_FACTOR

    def seen_ohm(p: Lookup) -> FloatArray:
        return p["rated_volt"] ** 2 / _drawn_watt(sort, p)

    lagging = factor * sqrt(1.0 - factor**2) / (2.0 * pi * MAINS_HZ)
    return Branch("drive", "L", "N", lambda p: factor**2 * seen_ohm(p),
                  henry=lambda p: lagging * seen_ohm(p), closed=sort.turns)  # fmt: skip


def _elements(sort: _Sort) -> Iterator[Element]:
    # The same watts at rest, whichever volts the motor is made for.
    yield Branch("standby", "L", "N",
                 lambda p: p["idle_ohm"] * (p["rated_volt"] / sort.volt) ** 2)  # fmt: skip
    yield _drive(sort)
    yield Branch("short", "L", "N", lambda p: 0.05 + 0.0 * p["watt"], closed=value("line_shorted"))
    if sort.feed:
        yield Branch("feed", sort.feed, sort.common, value("feed_ohm"))
    for tap in sort.taps:
        yield Branch(tap.element, tap.terminal, sort.common, value("signal_ohm"),
                     closed=negate(value("signal_open")))  # fmt: skip
    yield insulation("insulation", "L", value("insulation_ohm"))
    if sort.pins:
        for pin in PINS:
            whole = negate(value("winding_open")) if pin == PINS[0] else None
            yield Branch(f"winding_{pin}", pin, "star", value("winding_ohm"), closed=whole)
        yield insulation("winding_insulation", "star", _to_shell)


def _to_shell(p: Lookup) -> FloatArray:
    return np.where(p["winding_earthed"] > 0, p["earthed_ohm"], p["shell_ohm"])


def _parameters(sort: _Sort) -> Iterator[Parameter]:
    yield Parameter("rated_volt", "V", sort.volt, 100, 300, "rated volts")
    yield Parameter("watt", "W", 350.0, 20, 1500, "power of its plate", 0.05, untold=0.4)
    yield Parameter("plate_share", "", 0.75, 0.2, 1.3,
                    "watts at its most air over those on the plate, which are a ceiling", 0.5,
                    hidden=True, spread_source="ducts, filter and set air (rule of thumb)",
                    )  # fmt: skip
    yield Parameter("air_power", "", 2.2, 1.0, 3.5, "power of its air with which its watts go", 0.5,
                    learned=False, hidden=True)  # fmt: skip
    yield Parameter("air_share", "", 1.0, 0.0, 2.0, "share of its air", hidden=True)
    yield Parameter("start_s", "s", sort.start_s, 0.0, 60.0, "time from signal to turning", 0.3,
                    learned=False)  # fmt: skip
    yield Parameter("signal_ohm", "Ω", 6000.0, 500, 1e6, "what its signal input draws", 0.3,
                    untold=1.6, learned=False)  # fmt: skip
    idle_ohm = IDLE_OHM_AT_120 * (sort.volt / 120.0) ** 2
    yield Parameter("idle_ohm", "Ω", idle_ohm, 500, 1e6, "what its electronics draw at rest", 0.3,
                    untold=1.4, learned=False)  # fmt: skip
    yield Parameter("insulation_ohm", "Ω", 1e8, 1e3, 1e12, "insulation to its frame", 2.7,
                    learned=False,
                    spread_source="2 MΩ to beyond any meter is good (rule of thumb)")  # fmt: skip
    yield handle("module_dead", "module gives nothing to the motor")
    yield handle("seized", "rotor stuck; the module gives up")
    yield handle("signal_open", "harness of the signal open")
    yield handle("line_shorted", "rectifier shorted")
    if sort.feed:
        yield Parameter("feed_ohm", "Ω", 600.0, 100, 1e5, "what its module draws of the 24 V",
                        0.3, untold=1.3, learned=False)  # fmt: skip
    if sort.pins:
        yield Parameter("winding_ohm", "Ω", 2.0, 0.2, 60, "from a pin to the star inside", 0.1,
                        untold=0.9, learned=False)  # fmt: skip
        yield Parameter("shell_ohm", "Ω", 2e7, 1e5, 1e12, "a pin to its shell, over 100 kΩ", 1.5,
                        learned=False, hidden=True)  # fmt: skip
        yield Parameter("earthed_ohm", "Ω", 100.0, 0.1, 1e5, "a pin to its shell where it touches",
                        hidden=True)  # fmt: skip
        yield handle("winding_open", "a winding of the motor open")
        yield handle("winding_earthed", "a winding of the motor touches its shell")


def _modes(sort: _Sort) -> Iterator[Mode]:
    module, bearing, signal, rectifier = sort.weights
    yield Mode("module_dead", "module of the {noun} gives nothing", module,
               (Draw("module_dead", 1, 1),), *(_MODULE_ALONE if sort.pins else _MODULE),
               behind="a surge, water, or heat", shown_by=_TURNED,
               wrong_minutes=_MINUTES, overheats=OVERHEATS)  # fmt: skip
    yield _MOTOR.mode("seized", "{noun} stuck", bearing, signs={"stiff": 0.8},
                      shown_by=frozenset({"look:by_hand"}), overheats=OVERHEATS)  # fmt: skip
    yield Mode("signal_open", "signal harness of the {noun} open", signal,
               (Draw("signal_open", 1, 1),), "harness",
               "seat its signal plug; read 24 V at the plug itself; repair the pin or harness",
               shown_by=_IN, wrong_minutes=30.0, overheats=OVERHEATS)  # fmt: skip
    yield _MOTOR.mode("line_shorted", "rectifier of the {noun} shorted", rectifier,
                      opens_ahead=(0.6, "L"))  # fmt: skip
    if sort.pins:
        yield _MOTOR.mode("winding_open", "winding of the {noun} open", 5.0)
        yield _MOTOR.mode("winding_earthed", "winding of the {noun} touches its shell", 4.0,
                          Draw("winding_earthed", 1, 1), Draw("earthed_ohm", 1.0, 3e4))  # fmt: skip
    yield _MOTOR.another("watt", 0.5, Draw("watt", 0.2, 0.6, "scale"), shown_by=_IN)
    yield _MOTOR.another("air", 0.5, Draw("air_share", 0.1, 0.6), shown_by=_TURNED)


def _pieces(sort: _Sort) -> Iterator[Piece]:
    yield Piece("drive", ("L", "N"), ("box",), ("drive",))
    if sort.feed:
        yield Piece("feed", (sort.feed, sort.common), ("box",), ("feed",), aside="24 V")
    for tap in sort.taps:
        aside = "signal" if len(sort.taps) == 1 else f"signal {tap.terminal}"
        yield Piece(tap.element, (tap.terminal, sort.common), ("box",), (tap.element,),
                    aside=aside)  # fmt: skip
    for one, other in PAIRS[:2] if sort.pins else ():
        yield Piece(f"winding {one} {other}", (one, other), ("winding",), aside="motor's own plug")


def _words(modes: tuple[Mode, ...]) -> Words:
    plain = {
        "module_dead": Plain("The electronics of the {noun} had failed."),
        "seized": Plain("The {noun} was stuck."),
        "signal_open": Plain(
            "The wire that tells the {noun} to run was broken.", "repair that wire"
        ),
        **told(FAILED, ("line_shorted", "winding_open", "winding_earthed")),
        **told(SOMETHING, ("another_watt", "another_air")),
    }  # fmt: skip
    return Words(
        NOUN,
        "This motor has electronics of its own and moves the air through the house.",
        {mode.name: plain[mode.name] for mode in modes},
    )


def _rules(sort: _Sort) -> Iterator[Rule]:
    yield DelayRule("awake", "standby", lambda p: 0.7 * p["rated_volt"],
                    lambda p: 1.0 + 0.0 * p["watt"])  # fmt: skip
    if sort.feed:
        yield DelayRule("fed", "feed", lambda p: 15.0 + 0.0 * p["watt"],
                        lambda p: 1.0 + 0.0 * p["watt"])  # fmt: skip
    first, *others = (tap.element for tap in sort.taps)
    yield AnySignalRule("told", first, lambda p: 15.0 + 0.0 * p["watt"], value("start_s"),
                        tuple(others))  # fmt: skip
    for tap in (each for each in sort.taps if each.state):
        yield SignalRule(tap.state, tap.element, lambda p: 15.0 + 0.0 * p["watt"])


def _states(sort: _Sort) -> Iterator[State]:
    yield State("awake", 0.0, "rule", "its electronics have line volts", "wakes", "goes dark")
    if sort.feed:
        yield State("fed", 0.0, "rule", "its module has 24 V", "has its 24 V", "loses its 24 V")
    yield State("told", 0.0, "rule", "its signal tells it to turn", "ramps up", "runs down")
    for tap in (each for each in sort.taps if each.state):
        yield State(tap.state, 0.0, "rule", f"{tap.terminal} asks for its air")


def _motor(sort: _Sort) -> PartKind:
    modes = tuple(_modes(sort))
    ends = sort.terminals
    return PartKind(
        name=sort.name,
        title=sort.title,
        noun=NOUN,
        terminals=ends,
        parameters=tuple(_parameters(sort)),
        elements=tuple(_elements(sort)),
        facets=(
            families("motor", "fan motor", "electronics"),
            Stand(top=("L", "N"), right=tuple(e for e in ends[2:] if e not in PINS),
                  left=PINS if sort.pins else (), rank=LOAD_RANK, mark="fan"),
            Symbol(tuple(_pieces(sort))),
            _words(modes),
            Probes(apart=PAIRS if sort.pins else ()),
            Looks(),
            ElectronicMotor(
                line=("L", "N"), signals=sort.pair, turns=sort.turns, element="drive",
                watt="watt", rated_volt="rated_volt", held_volt=1.42, empties_s=300.0,
            ),
            Terminals(dict.fromkeys(ends, ("tab",)), reach_minutes=3.0),
            Label(),
            Wear(FAN_MOTORS, one_of="fan motor", usual=False),
        ),
        lacks=LOADS - {ElectronicMotor} | SWITCHING | JOINTS | {MixedUp, Ratings},
        states=tuple(_states(sort)),
        rules=tuple(_rules(sort)),
        modes=modes,
        inner_nodes=("star",) if sort.pins else (),
    )  # fmt: skip


KINDS = tuple(
    _motor(sort)
    for sort in (
        _Sort(
            "electronic_fan_motor", "fan motor with electronics", 120.0, "common",
            (_Tap("signal", "signal"),),
        ),
        _Sort(
            "electronic_tap_motor", "fan motor with electronics and taps", 240.0, "C",
            (
                _Tap("4", "tap4", "tap4_told"),
                _Tap("3", "tap3", "tap3_told", 0.87),
                _Tap("1", "tap1", "tap1_told", 0.6),
            ),
            start_s=8.0, weights=(30.0, 10.0, 15.0, 10.0),
        ),
        _Sort(
            "airflow_fan_motor", "fan motor with an airflow module", 240.0, "C",
            (
                _Tap("Y", "cool", "cool_told"),
                _Tap("W", "heat", "heat_told", 0.9),
                _Tap("G", "fan", "fan_told", 0.5),
            ),
            start_s=12.0, feed="R", pins=True,
            weights=(35.0, 12.0, 12.0, 10.0),
        ),
    )
)  # fmt: skip
