"""Contacts, relays, fuses, overloads and rotors, iterated to rest.

Fast rules (coils, fuses on a short, rotors) are applied together until nothing changes; then the
earliest slow event within the condition's horizon (a delay, a thermal trip) happens, and the fast
ones run again.  A coil that will not stay in or out is *chatter*: it is marked and left open.
Only the variants still moving are solved again.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from rungwise.circuit.assemble import (
    Assembly,
    branch_admittance,
    machine_constants,
    machine_of,
    pair_admittance,
)
from rungwise.circuit.batch import Batch, BoolArray, IndexArray
from rungwise.circuit.condition import Condition
from rungwise.circuit.elimination import ComplexArray, Factors
from rungwise.circuit.motion import Drive, Load, settle_speed
from rungwise.circuit.plan import Key, Link, PairLink, Plan
from rungwise.circuit.solution import Solution
from rungwise.errors import NoSettling
from rungwise.unit.element import FloatArray
from rungwise.unit.rule import CoilRule, DelayRule, FuseRule, MotorRule, OverloadRule

ROUNDS = 60
CHATTER_TURNS = 4
SPEED_TOLERANCE = 1e-5
START_SECONDS = 3.0
DEAD_VOLT = 3.0


def solve(
    plan: Plan, condition: Condition, values: Mapping[Key, FloatArray] | None = None, size: int = 1
) -> Solution:
    """Solve ``size`` variants of a plan under a condition, switching included.

    ``values`` overrides parameters by (block, name), arrays of shape [size] or scalars.  Raises
    NoSettling when something other than a coil never rests, FloatingNode for a loose network.
    """
    return Settling(plan, condition, values or {}, size).run()


class Settling:
    """One run to rest of a batch under one condition."""

    def __init__(
        self, plan: Plan, condition: Condition, values: Mapping[Key, FloatArray], size: int
    ) -> None:
        self.plan = plan
        self.condition = condition
        self.batch = Batch.under(plan, condition, size, values)
        self.volts = np.zeros((len(plan.nodes) + 1, size), complex)
        self.turns: dict[Key, FloatArray] = {}
        self.clock_s = np.zeros(size)
        self._moving = _moving_blocks(plan)
        self._static = self._static_assembly()

    def _static_assembly(self) -> Assembly:
        made = Assembly(self.plan, "ac")
        made.add_stray()
        made.add_links(self.batch, (x for x in self.plan.links if x.block not in self._moving))
        made.add_pairs(self.batch, (x for x in self.plan.pairs if x.block not in self._moving))
        return made

    def run(self) -> Solution:
        """Iterate to rest and return the solution."""
        active = np.arange(self.batch.size)
        for _ in range(ROUNDS):
            active = self._round(active)
            if not active.size:
                chatter = {key: turns >= CHATTER_TURNS for key, turns in self.turns.items()}
                return Solution(self.plan, self.condition, self.batch, self.volts, chatter)
        msg = "parts of the circuit keep switching and come to no rest"
        raise NoSettling(msg, moving=sorted({key[0] for key in self.turns}))

    def _round(self, active: IndexArray) -> IndexArray:
        """Solve the active variants once, apply what follows; return those that changed."""
        # A copy, so that every rule sees the states that the volts were solved with.
        part = self.batch.take(active)
        whole = active.size == self.batch.size
        assembly = self._static.copy() if whole else self._static.take(active)
        assembly.add_links(part, (x for x in self.plan.links if x.block in self._moving))
        assembly.add_pairs(part, (x for x in self.plan.pairs if x.block in self._moving))
        factors = Factors(self.plan.order, assembly.entries, self.plan.nodes)
        volts = np.zeros((len(self.plan.nodes) + 1, part.size), complex)
        for node, phasor in enumerate(factors.solve(assembly.injected)):
            volts[node] = phasor
        self.volts[:, active] = volts
        changed = self._fast(active, part, volts, factors)
        resting = ~changed
        if resting.any():
            changed[resting] = self._slow(active, part, volts, resting)
        return active[changed]

    def _fast(
        self, active: IndexArray, part: Batch, volts: ComplexArray, factors: Factors
    ) -> BoolArray:
        changed = np.zeros(active.size, bool)
        motors: list[tuple[str, MotorRule]] = []
        for block, rule in self.plan.rules:
            if isinstance(rule, CoilRule):
                changed |= self._coil(active, part, volts, block, rule)
            elif isinstance(rule, FuseRule):
                changed |= self._fuse(active, part, volts, block, rule)
            elif isinstance(rule, MotorRule):
                motors.append((block, rule))
            elif isinstance(rule, DelayRule):
                changed |= self._delay_resets(active, part, volts, block, rule)
        for block, motor in motors:
            changed |= self._motor(active, part, volts, factors, block, motor)
        return changed

    def _coil(
        self, active: IndexArray, part: Batch, volts: ComplexArray, block: str, rule: CoilRule
    ) -> BoolArray:
        key = (block, rule.state)
        link, view = self.plan.link_by_key[(block, rule.element)], part.view(block)
        across = np.abs(volts[link.a] - volts[link.b]) * _closed(part, link)
        was = part.states[key]
        level = np.where(was > 0, rule.drop_out_volt(view), rule.pull_in_volt(view))
        turns = self.turns.setdefault(key, np.zeros(self.batch.size))
        now = np.where(turns[active] >= CHATTER_TURNS, 0.0, (across >= level) * 1.0)
        changed = now != was
        turns[active[changed]] += 1
        self.batch.states[key][active] = now
        return np.asarray(changed)

    def _fuse(
        self, active: IndexArray, part: Batch, volts: ComplexArray, block: str, rule: FuseRule
    ) -> BoolArray:
        amp = _amp(part, volts, self.plan.link_by_key[(block, rule.element)])
        blows = (amp >= rule.fast_amp(part.view(block))) & (part.states[(block, rule.state)] == 0)
        self.batch.states[(block, rule.state)][active[blows]] = 1.0
        return np.asarray(np.broadcast_to(blows, (active.size,)))

    def _delay_resets(
        self, active: IndexArray, part: Batch, volts: ComplexArray, block: str, rule: DelayRule
    ) -> BoolArray:
        link = self.plan.link_by_key[(block, rule.element)]
        across = np.abs(volts[link.a] - volts[link.b])
        resets = (across < 0.5 * rule.volts(part.view(block))) & (
            part.states[(block, rule.state)] > 0
        )
        self.batch.states[(block, rule.state)][active[resets]] = 0.0
        return np.asarray(resets)

    def _motor(
        self,
        active: IndexArray,
        part: Batch,
        volts: ComplexArray,
        factors: Factors,
        block: str,
        rule: MotorRule,
    ) -> BoolArray:
        key = (block, rule.state)
        pair = self.plan.pair_by_key[(block, rule.machine)]
        across = [np.abs(volts[p] - volts[q]) for p, q in (pair.first, pair.second)]
        free = rule.seized(part.view(block)) == 0
        driven = np.flatnonzero((np.maximum(*across) > DEAD_VOLT) & free)
        was = part.states[key]
        now = np.ones(active.size)
        if driven.size:
            drive = _drive(part, volts, factors, pair).take(driven)
            now[driven] = 1.0 - settle_speed(drive, 1.0 - was[driven])
        changed = np.abs(now - was) > SPEED_TOLERANCE
        # A smaller change is left out, so that volts and slip belong together.
        self.batch.states[key][active[changed]] = now[changed]
        return np.asarray(changed)

    def _slow(
        self, active: IndexArray, part: Batch, volts: ComplexArray, resting: BoolArray
    ) -> BoolArray:
        """Let the earliest slow event of each resting variant happen; True where one did."""
        horizon = START_SECONDS if self.condition.horizon == "start" else np.inf
        keys: list[Key] = []
        times: list[FloatArray] = []
        for block, rule in self.plan.rules:
            if isinstance(rule, FuseRule | OverloadRule | DelayRule):
                keys.append((block, rule.state))
                wait = self._wait(part, volts, block, rule)
                if not isinstance(rule, DelayRule):
                    wait = np.where(wait <= horizon, wait, np.inf)
                times.append(np.broadcast_to(wait, (part.size,))[resting])
        if not times:
            return np.zeros(int(resting.sum()), bool)
        table = np.array(times)
        first = table.argmin(axis=0)
        happens = np.isfinite(table.min(axis=0))
        where = active[resting]
        self.clock_s[where[happens]] += table.min(axis=0)[happens]
        for at, key in enumerate(keys):
            self.batch.states[key][where[happens & (first == at)]] = 1.0
        return np.asarray(happens)

    def _wait(
        self,
        part: Batch,
        volts: ComplexArray,
        block: str,
        rule: FuseRule | OverloadRule | DelayRule,
    ) -> FloatArray:
        """Seconds until the rule's slow event, infinite where it will not come."""
        link, view = self.plan.link_by_key[(block, rule.element)], part.view(block)
        done = part.states[(block, rule.state)] > 0
        if isinstance(rule, DelayRule):
            across = np.abs(volts[link.a] - volts[link.b])
            comes = (across >= rule.volts(view)) & ~done
            return np.where(comes, rule.delay_s(view), np.inf)
        ratio = _amp(part, volts, link) / rule.slow_amp(view)
        return np.where(done, np.inf, trip_seconds(ratio, rule.slow_s))


def trip_seconds(ratio: FloatArray, slow_s: float) -> FloatArray:
    """Seconds for a thermal element to open at ``ratio`` times its limit: slow_s/(ratio² - 1).

    Infinite at or below the limit.  The I²t shape is the usual one of a bimetal that starts cold
    (textbook heat balance; the constant is common practice, no source).
    """
    over = np.maximum(ratio**2 - 1.0, 1e-12)
    return np.where(ratio > 1.0, slow_s / over, np.inf)


def _moving_blocks(plan: Plan) -> frozenset[str]:
    """Blocks whose elements depend on a state that a rule changes."""
    return frozenset(block for block, _ in plan.rules)


def _closed(part: Batch, link: Link) -> FloatArray:
    closed = link.element.closed
    return np.asarray(1.0) if closed is None else closed(part.view(link.block))


def _amp(part: Batch, volts: ComplexArray, link: Link) -> FloatArray:
    admittance = branch_admittance(part, link, "ac")
    if admittance is None:
        return np.zeros(part.size)
    return np.asarray(np.abs(admittance * (volts[link.a] - volts[link.b])))


def _drive(part: Batch, volts: ComplexArray, factors: Factors, pair: PairLink) -> Drive:
    """The motor and the network that feeds it, reduced to its two ports."""
    element = machine_of(pair)
    ports = (pair.first, pair.second)
    z11, z21 = factors.port_volts(ports, 0)
    z12, z22 = factors.port_volts(ports, 1)
    determinant = z11 * z22 - z12 * z21
    whole = (z22 / determinant, -z12 / determinant, -z21 / determinant, z11 / determinant)
    own = pair_admittance(part, pair, "ac")
    size = (part.size,)
    network = tuple(np.broadcast_to(t - m, size) for t, m in zip(whole, own, strict=True))
    v1, v2 = (volts[p] - volts[q] for p, q in ports)
    source = (whole[0] * v1 + whole[1] * v2, whole[2] * v1 + whole[3] * v2)
    view = part.view(pair.block)
    constants = machine_constants(part, pair.block)
    speed = view["rated_rpm"] * 2 * np.pi / 60 / constants.sync_rad_per_s
    load = Load(
        np.asarray(view["start_load_ratio"] * view["start_torque_nm"]),
        np.asarray(view["load_ratio"] * view["rated_torque_nm"]),
        np.asarray(speed),
    )
    closed = (
        np.broadcast_to(element.main_closed(view), size),
        np.broadcast_to(element.aux_closed(view), size),
    )
    return Drive(constants, load, source, network, closed)  # type: ignore[arg-type]
