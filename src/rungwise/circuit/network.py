"""The network of a batch: what never switches is assembled once, the rest at every solution."""

from __future__ import annotations

import numpy as np

from rungwise.circuit.assemble import Assembly
from rungwise.circuit.batch import Batch, IndexArray
from rungwise.circuit.elimination import ComplexArray, Factors
from rungwise.circuit.plan import Plan


class Network:
    """The AC network of ``batch``; ``moving`` blocks are the ones whose states rules change."""

    def __init__(self, batch: Batch) -> None:
        plan = batch.plan
        moving = moving_blocks(plan)
        self._plan = plan
        self._size = batch.size
        self._links = [link for link in plan.links if link.block in moving]
        self._pairs = [pair for pair in plan.pairs if pair.block in moving]
        self._static = Assembly(plan, "ac")
        self._static.add_stray()
        self._static.add_links(batch, (x for x in plan.links if x.block not in moving))
        self._static.add_pairs(batch, (x for x in plan.pairs if x.block not in moving))

    def solve(self, part: Batch, chosen: IndexArray) -> tuple[ComplexArray, Factors]:
        """Volts [nodes + 1, variants] and factors of the variants ``chosen``, held in ``part``."""
        whole = chosen.size == self._size
        assembly = self._static.copy() if whole else self._static.take(chosen)
        assembly.add_links(part, self._links)
        assembly.add_pairs(part, self._pairs)
        factors = Factors(self._plan.order, assembly.entries, self._plan.nodes)
        volts = np.zeros((len(self._plan.nodes) + 1, part.size), complex)
        for node, phasor in enumerate(factors.solve(assembly.injected)):
            volts[node] = phasor
        return volts, factors


def moving_blocks(plan: Plan) -> frozenset[str]:
    """Blocks whose elements depend on a state that a rule changes."""
    return frozenset(block for block, _ in plan.rules)
