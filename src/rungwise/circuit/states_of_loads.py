"""What every load of a solved unit does, and what suffers: one judge for every command.

A load is a motor, a heater or a coil, by the facets of its kind; what it does is judged in
`rungwise.parts.load`.  The batched form lays one circuit's variants (candidate parts, moved
wires) and all situations beside one another; the plain form is the same for one variant.  Equal
codes everywhere and no harm means interchangeable.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum
from typing import Any

import numpy as np
import numpy.typing as npt

from rungwise.circuit.condition import CALLING, COLD_STANDBY, STANDBY, call_for_heat
from rungwise.circuit.netlist import Key, Plan
from rungwise.circuit.operating_point import solve
from rungwise.circuit.response import most_amp
from rungwise.circuit.situations import Situation, forced_defrost
from rungwise.circuit.solution import Solution
from rungwise.circuit.solve_many import Asked, solve_whole
from rungwise.parts import (
    CAPACITOR_OVER_VOLT,
    COIL_OVER_VOLT,
    HEATER_OVER_WATT,
    Capacitor,
    Codes,
    Coil,
    Does,
    ElectronicMotor,
    Facet,
    FloatArray,
    Heater,
    Ignites,
    Motor,
    coil_does,
    electronic_does,
    heater_does,
    motor_does,
)
from rungwise.unit import Part, Unit
from rungwise.wording import mark, named, say

CONDITIONS = (CALLING, STANDBY, COLD_STANDBY)
"""The conditions that a unit's behaviour is told in."""

BoolArray = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class LoadState:
    """What one motor, heater or flame does in one condition, and the watts that it takes."""

    condition: str
    part: str
    title: str
    does: Does
    watt: float


class Hurt(Enum):
    """In what way something suffers."""

    OPENED = mark("opened by its amps")
    COIL = mark("coil over its volts")
    SECTION = mark("section over its volts")
    HEATER = mark("heater over its watts")


@dataclass(frozen=True, slots=True)
class Harm:
    """Something that suffers: which part, how, and which of its states or sections."""

    part: str
    hurt: Hurt
    which: str = ""

    @property
    def what(self) -> str:
        """How it is put: of what is opened, the state that says so."""
        if self.hurt is Hurt.OPENED:
            return self.which
        if not self.which:
            return mark(self.hurt.value)
        return say("{which} {suffers}", which=named(self.which), suffers=mark(self.hurt.value))


@dataclass(frozen=True)
class LoadStates:
    """Over situations C, loads L, harms H and variants B.

    `code` int [C, L, B] are codes of `Does`; `amount` float [C, L, B] is the load's watts
    (volts for a coil); `harmed` bool [C, H, B]; `harm_amount` float [C, H, B] the volts, watts
    or amps of it.
    """

    situations: tuple[Situation, ...]
    loads: tuple[str, ...]
    harms: tuple[Harm, ...]
    code: Codes
    amount: FloatArray
    harmed: BoolArray
    harm_amount: FloatArray


def usual_states(plan: Plan) -> tuple[LoadState, ...]:
    """What every motor and heater of a healthy specimen does, condition by condition."""
    warm = call_for_heat(plan.unit.demands) or forced_defrost(plan.unit)
    asked = (*CONDITIONS, *(() if warm is None else (warm,)))
    return tuple(state for condition in asked for state in loads_of(solve(plan, condition)))


def loads_of(solution: Solution) -> Iterator[LoadState]:
    """Every motor, heater and flame of the first variant of a solution."""
    for part, facet in _loads(solution.plan.unit, (Motor, ElectronicMotor, Heater, Ignites)):
        code, watt = (
            np.ravel(each)[0] for each in _JUDGES[type(facet)](solution, part.name, facet)
        )
        name = solution.condition.name
        title = f"flame of the {part.title}" if isinstance(facet, Ignites) else part.title
        yield LoadState(name, part.name, title, Does(int(code)), float(watt))


def load_states(
    plan: Plan,
    situations: Sequence[Situation],
    values: Mapping[Key, FloatArray] | None = None,
    size: int = 1,
) -> LoadStates:
    """Solve `size` variants in every situation and say what each load does."""
    asked = [Asked(each.condition, each.values) for each in situations]
    every = states_of(situations[:1], [solve_whole(plan, asked, values, size)])
    code, amount, harmed, harm_amount = (
        array[0].reshape(-1, len(situations), size).swapaxes(0, 1)
        for array in (every.code, every.amount, every.harmed, every.harm_amount)
    )
    return LoadStates(
        tuple(situations), every.loads, every.harms, code, amount, harmed, harm_amount
    )


def states_of(situations: Sequence[Situation], solved: Sequence[Solution]) -> LoadStates:
    """What each load does in situations that are solved: one solution each, all of one plan."""
    loads = list(_loads(solved[0].plan.unit, (Motor, ElectronicMotor, Heater, Ignites, Coil)))
    told = [
        [_JUDGES[type(facet)](each, part.name, facet) for part, facet in loads] for each in solved
    ]
    harms = [list(_harms(solution)) for solution in solved]
    return LoadStates(
        tuple(situations),
        tuple(part.name for part, _ in loads),
        tuple(harm for harm, _, _ in harms[0]),
        np.array([[code for code, _ in row] for row in told], np.int8),
        np.array([[amount for _, amount in row] for row in told]),
        np.array([[harmed for _, harmed, _ in row] for row in harms]) > 0,
        np.array([[amount for _, _, amount in row] for row in harms]),
    )


def _loads(unit: Unit, sorts: Sequence[type[Facet]]) -> Iterator[tuple[Part, Facet]]:
    """The parts with one of these facets, in file order, each with the first that it has."""
    for part in unit.parts:
        kind = unit.kind_of(part.name)
        facets = (kind.facet(sort) for sort in sorts)
        found = next((facet for facet in facets if facet is not None), None)
        if found is not None:
            yield part, found


def _motor(solution: Solution, part: str, motor: Motor) -> tuple[Codes, FloatArray]:
    pair, size = solution.plan.pair_by_key[(part, motor.element)], (solution.batch.size,)
    volts, amps = solution.pair_volt(pair), solution.pair_amp(pair)
    watt = np.real(volts[0] * np.conj(amps[0]) + volts[1] * np.conj(amps[1]))
    most = most_amp(pair, amps)
    rated = solution.batch.number((part, motor.amps))
    does = motor_does(solution.state((part, "slip")), most, rated)
    return np.broadcast_to(does, size), np.broadcast_to(watt, size)


def _electronic(solution: Solution, part: str, motor: ElectronicMotor) -> tuple[Codes, FloatArray]:
    does = electronic_does(motor.turns(solution.batch.view(part)))
    watt = solution.element_watt((part, motor.element))
    return np.broadcast_to(does, (solution.batch.size,)), watt


def _heater(solution: Solution, part: str, heater: Heater) -> tuple[Codes, FloatArray]:
    watt = solution.element_watt((part, heater.element))
    does = heater_does(watt, solution.batch.number((part, heater.watt)))
    return np.broadcast_to(does, (solution.batch.size,)), watt


def _flame(solution: Solution, part: str, board: Ignites) -> tuple[Codes, FloatArray]:
    """A flame that is proved heats; electric watts are none of its own."""
    proved = board.proved(solution.batch.view(part)) > 0
    does = np.where(proved, Does.HEATS, Does.OFF).astype(np.int8)
    size = (solution.batch.size,)
    return np.broadcast_to(does, size), np.zeros(size)


def _coil(solution: Solution, part: str, coil: Coil) -> tuple[Codes, FloatArray]:
    key = (part, coil.state)
    volt = np.abs(solution.link_volt(solution.plan.link_by_key[(part, coil.element)]))
    return coil_does(solution.state(key), solution.chatter.get(key)), volt


_JUDGES: dict[type[Facet], Callable[[Solution, str, Any], tuple[Codes, FloatArray]]] = {
    Motor: _motor, ElectronicMotor: _electronic, Heater: _heater, Ignites: _flame, Coil: _coil,
}  # fmt: skip


def _harms(solution: Solution) -> Iterator[tuple[Harm, BoolArray | FloatArray, FloatArray]]:
    """Each thing that may suffer, whether it does, and the volts, watts or amps of it."""
    for name, block in solution.plan.blocks.items():
        opened = {rule.state: rule for rule in block.kind.rules if rule.watches == "amps"}
        for state, rule in opened.items():
            amp = np.abs(solution.element_amp((name, rule.element)))
            yield Harm(name, Hurt.OPENED, state), solution.state((name, state)), amp
        for harm, most, amount in _borne(solution, name):
            wide = np.broadcast_to(amount, (solution.batch.size,))
            yield harm, np.asarray(wide > most), wide


def _borne(solution: Solution, name: str) -> Iterator[tuple[Harm, FloatArray, FloatArray]]:
    """What a part must bear: the most that it does bear, and what it gets."""
    kind, view = solution.plan.blocks[name].kind, solution.batch.view(name)
    coil, capacitor, heater = kind.facet(Coil), kind.facet(Capacitor), kind.facet(Heater)
    if coil is not None and coil.volt:
        volt = np.abs(solution.link_volt(solution.plan.link_by_key[(name, coil.element)]))
        yield Harm(name, Hurt.COIL), COIL_OVER_VOLT * view[coil.volt], volt
    if capacitor is not None:
        for section in (each for each in capacitor.sections if each.purpose == "run"):
            link = solution.plan.link_by_key[(name, section.element)]
            volt = np.abs(solution.link_volt(link))
            harm = Harm(name, Hurt.SECTION, section.element)
            yield harm, CAPACITOR_OVER_VOLT * view[capacitor.volt], volt
    if heater is not None:
        watt = solution.element_watt((name, heater.element))
        yield Harm(name, Hurt.HEATER), HEATER_OVER_WATT * view[heater.watt], watt
