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
    COLD_STANDBY,
    STANDBY,
    STARTING,
    Condition,
)
from rungwise.circuit.netlist import Key
from rungwise.parts import FloatArray, Supply
from rungwise.unit import Unit

FAN_ONLY = Condition("fan only", "fan")


@dataclass(frozen=True)
class Situation:
    """A condition, with what is lost outside the unit's own switches.

    `values` sets parameters (a supply leg lost) for every variant alike.
    """

    name: str
    condition: Condition
    values: Mapping[Key, FloatArray] = field(default_factory=dict)


def situations_of(unit: Unit) -> tuple[Situation, ...]:
    """All situations of a unit; the plain ones first."""
    return (*_plain(unit), *_opened(unit), *_lost_supplies(unit))


def _plain(unit: Unit) -> Iterator[Situation]:
    names = {
        "first seconds of a call": STARTING,
        "on a call": CALLING,
        "thermostat off": STANDBY,
        "thermostat off, freezing outdoors": COLD_STANDBY,
    }
    for name, condition in names.items():
        yield Situation(name, condition)
    for condition in (FAN_ONLY, *CALLS_BEYOND_COOLING):
        if condition.demand in unit.demands:
            yield Situation(condition.name, condition)


def _opened(unit: Unit) -> Iterator[Situation]:
    for part in unit.parts:
        kind = unit.kind_of(part.name)
        if not kind.has_position:
            continue
        yield Situation(f"on a call, {part.title} open", CALLING.opened(part.name))
        if kind.isolates:
            yield Situation(f"thermostat off, {part.title} open", STANDBY.opened(part.name))


def _lost_supplies(unit: Unit) -> Iterator[Situation]:
    for part, supply in unit.having(Supply):
        for leg in supply.legs:
            lost = {(part.name, leg.lost): np.asarray(1.0)}
            yield Situation(f"on a call, supply leg {leg.terminal} lost", CALLING, lost)
            yield Situation(f"thermostat off, supply leg {leg.terminal} lost", STANDBY, lost)
