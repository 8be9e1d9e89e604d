"""The typed shape of a plan of work: steps, readings, devices, what stays live, refusals.

Everything that code asks of a plan stands here as values; the sentences beside them are for people
and are never read back.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from rungwise.isolation.stored_energy import StoredCharge
from rungwise.parts import Caution

Scope = Literal["cabinet", "disconnect", "indoor", "everything"]
"""Where the hands go: the outdoor cabinet on the load side of its disconnect; the disconnect or
its line side as well; the indoor unit; all of it."""

StepKind = Literal[
    "stop",  # end the demand and see the motors stop
    "protect",  # what to wear, what to look for, when to turn back
    "open",  # one device opened, its break looked at
    "lock",  # the same device locked and tagged
    "try",  # call for everything; nothing may move
    "prove meter",  # every reading must show a live source as live
    "measure",  # AC readings that must be dead
    "charge",  # DC readings before the discharge, written down as they are
    "discharge",  # every capacitor through a resistor
    "empty",  # DC readings that must be near zero
    "result",  # the time from which the readings count, and until when
]

Expects = Literal["live", "dead", "any"]
Current = Literal["AC", "DC"]

KNOWN_SOURCE = "@known source"
"""Stands for the two ends of a live outlet or a proving unit, where no line side is live."""


@dataclass(frozen=True, slots=True)
class Failed:
    """A way in which an isolating device fails: all poles stay closed, or one (counted from 1)."""

    device: str
    poles: tuple[int, ...]
    whole: bool


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading: where the two leads go and what the meter must show.

    `red` and `black` are terminals (`part.terminal`), EARTH or KNOWN_SOURCE.  A live one is
    at least `at_least_v` and usually `about_v`; a dead one is below `below_v`; of `any`
    the figure is written down.  `shows`: what has failed when a dead one reads live.
    """

    red: str
    black: str
    current: Current
    expects: Expects
    about_v: float = 0.0
    at_least_v: float = 0.0
    below_v: float = 0.0
    shows: tuple[Failed, ...] = ()


@dataclass(frozen=True, slots=True)
class Opened:
    """A device that the plan opens.

    `relied_on`: its failure, whole or in one pole, shows in `proved_at_step`, and the scope is
    cut off by such devices alone.  One that is not is opened all the same, and counted for nothing.
    """

    device: str
    title: str
    place: str
    poles: int
    relied_on: bool
    opened_at_step: int
    proved_at_step: int


@dataclass(frozen=True, slots=True)
class StaysLive:
    """Terminals that stay live, or can come live, to the end, and what feeds them.

    `kind`: "line" where it can kill; "control" where a transformer's low volts come whenever
    the demand does.  `within`: whether they lie where the hands go.
    """

    kind: Literal["line", "control"]
    terminals: tuple[str, ...]
    place: str
    volt: float
    within: bool


RefusalKind = Literal[
    "no source",  # nothing described feeds the unit
    "fed by nothing",  # a line side that no source reaches
    "feeds nothing",  # a load side that reaches no load
    "supply shorted",  # two legs, or a leg and ground, on one piece of metal
    "control shorted",  # the two ends of a transformer's secondary on one piece of metal
    "load without wires",  # a motor, heater or capacitor with an end that nothing is on
    "coil without wires",  # a coil with an end that nothing is on
    "impossible windings",  # a start winding of less resistance than the run winding
    "nothing runs",  # solved on a demand, a motor in the scope does not run
    "nothing opens it",  # a way from a source to the place of work without any device on it
    "cannot be stopped",  # it keeps running and no breaker ahead of the disconnect is described
    "cannot be proved",  # no reading of any order shows that a device which is needed has failed
    "nothing there",  # the scope holds no terminal
]


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why there is no plan: the kind, the terminals, and in circuit words what is wrong and to add.

    `of_description`: the description lacks something (exit code 2); otherwise the unit as
    described cannot be made dead by its own devices (exit code 1).
    """

    kind: RefusalKind
    terminals: tuple[str, ...]
    what: str
    add: str
    of_description: bool = True


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to do at one place; `station` counts the places walked to, from 1.

    `device`: opened or locked here.  `reads`, `must_read` and `else_means` say in words
    where the readings are taken, what they must be, and what another one tells.
    """

    number: int
    station: int
    kind: StepKind
    place: str
    text: str
    device: str = ""
    readings: tuple[Reading, ...] = ()
    reads: tuple[str, ...] = ()
    must_read: str = ""
    else_means: str = ""
    cautions: tuple[Caution, ...] = ()

    @property
    def whole(self) -> str:
        """What to do and where it is read, which tells this step from every other."""
        return " ".join((self.text, *self.reads))


@dataclass(frozen=True)
class WorkPlan:
    """How the place of work is made dead and proved, or why there is no plan.

    It never says that anything is dead; only the readings along its steps can.  `points` are the
    terminals within the scope; `mislabeled` parts whose place the wires contradict; `counts`
    how many minutes a result stands.
    """

    unit: str
    title: str
    scope: Scope
    keeps_running: bool
    points: tuple[str, ...]
    mislabeled: tuple[str, ...]
    devices: tuple[Opened, ...]
    steps: tuple[Step, ...]
    stays_live: tuple[StaysLive, ...]
    charges: tuple[StoredCharge, ...]
    cautions: tuple[Caution, ...]
    refusals: tuple[Refusal, ...]
    stands_for_minutes: int
