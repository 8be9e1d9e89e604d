"""Contacts, relays, fuses, overloads and rotors, iterated to rest.

Fast rules (coils, fuses on a short, rotors) are applied together until nothing changes; then the
earliest slow event within the condition's horizon (a delay, a thermal trip, a pressure switch)
happens, and the fast ones run again.  Temperatures follow the rotors' speeds from solution to
solution.  A coil that will not stay in or out, or a delay that starts over each time it has
run out, is *chatter*: it is marked and left open.
Only the variants still moving are solved again.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from rungwise.circuit.batch import Batch, BoolArray, IndexArray, blocks
from rungwise.circuit.condition import Condition
from rungwise.circuit.cooling import Cooling
from rungwise.circuit.netlist import Key, Plan
from rungwise.circuit.network import Network, Standing
from rungwise.circuit.residual import proved
from rungwise.circuit.response import Response
from rungwise.circuit.solution import Solution
from rungwise.errors import NoSettling
from rungwise.parts import FloatArray

ROUNDS = 60
"""Solutions after which a variant that still moves has no rest: every fault mode of the shipped
arrangements comes to it in at most 17 on a call, most in 6."""

WARM_ROUNDS = 30
"""Temperatures stay from here on: a rotor that crawls beside standstill, pumping in one round and
not in the next, would have no rest."""
CHATTER_TURNS = 4
"""In, out, in, out: a coil that does this twice does it for ever. Once is no chatter: it may let go
while a rotor's inrush pulls the volts down, and stay in after that."""

START_SECONDS = 3.0
"""How long the first seconds of a call are: a rotor has come to speed, no overload has opened
(they take ten seconds and more on locked-rotor amps; common practice, no source)."""


def solve(
    plan: Plan,
    condition: Condition,
    values: Mapping[Key, FloatArray] | None = None,
    size: int = 1,
    earlier: Solution | None = None,
    standing: Standing | None = None,
) -> Solution:
    """Solve `size` variants of a plan under a condition, switching included.

    `values` overrides parameters by (block, name), arrays of shape [size] or scalars.  The
    unit goes on from what `earlier` left blown, tripped or turning; without it, it is at rest.
    `standing` is what no state changes of these very values, where that has been put together.
    Raises NoSettling when something other than a coil never rests, FloatingNode for a loose
    network.
    """
    settling = Settling(plan, condition, values or {}, size, standing=standing)
    if earlier is not None:
        settling.batch.go_on_from(earlier.batch)
    return settling.run()


def horizon_s(condition: Condition) -> float:
    """Seconds that slow events have to happen within."""
    return START_SECONDS if condition.horizon == "start" else np.inf


class Settling:
    """One run to rest of a batch under one condition, or of a `batch` that is there already."""

    def __init__(
        self,
        plan: Plan,
        condition: Condition,
        values: Mapping[Key, FloatArray],
        size: int,
        batch: Batch | None = None,
        standing: Standing | None = None,
    ) -> None:
        self.plan = plan
        self.condition = condition
        self.batch = batch or Batch.under(plan, condition, size, values)
        self.volts = np.zeros((len(plan.nodes) + 1, size), complex)
        self.worst_amp = np.zeros(size)
        self.turns: dict[Key, FloatArray] = {}
        self.clock_s = np.zeros(size)
        self.horizon_s = np.full(size, horizon_s(condition))
        self._network = Network(self.batch, standing)

    def run(self) -> Solution:
        """Iterate to rest and return the solution.

        Raises NoSettling where something other than a coil never rests.
        """
        self.settle(np.arange(self.batch.size))
        return self.solution()

    def settle(self, active: IndexArray) -> None:
        """Iterate these variants to rest; raises as `run`."""
        for turn in range(ROUNDS):
            if not active.size:
                return
            warms, within = turn < WARM_ROUNDS, blocks(active.size)
            active = np.concatenate([self._round(active[at], warms=warms) for at in within])
        if active.size:
            msg = "parts of the circuit keep switching and come to no rest"
            raise NoSettling(msg, moving=sorted({key[0] for key in self.turns}))

    def stand_as(self, rows: IndexArray, others: IndexArray) -> None:
        """Lay each of these variants to the states that rules have brought another one to."""
        for key, state in self.plan.states.items():
            if state.driver == "rule":
                self.batch.states[key][rows] = self.batch.states[key][others]

    def solution(self) -> Solution:
        """What all variants have come to."""
        chatter = {key: turns >= CHATTER_TURNS for key, turns in self.turns.items()}
        volts = proved(self.batch, self.volts, self.worst_amp)
        return Solution(self.plan, self.condition, self.batch, volts, chatter)

    def _round(self, active: IndexArray, *, warms: bool) -> IndexArray:
        """Solve the active variants once, apply what follows; return those that changed."""
        # A copy, so that every rule sees the states that the volts were solved with.
        part = self.batch.take(active)
        if warms:
            self._warm(active, part)
        solved = self._network.solve(part, active)
        response = Response(part, solved, self._tired(active))
        changed = self._fast(active, response)
        resting = ~changed
        if resting.any():
            changed[resting] = self._slow(active, response, resting)
        rests = np.flatnonzero(~changed)
        self.volts[:, active[rests]] = solved.volts[:, rests]
        self.worst_amp[active[rests]] = solved.worst_amp[rests]
        return active[changed]

    def _warm(self, active: IndexArray, part: Batch) -> None:
        """Let the temperatures of the settled variants follow their rotors' speeds."""
        lasting = np.isinf(self.horizon_s[active])
        for cooling in self.plan.coolings if lasting.any() else ():
            self._warm_circuit(cooling, active, part, lasting)

    def _warm_circuit(
        self, cooling: Cooling, active: IndexArray, part: Batch, lasting: BoolArray
    ) -> None:
        held = cooling.held(part, cooling.steady(part))
        for name, celsius in (
            ("condensing_c", held.condensing_c),
            ("evaporating_c", held.evaporating_c),
        ):
            key = (cooling.compressor, name)
            part.states[key] = np.where(lasting, celsius, part.states[key])
            self.batch.states[key][active] = part.states[key]

    def _tired(self, active: IndexArray) -> dict[Key, BoolArray]:
        """Where a state has turned so often that it is held open from now on."""
        return {key: turns[active] >= CHATTER_TURNS for key, turns in self.turns.items()}

    def _fast(self, active: IndexArray, response: Response) -> BoolArray:
        """Let every rule do at once what it does; True where one did."""
        changed = np.zeros(active.size, bool)
        for block, rule in self.plan.rules:
            step, key = rule.at_once(response.of(block)), (block, rule.state)
            if step is None:
                continue
            moves, to = step
            if rule.wears_out:
                self.turns.setdefault(key, np.zeros(self.batch.size))[active[moves]] += 1
            self.batch.states[key][active[moves]] = to[moves] if isinstance(to, np.ndarray) else to
            changed |= moves
        return changed

    def _slow(self, active: IndexArray, response: Response, resting: BoolArray) -> BoolArray:
        """Let the earliest slow event of each resting variant happen; True where one did."""
        found = [
            (key, np.broadcast_to(wait, (active.size,))[resting])
            for key, wait in self._waits(active, response)
        ]
        if not found:
            return np.zeros(int(resting.sum()), bool)
        # One event a variant and round: the first may spare the others. A fuse that opens takes the
        # amps off the breaker before it, and which of them goes is what a technician finds.
        table = np.array([wait for _, wait in found])
        first = table.argmin(axis=0)
        happens = np.isfinite(table.min(axis=0))
        where = active[resting]
        self.clock_s[where[happens]] += table.min(axis=0)[happens]
        for at, (key, _) in enumerate(found):
            self.batch.states[key][where[happens & (first == at)]] = 1.0
        return np.asarray(happens)

    def _waits(self, active: IndexArray, response: Response) -> Iterator[tuple[Key, FloatArray]]:
        """Seconds until each slow event, infinite where it does not come within the horizon."""
        horizon = self.horizon_s[active]
        for block, rule in self.plan.rules:
            wait = rule.wait_s(response.of(block))
            if wait is not None:
                within = wait if rule.awaited else np.where(wait <= horizon, wait, np.inf)
                yield (block, rule.state), within
