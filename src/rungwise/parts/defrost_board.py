"""Defrost boards of heat pumps, as honest black boxes: what goes in, and what must come out.

One counts minutes of a cold coil by a thermostat on it; one compares two sensors and passes Y on
itself.  Both pass the call on to the contactor and the valve, and in a defrost turn the valve to
cooling, stop the fan and call the heat indoors.  30, 60 or 90 minutes by a jumper, 10 or 14 at the
most: read on suppliers' pages; what is drawn from 24 V is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np

from rungwise.parts.defrost_rule import DefrostRule
from rungwise.parts.element import (
    Branch,
    Element,
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
    MixedUp,
    Pole,
    Poles,
    Terminals,
    families,
)
from rungwise.parts.heat_facets import Defrosts
from rungwise.parts.kind import Draw, Mode, Parameter, PartKind, State, board_input, by_make, handle
from rungwise.parts.pictures import CONTROL_RANK, Piece, Sign, Stand, Symbol
from rungwise.parts.seen import Looks, Probes
from rungwise.parts.trade import CONTROLS, Against, Facet, Label, Rating, Ratings, Wear
from rungwise.parts.ways import Repair
from rungwise.parts.words import FAILED, SOMETHING, Plain, Words, told

SEES_VOLT = 16.0
"""Volts of its 24 V inputs that a board takes for a call (common practice, no source)."""

SENSE_VOLT = 12.0
"""Volts over what feeds the coil's thermostat, once that is closed: half of 24 (no source)."""

REF_OHM = 47_000.0
"""What each sensor is fed through. Boards feed them 5 V of their own; here they hang on 24 V, so
that the drawing knows no source that is none (order of magnitude, no source)."""

COLD_VOLT = (4.0, 18.5)
"""Over what feeds the coil's sensor while that is cold, some 23 to 200 kΩ: broken, shorted or warm
it is outside (worked out for 24 to 28 V)."""

_READ = frozenset({"volts", "drop"})
_REPLACE = Repair(
    "replace",
    "prove R, C and the call at its terminals, join the test pins with the coil cold, and read "
    "valve, fan and W2; replace the board, and copy its jumpers",
    180.0,
    _READ,
)


@dataclass(frozen=True, slots=True)
class _Board:
    """A sort of board. valve: its terminal that the thermostat energizes for the valve."""

    name: str
    title: str
    valve: Literal["O", "B"]
    by: Literal["time", "demand"]

    @property
    def inputs(self) -> tuple[str, ...]:
        """Terminals of what tells it of the coil."""
        return ("DFT1", "DFT2") if self.by == "time" else ("COIL1", "COIL2", "AIR1", "AIR2")

    @property
    def terminals(self) -> tuple[str, ...]:
        """All of them."""
        return ("R", "C", "Y", self.valve, "W2", "RV", "CC", "OF1", "OF2", *self.inputs)


_RUNS = value("defrosting")


_FAN = either(value("fan_welded"), both(negate(_RUNS), negate(value("fan_open"))))
"""1 where its fan contact is closed: at rest, and where it is welded."""


def _elements(sort: _Board) -> Iterator[Element]:
    ohm = value("contact_ohm")
    yield Branch("supply", "R", "C", value("supply_ohm"))
    yield Branch("call", "Y", "C", value("input_ohm"))
    yield from contact("compressor", "Y", "CC", ohm=ohm, closed=negate(value("cc_open")))
    normally = negate(_RUNS)
    yield from contact("valve", sort.valve, "RV", ohm=ohm,
                       closed=both(normally, negate(value("valve_open"))))  # fmt: skip
    if sort.valve == "O":
        yield from contact("valve_defrost", "R", "RV", ohm=ohm, closed=_RUNS)
    calls_heat = either(value("w2_welded"), both(_RUNS, negate(value("no_w2"))))
    yield from contact("heat", "R", "W2", ohm=ohm, closed=calls_heat)
    yield from contact("fan", "OF1", "OF2", ohm=value("fan_contact_ohm"), closed=_FAN)
    if sort.by == "time":
        yield Branch("sense", "R", "DFT1", value("sense_ohm"))
        yield Branch("sense_return", "DFT2", "C", value("contact_ohm"))
        return
    for name in ("COIL", "AIR"):
        yield Branch(f"{name.lower()}_feed", "R", f"{name}1", fixed(REF_OHM))
        yield Branch(f"{name.lower()}_return", f"{name}2", "C", value("contact_ohm"))


def _parameters(sort: _Board) -> Iterator[Parameter]:
    yield by_make("supply_ohm", 190.0, 50.0, 1e5, "what its electronics draw")
    yield board_input("what its Y input draws")
    yield by_make("contact_ohm", 0.05, 1e-3, 1.0, "closed contact")
    yield by_make("fan_contact_ohm", 0.01, 1e-4, 0.5, "closed fan contact")
    if sort.by == "time":
        yield by_make("sense_ohm", 3000.0, 200.0, 1e5, "what feeds the coil's thermostat")
    yield Parameter("interval_s", "s", 5400.0, 1200.0, 7200.0,
                    "time with a cold coil from defrost to defrost, by its jumper")  # fmt: skip
    yield Parameter("ends_s", "s", 360.0, 60.0, 900.0,
                    "time in which a usual coil comes clear; 10 or 14 minutes at most")  # fmt: skip
    for name, what in _HANDLES.items():
        yield handle(name, what)


_HANDLES = {
    "dead": "never defrosts",
    "cc_open": "does not pass Y on to the contactor",
    "valve_open": "does not pass the call on to the valve",
    "no_w2": "does not call for heat indoors while it defrosts",
    "w2_welded": "calls for heat indoors all the time",
    "fan_open": "fan contact does not carry",
    "fan_welded": "fan contact does not open",
}

_TITLES: dict[str, tuple[str, float]] = {
    "dead": ("{noun} never defrosts", 30.0),
    "cc_open": ("{noun} does not pass Y on to the contactor", 5.0),
    "valve_open": ("{noun} does not pass the call on to the reversing valve", 4.0),
    "no_w2": ("{noun} gives no W2 in a defrost", 8.0),
    "w2_welded": ("{noun} gives W2 all the time", 4.0),
    "fan_open": ("fan contact of the {noun} does not carry", 10.0),
    "fan_welded": ("fan contact of the {noun} does not open in a defrost", 4.0),
}


def _modes() -> Iterator[Mode]:
    for name, (title, weight) in _TITLES.items():
        yield _REPLACE.mode(name, title, weight, shown_by=_READ | {"look:defrost"},
                            overheats=0.3 if name == "fan_open" else 0.0)  # fmt: skip
    yield _REPLACE.another("contact", 0.6, Draw("fan_contact_ohm", 0.3, 1000.0))
    yield _REPLACE.another("supply", 0.4, Draw("supply_ohm", 0.05, 0.3, "scale"))


_PLAIN = {
    "dead": Plain("The board that melts the ice outdoors had failed, so that ice built up."),
    "w2_welded": Plain("The {noun} called for the extra heat all the time."),
    **told(FAILED, ("cc_open", "valve_open", "no_w2", "fan_open", "fan_welded")),
    **told(SOMETHING, ("another_contact", "another_supply")),
}
_BOX: Sign = "box"


def _needs(sort: _Board) -> tuple[tuple[str, float, float], ...]:
    last = ("sense", SENSE_VOLT, np.inf) if sort.by == "time" else ("coil_feed", *COLD_VOLT)
    return (("supply", SEES_VOLT, np.inf), ("call", SEES_VOLT, np.inf), last)


def _facets(sort: _Board) -> tuple[Facet, ...]:
    low = ("R", "C", "Y", sort.valve, "W2", "CC", "RV", *sort.inputs)
    return (
        families("electronics", "board", "defrost board"),
        Stand(top=low[:5], left=("OF1", "OF2"), right=low[5:], rank=CONTROL_RANK, mark="clock"),
        Symbol(
            (
                Piece("board", low, (_BOX,) * (len(low) - 1)),
                Piece("fan", ("OF1", "OF2"), ("contact_nc",), ("fan",), through=True, aside="fan"),
            )
        ),
        Words("defrost board", "The defrost board melts the ice off the outdoor unit.", _PLAIN),
        Probes(
            volts=(
                ("R", "C"), ("Y", "C"), ("CC", "C"), ("RV", "C"), (sort.valve, "C"), ("W2", "C"),
                *((("DFT1", "DFT2"),) if sort.by == "time" else ()),
            ),
            drops=True,
        ),
        Looks(),
        Poles((Pole("OF1", "OF2", "fan", "fan_open", stuck_handle="fan_welded"),),
              moved_by="itself", at_rest="closed"),
        Defrosts("due", "defrosting"),
        Label(),
        Ratings((Rating("interval_s", Against.TIME),)),
        Wear(CONTROLS, one_of="defrost board", usual=False),
    )  # fmt: skip


def _kind(sort: _Board) -> PartKind:
    return PartKind(
        name=sort.name,
        title=sort.title,
        noun="defrost board",
        terminals=sort.terminals,
        parameters=tuple(_parameters(sort)),
        elements=tuple(_elements(sort)),
        facets=_facets(sort),
        lacks=LOADS | SWITCHING - {Defrosts, Poles} | JOINTS | {MixedUp, Terminals},
        states=(
            State("due", 0.0, "demand", "a defrost is due"),
            State("defrosting", 0.0, "rule", "it defrosts", "begins a defrost", "ends the defrost"),
        ),
        rules=(
            DefrostRule(
                "defrosting", "supply", "due", _needs(sort), negate(value("dead")),
                value("interval_s"), value("ends_s"),
            ),
        ),
        modes=tuple(_modes()),
    )  # fmt: skip


KINDS = (
    _kind(_Board("defrost_board_o", "defrost board", "O", "time")),
    _kind(_Board("defrost_board_b", "defrost board", "B", "time")),
    _kind(_Board("demand_defrost_board", "demand defrost board", "O", "demand")),
)
