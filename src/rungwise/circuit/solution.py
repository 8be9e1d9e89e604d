"""A solved batch: node volts, element amps, states."""

from __future__ import annotations

from collections.abc import Mapping
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


def spliced(whole: Solution, part: Solution, rows: IndexArray) -> Solution:
    """`whole` with some of its variants (`rows`) as they are in `part`, on the same condition."""
    volts, size = whole.volts.copy(), whole.batch.size
    volts[:, rows] = part.volts
    chatter = {}
    for key in {*whole.chatter, *part.chatter}:
        chatter[key] = np.array(np.broadcast_to(whole.chatter.get(key, False), (size,)))
        chatter[key][rows] = part.chatter.get(key, False)
    batch = whole.batch.with_rows(rows, part.batch)
    return Solution(whole.plan, whole.condition, batch, volts, chatter)
