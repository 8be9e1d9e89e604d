"""Facets of finding a fault: where a meter's leads go on a part, and what an eye sees of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from rungwise.parts.caution import Caution
from rungwise.parts.trade import Facet
from rungwise.wording import mark

Pair = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Probes(Facet):
    """What a meter reads on the part, beside what its poles, coil, windings and sections give.

    A pair is two terminals of the part. What follows from another facet is not told again: a coil
    is read in ohms and volts, a pole in its drop, a winding and a section end to end.

    Attributes:
        in_circuit: pairs read in ohms with nothing taken off.
        apart: pairs read in ohms with the part's leads off.
        volts: pairs of the control circuit that are read in volts on a call.
        conducts: whether such a pair is closed on a call, so that its volts are a drop.
        drops: whether the drop over each pole is read at line volts.
        across: contacts whose volts are read at rest and on a call, where they are wired: what
            stands across an open one is what it keeps from its load.
        to_neutral: terminals of a 120 V circuit that are read against its neutral.
        along_y: whether each terminal lies on the way of Y and is read against C outdoors.
        on: on which call its volts, drops and amps are read.
        on_heat: pairs that are read in volts on a call for heat, whatever the others are read on.
        direct: pairs behind a rectifier, read in direct volts on a call.
    """

    in_circuit: tuple[Pair, ...] = ()
    apart: tuple[Pair, ...] = ()
    volts: tuple[Pair, ...] = ()
    conducts: bool = False
    drops: bool = False
    across: tuple[Pair, ...] = ()
    to_neutral: tuple[str, ...] = ()
    along_y: bool = False
    on: Literal["cool", "heat"] = "cool"
    on_heat: tuple[Pair, ...] = ()
    direct: tuple[Pair, ...] = ()


@dataclass(frozen=True, slots=True)
class Look:
    """One mark that an eye, an ear or a nose finds on the part.

    Attributes:
        sign: the sign of the fault modes that show it (see `Mode.signs`).
        thing: what is looked at.
        question: what to look for, as it is asked.
        answers: without the mark, and with it.
        first: whether it is seen on the walk to the unit, before a cover is off.
        warnings: what to mind while looking.
        pulled: a state of the part on a call for cooling whose lack shows the mark, whatever is at
            fault; a coil that gets no volts draws nothing either.
        held: states and fault handles of the part that show the mark on a call for cooling.
        instrument: with what it is looked at, "" for eyes and ears. minutes: what it takes, 0 for
            what the way to the part takes.
    """

    sign: str
    thing: str
    question: str
    answers: tuple[str, str]
    first: bool = False
    warnings: tuple[Caution, ...] = ()
    pulled: str = ""
    held: tuple[str, ...] = ()
    instrument: str = ""
    minutes: float = 0.0

    def __post_init__(self) -> None:
        object.__setattr__(self, "question", mark(self.question))
        object.__setattr__(self, "answers", tuple(map(mark, self.answers)))


@dataclass(frozen=True, slots=True)
class Stands:
    """How a device's own position shows what opened it.

    Attributes:
        handles: hidden parameters and states that a look at it sees as open.
        answers: closed and open; a breaker adds that it is tripped.
        minutes: to get there and look (common practice, no source).
    """

    handles: tuple[str, ...]
    answers: tuple[str, ...]
    minutes: float

    def __post_init__(self) -> None:
        object.__setattr__(self, "answers", tuple(map(mark, self.answers)))


@dataclass(frozen=True, slots=True)
class Looks(Facet):
    """What an eye sees of the part: marks of its faults, and how it stands."""

    marks: tuple[Look, ...] = ()
    stands: Stands | None = None
    light: Literal["", "board"] = ""
