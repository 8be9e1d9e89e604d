"""Solving many nodal networks of one shape at once, without losing small voltages.

The matrix of a network whose elements all lie between two nodes has rows that sum to the
admittance towards earth.  So the diagonal need never be stored: it is the sum of what lies beside
it, earth included (the idea of Grassmann, Taksar and Heyman for Markov chains).  Kept that way,
an elimination step is a star-mesh transformation with no subtraction, and a wire that floats on
picofarads behind contacts of a milliohm keeps all its digits.

One symbolic order (minimum degree) serves every variant; the numbers run vectorised over the
batch.  Entry (i, j) is *minus* the off-diagonal nodal admittance Y_ij.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from copy import copy
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from rungwise.errors import FloatingNode

ComplexArray = npt.NDArray[np.complex128]

EARTH_INDEX = -1
"""Index that stands for the reference node in all entry pairs."""


@dataclass(frozen=True, slots=True)
class _Step:
    """One node's elimination: its neighbours and the slots that the numbers live in."""

    node: int
    neighbours: tuple[int, ...]
    into: tuple[int, ...]
    out: tuple[int, ...]
    earth: int
    updates: tuple[tuple[tuple[int, int], ...], ...]
    earth_updates: tuple[int, ...]


class EliminationOrder:
    """The symbolic elimination of a pattern of coupled node pairs.

    `size` nodes; `pairs` the node pairs that any element couples (earth left out).
    """

    def __init__(self, size: int, pairs: Iterable[tuple[int, int]]) -> None:
        self.size = size
        self.slots: dict[tuple[int, int], int] = {}
        graph = _graph(size, pairs)
        for i, neighbours in enumerate(graph):
            self._slot(i, EARTH_INDEX)
            for j in sorted(neighbours):
                self._slot(i, j)
        self.steps = tuple(self._eliminate(graph))
        self.position = {step.node: at for at, step in enumerate(self.steps)}
        self._parent = [
            min((self.position[j] for j in s.neighbours), default=-1) for s in self.steps
        ]

    def _slot(self, i: int, j: int) -> int:
        return self.slots.setdefault((i, j), len(self.slots))

    def _eliminate(self, graph: list[set[int]]) -> Iterable[_Step]:
        remaining = set(range(self.size))
        while remaining:
            # Minimum degree: a node with n neighbours leaves n(n - 1)/2 pairs coupled, so the least
            # connected goes first. Found once for a unit, however many thousand variants follow.
            # The index breaks ties, so that the same unit always gets the same last digits.
            node = min(remaining, key=lambda k: (len(graph[k]), k))
            remaining.discard(node)
            yield self._step(node, tuple(sorted(graph[node])))
            _connect_neighbours(graph, node)

    def _step(self, node: int, neighbours: tuple[int, ...]) -> _Step:
        updates = tuple(
            tuple((at, self._slot(i, j)) for at, j in enumerate(neighbours) if j != i)
            for i in neighbours
        )
        return _Step(
            node,
            neighbours,
            tuple(self._slot(i, node) for i in neighbours),
            tuple(self._slot(node, j) for j in neighbours),
            self._slot(node, EARTH_INDEX),
            updates,
            tuple(self._slot(i, EARTH_INDEX) for i in neighbours),
        )

    def reach(self, nodes: Iterable[int]) -> list[int]:
        """Steps (by position) on the way from `nodes` to the root of the elimination tree."""
        found: set[int] = set()
        for node in nodes:
            at = self.position[node]
            while at >= 0 and at not in found:
                found.add(at)
                at = self._parent[at]
        return sorted(found)


def _graph(size: int, pairs: Iterable[tuple[int, int]]) -> list[set[int]]:
    graph: list[set[int]] = [set() for _ in range(size)]
    for i, j in pairs:
        if i != j and i >= 0 and j >= 0:
            graph[i].add(j)
            graph[j].add(i)
    return graph


def _connect_neighbours(graph: list[set[int]], node: int) -> None:
    for i in graph[node]:
        graph[i] |= graph[node]
        graph[i] -= {node, i}
    graph[node] = set()


class Factors:
    """The eliminated numbers of a batch, ready for any number of right-hand sides.

    `entries` holds one array per slot of `order`, each a scalar or one value a variant.
    Raises FloatingNode when a node is tied to nothing in some variant; `names` names nodes.
    """

    def __init__(
        self,
        order: EliminationOrder,
        entries: Sequence[ComplexArray | None],
        names: Sequence[str],
    ) -> None:
        self.order = order
        work: list[ComplexArray | None] = list(entries)
        work += [None] * (len(order.slots) - len(work))
        self.work = work
        self.inverse: list[ComplexArray] = []
        self.factor: list[list[ComplexArray | None]] = []
        for step in order.steps:
            self._run(step, names)

    def _run(self, step: _Step, names: Sequence[str]) -> None:
        work = self.work
        row = [work[slot] for slot in step.out]
        earth = work[step.earth]
        total: ComplexArray | complex = 0.0 if earth is None else earth
        for entry in row:
            if entry is not None:
                total = total + entry
        total = np.asarray(total)
        # The sum only ever grows by terms of the same kind, so 0 means that no term was there at
        # all; a small sum is a node that hardly anything holds, and is solved like any other.
        if not np.all(total):
            msg = f"nothing ties {names[step.node]} to anything: it floats without any leakage"
            raise FloatingNode(msg, node=names[step.node])
        # One complex division a node; everything after it is products, which vectorize well.
        inverse = 1.0 / total
        self.inverse.append(inverse)
        factors: list[ComplexArray | None] = []
        # Star to mesh: each pair of neighbours gets the product of their two branches over the sum.
        # What a slot never held stays None rather than 0, which spares most of the arithmetic.
        for slot, pairs, earth_slot in zip(
            step.into, step.updates, step.earth_updates, strict=True
        ):
            entry = work[slot]
            factor = None if entry is None else entry * inverse
            factors.append(factor)
            if factor is not None:
                self._spread(factor, row, pairs, earth, earth_slot)
        self.factor.append(factors)

    def _spread(
        self,
        factor: ComplexArray,
        row: list[ComplexArray | None],
        pairs: tuple[tuple[int, int], ...],
        earth: ComplexArray | None,
        earth_slot: int,
    ) -> None:
        work = self.work
        for at, slot in pairs:
            entry = row[at]
            if entry is not None:
                held = work[slot]
                work[slot] = factor * entry if held is None else held + factor * entry
        if earth is not None:
            held = work[earth_slot]
            work[earth_slot] = factor * earth if held is None else held + factor * earth

    def solve(self, injected: dict[int, ComplexArray]) -> list[ComplexArray]:
        """Node voltages for currents injected into nodes: one array a node, in node order."""
        flows: list[ComplexArray | None] = [injected.get(k) for k in range(self.order.size)]
        for at, step in enumerate(self.order.steps):
            self._push(at, step, flows)
        volts: list[ComplexArray] = [np.asarray(0j)] * self.order.size
        for at in range(len(self.order.steps) - 1, -1, -1):
            volts[self.order.steps[at].node] = self._pull(at, flows, volts)
        return volts

    def _push(self, at: int, step: _Step, flows: list[ComplexArray | None]) -> None:
        flow = flows[step.node]
        if flow is None:
            return
        for i, factor in zip(step.neighbours, self.factor[at], strict=True):
            if factor is not None:
                held = flows[i]
                flows[i] = factor * flow if held is None else held + factor * flow

    def _pull(
        self, at: int, flows: list[ComplexArray | None], volts: Sequence[ComplexArray]
    ) -> ComplexArray:
        step = self.order.steps[at]
        flow = flows[step.node]
        total: ComplexArray | complex = 0j if flow is None else flow
        for j, slot in zip(step.neighbours, step.out, strict=True):
            entry = self.work[slot]
            if entry is not None:
                total = total + entry * volts[j]
        return np.asarray(total * self.inverse[at])

    def take(
        self, index: np.ndarray[tuple[int], np.dtype[np.intp]], nodes: Iterable[int]
    ) -> Factors:
        """Those of some variants, as far as `port_volts` between these `nodes` asks for them."""
        twin = copy(self)
        twin.work = [None] * len(self.work)
        twin.inverse, twin.factor = list(self.inverse), list(self.factor)
        for at in self.order.reach(node for node in nodes if node >= 0):
            twin.inverse[at] = _taken(self.inverse[at], index)
            twin.factor[at] = [f if f is None else _taken(f, index) for f in self.factor[at]]
            for slot in self.order.steps[at].out:
                entry = self.work[slot]
                twin.work[slot] = entry if entry is None else _taken(entry, index)
        return twin

    def port_volts(self, ports: Sequence[tuple[int, int]], driven: int) -> list[ComplexArray]:
        """Volts across every port for 1 A driven through port `driven` (earth is -1).

        Only the nodes on the elimination tree above the ports are visited.
        """
        wanted = [node for port in ports for node in port if node >= 0]
        reach = self.order.reach(wanted)
        flows: list[ComplexArray | None] = [None] * self.order.size
        a, b = ports[driven]
        if a >= 0:
            flows[a] = np.asarray(1 + 0j)
        if b >= 0:
            flows[b] = np.asarray(-1 + 0j) if b != a else np.asarray(0j)
        for at in reach:
            self._push(at, self.order.steps[at], flows)
        volts: list[ComplexArray] = [np.asarray(0j)] * (self.order.size + 1)
        for at in reversed(reach):
            volts[self.order.steps[at].node] = self._pull(at, flows, volts)
        return [volts[p] - volts[q] for p, q in ports]


def _taken(array: ComplexArray, index: np.ndarray[tuple[int], np.dtype[np.intp]]) -> ComplexArray:
    return array[index] if array.ndim else array
