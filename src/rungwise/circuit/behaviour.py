"""What a solved unit does: which motors run or hum, which heaters heat, and at how many watts."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np

from rungwise.circuit.condition import CALLING, STANDBY, Condition
from rungwise.circuit.netlist import Plan
from rungwise.circuit.operating_point import solve
from rungwise.circuit.solution import Solution
from rungwise.parts.element import FloatArray

Does = Literal["runs", "hums", "heats", "is off"]

COLD_STANDBY = Condition("standby on a cold day", "off", ambient_c=0.0)
"""Below where a heater's own thermostat closes."""

CONDITIONS = (CALLING, STANDBY, COLD_STANDBY)
"""The conditions that a unit's behaviour is told in."""

RUNNING_SLIP = 0.3
"""A rotor nearer to synchronous speed than this runs (far over the slip of any load)."""

ALIVE_SHARE = 0.1
"""A heater or a motor with less than this share of its rated watts or amps is off."""


@dataclass(frozen=True, slots=True)
class LoadState:
    """What one load does in one condition."""

    condition: str
    part: str
    title: str
    does: Does
    watt: float


def behaviour(plan: Plan) -> tuple[LoadState, ...]:
    """What every load of a healthy specimen does, condition by condition."""
    return tuple(state for condition in CONDITIONS for state in loads(solve(plan, condition)))


def loads(solution: Solution) -> Iterator[LoadState]:
    """Every motor and heater of the first variant of a solution."""
    for part in solution.plan.unit.parts:
        kind = solution.plan.blocks[part.name].kind
        name = solution.condition.name
        if kind.motor:
            yield LoadState(name, part.name, part.title, *_motor(solution, part.name))
        elif kind.name == "crankcase_heater":
            yield LoadState(name, part.name, part.title, *_heater(solution, part.name))


def _heater(solution: Solution, part: str) -> tuple[Does, float]:
    watt = _first(solution.element_watt((part, "element")))
    rated = _first(solution.batch.number((part, "watt")))
    return ("heats" if watt > ALIVE_SHARE * rated else "is off"), watt


def _motor(solution: Solution, part: str) -> tuple[Does, float]:
    pair = solution.plan.pair_by_key[(part, "windings")]
    volts, amps = solution.pair_volt(pair), solution.pair_amp(pair)
    power = sum((v * np.conj(a)).real for v, a in zip(volts, amps, strict=True))
    most_amp = max(_first(np.abs(amp)) for amp in amps)
    if most_amp < ALIVE_SHARE * _first(solution.batch.number((part, "rated_a"))):
        return "is off", _first(np.asarray(power))
    running = _first(solution.state((part, "slip"))) < RUNNING_SLIP
    return ("runs" if running else "hums"), _first(np.asarray(power))


def _first(values: FloatArray) -> float:
    return float(np.ravel(values)[0])
