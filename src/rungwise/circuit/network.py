"""The network of a batch: what never switches is assembled once, the rest at every solution."""

from __future__ import annotations

import numpy as np

from rungwise.circuit.assemble import Assembly
from rungwise.circuit.batch import Batch, IndexArray
from rungwise.circuit.elimination import ComplexArray, Factors


class Network:
    """The AC network of `batch`, of which rules change some states."""

    def __init__(self, batch: Batch) -> None:
        plan = batch.plan
        self._plan = plan
        self._size = batch.size
        self._static = Assembly(plan, "ac")
        self._static.add_stray()
        self._static.add_links(batch, plan.lasting.links)
        self._static.add_pairs(batch, plan.lasting.pairs)

    def assembly(self, part: Batch, chosen: IndexArray) -> Assembly:
        """The whole network of the variants `chosen`, in the states that `part` holds."""
        made = self._static.copy() if chosen.size == self._size else self._static.take(chosen)
        made.add_links(part, self._plan.moving.links)
        made.add_pairs(part, self._plan.moving.pairs)
        return made

    def solve(self, part: Batch, chosen: IndexArray) -> tuple[ComplexArray, Factors]:
        """Volts [nodes + 1, variants] and factors of the variants `chosen`, held in `part`."""
        assembly = self.assembly(part, chosen)
        factors = Factors(self._plan.order, assembly.entries, self._plan.nodes)
        volts = np.zeros((len(self._plan.nodes) + 1, part.size), complex)
        volts[:-1] = factors.solve(assembly.injected).reshape(len(volts) - 1, -1)
        return volts, factors
