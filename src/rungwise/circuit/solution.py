"""A solved batch: node volts, element amps, states."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from rungwise.circuit.assemble import branch_admittance, pair_admittance
from rungwise.circuit.batch import Batch, BoolArray, IndexArray, Rows
from rungwise.circuit.condition import Condition
from rungwise.circuit.elimination import ComplexArray
from rungwise.circuit.netlist import Key, Link, PairLink, Plan
from rungwise.parts import FloatArray


@dataclass
class Solution:
    """RMS phasors of every variant of a batch under one condition.

    `volts` has shape [nodes + 1, variants]; its last row is earth.  `chatter` holds, for each
    coil or delay state, which variants never came to rest.
    """

    plan: Plan
    condition: Condition
    batch: Batch
    volts: ComplexArray
    chatter: Mapping[Key, BoolArray]

    def take(self, index: Rows) -> Solution:
        """Only the variants in `index`."""
        batch, chatter = self.batch.take(index), {k: w[index] for k, w in self.chatter.items()}
        return Solution(self.plan, self.condition, batch, self.volts[:, index], chatter)

    def volt(self, a: str, b: str) -> ComplexArray:
        """Volts of node `a` against node `b` (`part.terminal` or `@earth`)."""
        return np.asarray(self.volts[self.plan.index[a]] - self.volts[self.plan.index[b]])

    def link_volt(self, link: Link) -> ComplexArray:
        """Volts across a two-terminal element, first node against second."""
        return np.asarray(self.volts[link.a] - self.volts[link.b])

    def link_amp(self, link: Link) -> ComplexArray:
        """Amps into the first node's side of a two-terminal element."""
        admittance = branch_admittance(self.batch, link, "ac")
        if admittance is None:
            return np.zeros(self.batch.size, complex)
        volt = self.link_volt(link)
        if link.element.emf_volt is not None:
            volt = volt - link.element.emf_volt(self.batch.view(link.block))
        return np.asarray(np.broadcast_to(admittance * volt, (self.batch.size,)))

    def pair_amp(self, pair: PairLink) -> tuple[ComplexArray, ComplexArray]:
        """Amps into the two ports of a transformer (primary, secondary) or motor (main, aux)."""
        y11, y12, y21, y22 = pair_admittance(self.batch, pair, "ac")
        first, second = self.pair_volt(pair)
        return np.asarray(y11 * first + y12 * second), np.asarray(y21 * first + y22 * second)

    def pair_volt(self, pair: PairLink) -> tuple[ComplexArray, ComplexArray]:
        """Volts across the two ports of a coupled element."""
        (p, q), (r, t) = pair.first, pair.second
        return np.asarray(self.volts[p] - self.volts[q]), np.asarray(self.volts[r] - self.volts[t])

    def element_amp(self, key: Key) -> ComplexArray:
        """Amps of the two-terminal element (block, element name)."""
        return self.link_amp(self.plan.link_by_key[key])

    def line_amp(self, motor: str) -> FloatArray:
        """RMS amps in that lead of a motor's line which carries most."""
        leads = [(motor, each) for each in self.plan.motors[motor].leads]
        return np.asarray(np.max([np.abs(self.element_amp(key)) for key in leads], axis=0))

    def element_watt(self, key: Key) -> FloatArray:
        """Watts that the two-terminal element takes in."""
        link = self.plan.link_by_key[key]
        return np.asarray((self.link_volt(link) * np.conj(self.link_amp(link))).real)

    def state(self, key: Key) -> FloatArray:
        """A state after settling, one value a variant."""
        return np.broadcast_to(self.batch.number(key), (self.batch.size,))


def joined(
    values: Mapping[Key, FloatArray], parts: Sequence[tuple[IndexArray, Solution]]
) -> Solution:
    """One solution of variants of these `values`, of parts: which variants, and their solution."""
    first, size = parts[0][1], sum(rows.size for rows, _ in parts)
    volts = np.empty((len(first.volts), size), complex)
    states = {key: np.empty(size) for key in first.batch.states}
    chatter = {key: np.zeros(size, bool) for _, part in parts for key in part.chatter}
    for rows, part in parts:
        volts[:, rows] = part.volts
        for key, state in states.items():
            state[rows] = part.batch.states[key]
        for key, turned in part.chatter.items():
            chatter[key][rows] = turned
    batch = Batch(first.plan, size, values, states)
    return Solution(first.plan, first.condition, batch, volts, chatter)


def spliced(whole: Solution, part: Solution, rows: IndexArray) -> Solution:
    """`whole` with some of its variants (`rows`) as they are in `part`, of the same plan."""
    volts, size = whole.volts.copy(), whole.batch.size
    volts[:, rows] = part.volts
    states = {}
    for key in whole.batch.states:
        states[key] = whole.state(key).copy()
        states[key][rows] = part.state(key)
    chatter = {}
    for key in {*whole.chatter, *part.chatter}:
        chatter[key] = np.array(np.broadcast_to(whole.chatter.get(key, False), (size,)))
        chatter[key][rows] = part.chatter.get(key, False)
    batch = Batch(whole.plan, size, whole.batch.values, states)
    return Solution(whole.plan, whole.condition, batch, volts, chatter)
