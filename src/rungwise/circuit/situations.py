"""Everything that a unit may be asked to live through: calls, open safeties, lost supplies.

Two circuits are interchangeable when they do the same in every situation.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

import numpy as np

from rungwise.circuit.condition import (
    CALLING,
    CALLS_BEYOND_COOLING,
    COLD_DEFROST,
    COLD_STANDBY,
    DEFROSTING,
    STANDBY,
    STARTING,
    Condition,
    call_for_heat,
)
from rungwise.circuit.netlist import Key
from rungwise.parts import Defrosts, FloatArray, OpensOn, Supply
from rungwise.unit import Unit
from rungwise.wording import joined, mark, say

FAN_ONLY = Condition("fan only", "fan")


@dataclass(frozen=True, slots=True)
class Asking:
    """What is asked of the unit: its title, and how it stands in a sentence if not by its title."""

    title: str
    in_a_sentence: str = ""

    @property
    def clause(self) -> str:
        """As part of a sentence."""
        return self.in_a_sentence or self.title


FIRST_SECONDS = Asking(mark("first seconds of a call"), mark("in the first seconds of a call"))
MOMENT_OF_START = Asking(mark("moment of the start"), mark("in the moment of the start"))
ON_CALL = Asking(mark("on a call"))
AT_REST = Asking(mark("thermostat off"), mark("with the thermostat off"))
FREEZING = Asking(
    mark("thermostat off, freezing outdoors"), mark("with the thermostat off, freezing outdoors")
)
FAN = Asking(mark("fan only"), mark("with the thermostat calling for the fan only"))


@dataclass(frozen=True)
class Situation:
    """A condition, with what is lost outside the unit's own switches.

    `values` sets parameters (a supply leg lost) for every variant alike. `opened`: the title of
    the part that a hand or a safety has opened, `lost`: the supply's leg that is lost; "" for none.
    """

    asking: Asking
    condition: Condition
    values: Mapping[Key, FloatArray] = field(default_factory=dict)
    opened: str = ""
    lost: str = ""

    @property
    def name(self) -> str:
        """What it is called: "thermostat off, disconnect open"."""
        return joined("", (self.asking.title, self._besides))

    @property
    def clause(self) -> str:
        """As part of a sentence: "with the thermostat off, disconnect open"."""
        return joined("", (self.asking.clause, self._besides))

    @property
    def _besides(self) -> str:
        opened = say(", {part} open", part=self.opened) if self.opened else ""
        lost = say(", supply leg {leg} lost", leg=self.lost) if self.lost else ""
        return joined("", (opened, lost))


def forced_defrost(unit: Unit) -> Condition | None:
    """The condition in which a defrost is forced; None where nothing melts ice.

    A heat pump is asked for heat then, what only cools for cooling.
    """
    if not unit.having(Defrosts):
        return None
    return next((each for each in (DEFROSTING, COLD_DEFROST) if each.demand in unit.demands), None)


def can_defrost(unit: Unit) -> bool:
    """Whether it has a part that melts the ice outdoors, and a call on which it does."""
    return forced_defrost(unit) is not None


def situations_of(unit: Unit) -> tuple[Situation, ...]:
    """All situations of a unit; the plain ones first."""
    return (*_plain(unit), *_opened(unit), *_lost_supplies(unit))


def _plain(unit: Unit) -> Iterator[Situation]:
    yield Situation(FIRST_SECONDS, STARTING)
    yield Situation(ON_CALL, CALLING)
    yield Situation(AT_REST, STANDBY)
    yield Situation(FREEZING, COLD_STANDBY)
    for condition in (FAN_ONLY, *CALLS_BEYOND_COOLING):
        if condition.demand in unit.demands:
            yield Situation(FAN if condition is FAN_ONLY else Asking(condition.name), condition)
    defrost = forced_defrost(unit)
    if defrost is not None:
        yield Situation(Asking(defrost.name), defrost)


def _opened(unit: Unit) -> Iterator[Situation]:
    heat = call_for_heat(unit.demands)
    for part in unit.parts:
        kind = unit.kind_of(part.name)
        if not kind.has_position:
            continue
        opens = kind.facet(OpensOn)
        if heat is not None and opens is not None and opens.what == "hot air":
            yield Situation(Asking(heat.name), heat.opened(part.name), opened=part.title)
        yield Situation(ON_CALL, CALLING.opened(part.name), opened=part.title)
        if kind.isolates:
            yield Situation(AT_REST, STANDBY.opened(part.name), opened=part.title)


def _lost_supplies(unit: Unit) -> Iterator[Situation]:
    for part, supply in unit.having(Supply):
        for leg in supply.legs:
            lost = {(part.name, leg.lost): np.asarray(1.0)}
            yield Situation(ON_CALL, CALLING, lost, lost=leg.terminal)
            yield Situation(AT_REST, STANDBY, lost, lost=leg.terminal)
