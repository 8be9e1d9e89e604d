"""Units solved together, and the conditions in which a candidate's strength is read off.

Units of one shape are one plan and one batch, each a variant of it: a van's forty contactors differ
in numbers only, and a batch of forty costs hardly more than one.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from rungwise.circuit import (
    CALLING,
    COLD_STANDBY,
    STANDBY,
    STARTING,
    Asked,
    Condition,
    Key,
    LoadStates,
    Plan,
    Situation,
    Solution,
    call_for_heat,
    forced_defrost,
    load_states,
    solve_together,
)
from rungwise.parts import FloatArray, Motor, Poles, Supply
from rungwise.replacement.supply_circuit import contactors
from rungwise.unit import Part, Unit
from rungwise.wording import mark, say


@dataclass(frozen=True)
class Trial:
    """A condition with numbers set for every unit alike: low supply, a rotor held fast.

    name: in the words of a reason, such as "on a call, supply at 108 V a leg". `values` of a
    block or parameter that a unit does not have are left out for it.
    """

    name: str
    condition: Condition
    values: Mapping[Key, float] = field(default_factory=dict)


class _Group:
    """Units of one shape. Solutions are kept, so that several questions share them."""

    def __init__(self, units: Sequence[Unit], trials: Sequence[Trial]) -> None:
        plans = [Plan(unit) for unit in units]
        self.plan = plans[0]
        self.size = len(units)
        self.values = _differing(plans)
        self._trials = {each.name: each for each in trials}
        self._solved: dict[str, Solution] = {}
        self._told: list[tuple[tuple[Situation, ...], LoadStates]] = []

    def solved(self, trial: Trial) -> Solution:
        """The solution of a trial for all units; a trial is known by its name."""
        if trial.name not in self._solved:
            wanted = self._trials if trial.name in self._trials else {trial.name: trial}
            asked = [Asked(each.condition, self._own(each)) for each in wanted.values()]
            found = solve_together(self.plan, asked, self.values, self.size)
            self._solved |= zip(wanted, found, strict=True)
        return self._solved[trial.name]

    def load_states(self, situations: tuple[Situation, ...]) -> LoadStates:
        """What every load does in the situations."""
        for known, told in self._told:
            if known is situations:
                return told
        told = load_states(self.plan, situations, self.values, self.size)
        self._told.append((situations, told))
        return told

    def _own(self, trial: Trial) -> dict[Key, FloatArray]:
        return {k: np.asarray(v) for k, v in trial.values.items() if k in self.plan.defaults}


@dataclass(frozen=True)
class Specimen:
    """One unit in its group: reads its own column of what is solved for all."""

    unit: Unit
    group: _Group
    column: int

    def load_states(self, situations: tuple[Situation, ...]) -> LoadStates:
        """What its loads do: the one variant of the result is this unit."""
        told, at = self.group.load_states(situations), slice(self.column, self.column + 1)
        return LoadStates(
            told.situations,
            told.loads,
            told.harms,
            told.code[..., at],
            told.amount[..., at],
            told.harmed[..., at],
            told.harm_amount[..., at],
        )

    def volt(self, trial: Trial, a: str, b: str) -> float:
        """Volts between two terminals (`part.terminal` or earth)."""
        return self._own(np.abs(self.group.solved(trial).volt(a, b)))

    def amp(self, trial: Trial, key: Key) -> float:
        """Amps through an element (block, element)."""
        return self._own(np.abs(self.group.solved(trial).element_amp(key)))

    def line_amp(self, trial: Trial, motor: str) -> float:
        """Amps of that lead of a motor's line which carries most."""
        return self._own(self.group.solved(trial).line_amp(motor))

    def watt(self, trial: Trial, key: Key) -> float:
        """Watts that an element takes in."""
        return self._own(self.group.solved(trial).element_watt(key))

    def state(self, trial: Trial, key: Key) -> float:
        """A state (block, state) after settling."""
        return self._own(self.group.solved(trial).state(key))

    def chatters(self, trial: Trial, key: Key) -> bool:
        """Whether a coil's state (block, state) comes to no rest."""
        found = self.group.solved(trial).chatter.get(key)
        return found is not None and bool(self._own(found.astype(float)))

    def port(self, trial: Trial, key: Key, port: int) -> tuple[float, float]:
        """Volts and amps at a port of a transformer (primary 0) or motor (main winding 0)."""
        solution = self.group.solved(trial)
        pair = self.group.plan.pair_by_key[key]
        volt, amp = solution.pair_volt(pair)[port], solution.pair_amp(pair)[port]
        return self._own(np.abs(volt)), self._own(np.abs(amp))

    def number(self, part: str, parameter: str) -> float:
        """A parameter of one of its parts, machine constants among them."""
        key = (part, parameter)
        return self._own(self.group.values.get(key, self.group.plan.defaults[key]))

    def _own(self, values: FloatArray) -> float:
        flat = np.ravel(values)
        return float(flat[self.column] if flat.size > 1 else flat[0])


def specimens(units: Iterable[Unit], trials: Sequence[Trial] = ()) -> tuple[Specimen, ...]:
    """Each unit as a specimen of the group of its shape, in the given order.

    Units that are the same circuit share a column. `trials` are solved together once one of them
    is asked for.
    """
    held = tuple(units)
    columns: dict[object, dict[str, Unit]] = {}
    for unit in held:
        columns.setdefault(_shape(unit), {}).setdefault(unit.digest, unit)
    groups = {shape: _Group(list(each.values()), trials) for shape, each in columns.items()}
    return tuple(
        Specimen(unit, groups[_shape(unit)], list(columns[_shape(unit)]).index(unit.digest))
        for unit in held
    )


def _shape(unit: Unit) -> object:
    blocks = tuple((b.name, b.kind.name, tuple(b.nodes.items())) for b in unit.blocks())
    return unit.hz, blocks


def _differing(plans: Sequence[Plan]) -> dict[Key, FloatArray]:
    """The parameters that are not the same in all plans, one array each."""
    first = plans[0].defaults
    found: dict[Key, FloatArray] = {}
    for key in first:
        numbers = np.array([float(plan.defaults[key]) for plan in plans])
        if np.any(numbers != numbers[0]):
            found[key] = numbers
    return found


LOW_LEG_V = 108.0
"""Least volts of a leg where they are used (216 between legs): ANSI C84.1 range A, from memory."""

LOWEST_LEG_V = 98.5
"""Half of 197 V, the lower end that equipment for 208-230 V is commonly marked with."""

MIDDLE_LEG_V = 120.0

HIGH_LEG_V = 126.0
"""Most volts of a leg (252 between legs): ANSI C84.1 range A, from memory."""

CALL = Trial(mark("on a call"), CALLING)


START = Trial(mark("first seconds of a call"), STARTING)

OFF = Trial(mark("thermostat off"), STANDBY)

COLD = Trial(mark("thermostat off, freezing outdoors"), COLD_STANDBY)


def heat_call(unit: Unit) -> Trial | None:
    """The fullest call for heat; None for a unit that cannot be asked for any."""
    called = call_for_heat(unit.demands)
    return None if called is None else Trial(called.name, called)


def defrost_call(unit: Unit) -> Trial | None:
    """A defrost that is forced; None for a unit in which nothing melts ice."""
    forced = forced_defrost(unit)
    return None if forced is None else Trial(forced.name, forced)


def usual_trials(unit: Unit) -> tuple[Trial, ...]:
    """The trials that are asked for of nearly every candidate."""
    legs = (LOWEST_LEG_V, LOW_LEG_V, MIDDLE_LEG_V)
    starts = (LOW_LEG_V, MIDDLE_LEG_V, HIGH_LEG_V)
    return (
        CALL,
        START,
        OFF,
        COLD,
        high_call(unit),
        *(inrush(unit, leg) for leg in legs),
        *(stall(unit, leg) for leg in starts),
        *(held_out(part.name) for part in contactors(unit)),
    )


def running_amp(specimen: Specimen, motor: str) -> float:
    """Line amps of a motor on a call, or in its first seconds where it has tripped since."""
    return max(specimen.line_amp(trial, motor) for trial in (CALL, START))


def high_call(unit: Unit) -> Trial:
    """A call on the highest supply volts of range A."""
    return Trial(
        say("on a call, {HIGH_LEG_V} V supply", HIGH_LEG_V=f"{2 * HIGH_LEG_V:.0f}"),
        CALLING,
        supply(unit, HIGH_LEG_V),
    )


def inrush(unit: Unit, leg_v: float) -> Trial:
    """The moment in which the coils are fed and no plunger has moved yet."""
    held = {(part.name, "blocked"): 1.0 for part in contactors(unit)}
    name = say("at the moment of pull-in, {leg_told}", leg_told=leg_told(unit, leg_v))
    return Trial(name, STARTING, {**supply(unit, leg_v), **held})


def held_out(contactor: str) -> Trial:
    """A call with the plunger of one contactor held out."""
    return Trial(
        say("{contactor} held out", contactor=contactor), CALLING, {(contactor, "blocked"): 1.0}
    )


def stall(unit: Unit, leg_v: float) -> Trial:
    """The first instant of a start: contactor in, every motor on its circuit still standing."""
    motors = (part for part, _ in unit.having(Motor) if part.place == "outdoor")
    held = {(part.name, "seized"): 1.0 for part in motors}
    name = say("while the compressor starts, {leg_told}", leg_told=leg_told(unit, leg_v))
    return Trial(name, STARTING, {**supply(unit, leg_v), **held})


def supply(unit: Unit, leg_v: float) -> dict[Key, float]:
    """Volts of each leg set for every service, in proportion where it is no house's 120 V.

    A monitor that lets go at such volts is held in: what a coil or a motor bears is asked.
    """
    volts = {
        (part.name, "leg_volt"): leg_v * nominal_leg_v(unit, part) / MIDDLE_LEG_V
        for part, _ in unit.having(Supply)
    }
    held = {
        (part.name, pole.stuck_handle): 1.0
        for part, poles in unit.having(Poles)
        for pole in poles.poles
        if poles.moved_by == "itself" and pole.stuck_handle
    }
    return volts | held


def leg_told(unit: Unit, leg_v: float) -> str:
    """Such as "108 V a leg": the volts that `supply` sets, of the first service."""
    shares = [nominal_leg_v(unit, part) / MIDDLE_LEG_V for part, _ in unit.having(Supply)]
    return say("{volts} V a leg", volts=f"{leg_v * (shares[0] if shares else 1.0):.4g}")


def nominal_leg_v(unit: Unit, part: Part) -> float:
    """Usual volts of a leg of such a service."""
    return unit.kind_of(part.name).parameter("leg_volt").default
