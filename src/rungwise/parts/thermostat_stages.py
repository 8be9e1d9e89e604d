"""Thermostats with stages and heating: for a furnace or heat strips, and for heat pumps.

Which terminal a demand energizes is common practice, no source; that the one for a valve energized
in cooling keeps O closed between two calls is seen on trade pages.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from rungwise.parts.element import (
    Branch,
    Element,
    Expr,
    FloatArray,
    Lookup,
    both,
    contact,
    either,
    negate,
    value,
)
from rungwise.parts.facets import (
    JOINTS,
    LOADS,
    SWITCHING,
    Control,
    Demand,
    MixedUp,
    Pole,
    Poles,
    Terminals,
    families,
)
from rungwise.parts.kind import Draw, Mode, Parameter, PartKind, State, closed_contact, handle
from rungwise.parts.pictures import Piece, Sign, Stand, Symbol
from rungwise.parts.seen import Looks, Probes
from rungwise.parts.trade import CONTROLS, Against, Label, LabelFigure, Rating, Ratings, Wear
from rungwise.parts.ways import Repair
from rungwise.parts.words import SOMETHING, Plain, Words, told

_READ = frozenset({"volts", "drop"})
_MINUTES = 120.0
_REPLACE = Repair(
    "replace",
    "check its setting, batteries and wiring first, and join R to the dead terminal at its "
    "base for a moment: what answers clears the wire; then replace the {noun}",
    _MINUTES,
    _READ,
)
_SETUP = "go through its setup: system type, stages, and which way the valve is energized"
_SET = Repair(
    "set",
    "set mode, temperature and schedule, wait out its delay, replace its batteries",
    10.0,
    frozenset({"look:thermostat", "look:screen"}),
)


@dataclass(frozen=True, slots=True)
class _Asks:
    """A sort of thermostat: its terminals, and what each demand energizes.

    valve: the terminal of a reversing valve; "" where it has none.
    """

    name: str
    title: str
    purpose: str
    terminals: tuple[str, ...]
    demands: Mapping[str, tuple[str, str]]
    valve: str = ""

    @property
    def outputs(self) -> tuple[str, ...]:
        return tuple(each for each in self.terminals if each not in ("R", "C"))

    @property
    def stages(self) -> tuple[str, ...]:
        """The terminals that one that is set to nothing, or asks for nothing, leaves dead.

        What helps a heat pump out stays: emergency heat is asked for all the same.
        """
        heat = () if self.valve else ("W", "W2")
        return tuple(each for each in self.outputs if each in ("Y", "Y2", *heat))

    @property
    def aux(self) -> str:
        """The terminal of its first stage of electric or other heat."""
        return "W" if "W" in self.terminals else "W2"


def _low(terminal: str) -> str:
    return terminal.lower()


def _calls(terminal: str) -> str:
    return f"calls_{_low(terminal)}"


def _closed(sort: _Asks, terminal: str) -> Expr:
    asked = value(_calls(terminal))
    if terminal == sort.valve:
        asked = _unlike(asked, value("valve_wrong"))
    heard = both(asked, negate(value(f"{_low(terminal)}_held_open")))
    stuck = {"Y": "y_stuck", sort.aux: "aux_stuck"}.get(terminal)
    return heard if stuck is None else either(heard, value(stuck))


def _unlike(one: Expr, other: Expr) -> Expr:
    """1 where one of them is 1 and the other is not."""

    def differs(p: Lookup) -> FloatArray:
        return abs(one(p) - other(p))

    return differs


def _elements(sort: _Asks) -> Iterator[Element]:
    yield Branch("electronics", "R", "C", value("electronics_ohm"))
    for terminal in sort.outputs:
        ohm: Expr = value("contact_ohm")
        if terminal == "Y":
            ohm = lambda p: p["contact_ohm"] + p["y_ohm"]  # noqa: E731
        yield from contact(_low(terminal), "R", terminal, ohm=ohm, closed=_closed(sort, terminal))


def _parameters(sort: _Asks) -> Iterator[Parameter]:
    yield closed_contact(0.05, 1e-3, 1.0, 0.3, untold=0.9)  # fmt: skip
    yield Parameter("electronics_ohm", "Ω", 290.0, 50.0, 1e5, "what its electronics draw",
                    tolerance=0.3, untold=0.8, learned=False)  # fmt: skip
    yield Parameter("y_ohm", "Ω", 0.0, 0.0, 1e6, "bad contact from R to Y", hidden=True)
    for terminal in sort.outputs:
        yield handle(f"{_low(terminal)}_held_open", f"never closes R to {terminal}")
    yield handle("y_stuck", "always calls for the compressor")
    if {"W", "W2"} & set(sort.outputs):
        yield handle("aux_stuck", f"always closes R to {sort.aux}")
    if sort.valve:
        yield handle("valve_wrong", "set for the other sort of reversing valve")


def _modes(sort: _Asks) -> Iterator[Mode]:
    silent = tuple(Draw(f"{_low(each)}_held_open", 1, 1) for each in sort.stages)
    yield _REPLACE.mode("not_calling", "{noun} does not call though it is set to", 20.0,
                        *silent, signs={"blank": 0.3})  # fmt: skip
    yield _SET.mode("setting", "{noun} not set to call, or its batteries are dead", 30.0, *silent,
                    behind="a hand, a schedule, a power cut or old batteries",
                    signs={"thermostat": 0.92})  # fmt: skip
    yield _REPLACE.mode("keeps_calling", "{noun} calls for the compressor all the time", 4.0,
                        Draw("y_stuck", 1, 1))  # fmt: skip
    if "Y2" in sort.outputs:
        setup = Repair("set", _SETUP, _MINUTES, _READ)
        yield setup.mode("no_stage2", "{noun} never calls for the second stage", 8.0,
                         Draw("y2_held_open", 1, 1))  # fmt: skip
    if {"W", "W2"} & set(sort.outputs):
        yield _REPLACE.mode("no_aux", f"{{noun}} never closes R to {sort.aux}", 5.0,
                            Draw(f"{_low(sort.aux)}_held_open", 1, 1))  # fmt: skip
        yield _REPLACE.mode("aux_stuck", f"{{noun}} closes R to {sort.aux} all the time", 3.0)
    if sort.valve:
        setup = Repair("set", _SETUP, 10.0, _READ)
        yield setup.mode("valve_wrong", "{noun} set for the other sort of reversing valve", 15.0,
                         behind="a new thermostat, or its reset")  # fmt: skip
        yield _REPLACE.mode("no_valve", f"{{noun}} never closes R to {sort.valve}", 3.0,
                            Draw(f"{_low(sort.valve)}_held_open", 1, 1))  # fmt: skip
    yield _REPLACE.another("y", 0.8, Draw("y_ohm", 2.0, 2e4))
    yield _REPLACE.another("g", 0.6, Draw("g_held_open", 1, 1))


_PLAIN = {
    "not_calling": Plain("The thermostat did not ask the unit to run."),
    "setting": Plain(
        "The thermostat was not set to call, or its batteries were empty.",
        "set it, or replace its batteries",
    ),
    "keeps_calling": Plain("The thermostat asked the unit to run all the time."),
    "no_stage2": Plain(
        "The thermostat never asked for the second stage.", "set it, or replace the thermostat"
    ),
    "no_aux": Plain("The thermostat did not ask for the extra heat."),
    "aux_stuck": Plain("The thermostat asked for the extra heat all the time."),
    "valve_wrong": Plain(
        "The thermostat was set for another sort of heat pump.", "set it for this heat pump"
    ),
    "no_valve": Plain("The thermostat did not tell the unit whether to heat or to cool."),
    **told(SOMETHING, ("another_y", "another_g")),
}


_BOX: Sign = "box"


def _symbol(sort: _Asks) -> Symbol:
    """A box with its terminals: whatever closes inside, all of them are fed from the one R."""
    ends = ("R", *sort.outputs, "C")
    return Symbol((Piece("contacts", ends, (_BOX,) * (len(ends) - 1)),))


def _kind(sort: _Asks) -> PartKind:
    modes = tuple(_modes(sort))
    ends = sort.outputs
    return PartKind(
        name=sort.name,
        title=sort.title,
        noun="thermostat",
        terminals=sort.terminals,
        parameters=tuple(_parameters(sort)),
        elements=tuple(_elements(sort)),
        facets=(
            families("thermostat"),
            Stand(bottom=sort.terminals, mark="bulb"),
            _symbol(sort),
            Words(
                noun="thermostat",
                purpose=sort.purpose,
                modes={mode.name: _PLAIN[mode.name] for mode in modes},
            ),
            Probes(
                volts=(("R", "Y"), ("R", "Y2")),
                conducts=True,
                on_heat=tuple(("R", each) for each in ends if each in ("W", "W2")),
            ),
            Looks(),
            Poles(
                tuple(
                    Pole(
                        "R", end, _low(end), f"{_low(end)}_held_open",
                        stuck_handle={"Y": "y_stuck"}.get(end, ""),
                    )
                    for end in ends
                ),
                moved_by="itself",
                at_rest="open",
            ),
            Control(
                "R",
                {
                    name: Demand(tuple(energizes.split()), words, _NEEDS.get(name, ()))
                    for name, (energizes, words) in sort.demands.items()
                },
                {end: _calls(end) for end in ends},
            ),
            Label(
                ("volt",),
                (
                    LabelFigure("volt", "V", 12, 250, "volts that it is made for"),
                    LabelFigure("rating_a", "A", 0.1, 20, "ampere rating of its contacts"),
                ),
                {"needs_common": ("yes", "no")},
            ),
            Ratings((Rating("volt", Against.VOLTS), Rating("rating_a", Against.CURRENT))),
            Wear(CONTROLS, one_of="thermostat", usual=False),
        ),
        lacks=LOADS | SWITCHING - {Control, Poles} | JOINTS | {MixedUp, Terminals},
        states=tuple(
            State(_calls(end), 0.0, "demand", f"set to close R to {end}") for end in ends
        ),
        modes=modes,
    )  # fmt: skip


_NEEDS = {
    "cool1": ("Y2",),
    "heat+aux": ("W2",),
    "heat2+aux": ("W2",),
    "emergency heat": ("W2", "E"),
}
"""Without these wires there is no such call, whatever else the thermostat energizes then."""

_COOL = "is set to call for cooling"
_COOL_1 = "is set to call for the first stage of cooling only"
_FAN = "is set to run the fan only"
_OFF = "no longer calls"
_HEAT = "is set to call for heat"
_HEAT_2 = "is set to call for the second stage of heat"
_AUX = "is set to call for heat, and for auxiliary heat with it"
_EMERGENCY = "is set to emergency heat"


def _heat_pump(cooling: str, heating: str) -> dict[str, tuple[str, str]]:
    """What a heat pump's thermostat energizes; cooling, heating: what it adds for its valve."""
    return {
        "off": (cooling, _OFF),
        "fan": (f"G {cooling}", _FAN),
        "cool": (f"Y Y2 G {cooling}", _COOL),
        "cool1": (f"Y G {cooling}", _COOL_1),
        "heat": (f"Y G {heating}", _HEAT),
        "heat2": (f"Y Y2 G {heating}", _HEAT_2),
        "heat+aux": (f"Y G W2 {heating}", _AUX),
        "heat2+aux": (f"Y Y2 G W2 {heating}", _AUX),
        "emergency heat": (f"G W2 E {heating}", _EMERGENCY),
    }


KINDS = (
    _kind(
        _Asks(
            "thermostat_stages",
            "heating and cooling thermostat",
            "The thermostat asks for cooling and for heat.",
            ("R", "C", "Y", "Y2", "G", "W", "W2"),
            {
                "off": ("", _OFF),
                "fan": ("G", _FAN),
                "cool": ("Y Y2 G", _COOL),
                "cool1": ("Y G", _COOL_1),
                "heat": ("W", _HEAT),
                "heat2": ("W W2", _HEAT_2),
            },
        )
    ),
    _kind(
        _Asks(
            "thermostat_heat_pump_o",
            "heat-pump thermostat, valve energized in cooling",
            "The thermostat asks for cooling and for heat.",
            ("R", "C", "Y", "Y2", "G", "O", "W2", "E"),
            _heat_pump("O", ""),
            valve="O",
        )
    ),
    _kind(
        _Asks(
            "thermostat_heat_pump_b",
            "heat-pump thermostat, valve energized in heating",
            "The thermostat asks for cooling and for heat.",
            ("R", "C", "Y", "Y2", "G", "B", "W2", "E"),
            _heat_pump("", "B"),
            valve="B",
        )
    ),
)
