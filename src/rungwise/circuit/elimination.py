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
from dataclasses import dataclass
from functools import cached_property
from itertools import chain

import numpy as np
import numpy.typing as npt

from rungwise.circuit import kernel_arrays as kernel

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
    updates: tuple[int, ...]
    """The slot of each pair of neighbours, row after row; 0, never used, of one with itself."""
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
        pairs = ((i, j) for i in neighbours for j in neighbours)
        updates = tuple(0 if i == j else self._slot(i, j) for i, j in pairs)
        return _Step(
            node,
            neighbours,
            tuple(self._slot(i, node) for i in neighbours),
            tuple(self._slot(node, j) for j in neighbours),
            self._slot(node, EARTH_INDEX),
            updates,
            tuple(self._slot(i, EARTH_INDEX) for i in neighbours),
        )

    @cached_property
    def flat(self) -> kernel.Steps:
        """The same as flat arrays, for the compiled loops."""
        return kernel.Steps(
            node=_ints(s.node for s in self.steps),
            earth=_ints(s.earth for s in self.steps),
            first=_starts(len(s.neighbours) for s in self.steps),
            neighbour=_ints(chain.from_iterable(s.neighbours for s in self.steps)),
            into=_ints(chain.from_iterable(s.into for s in self.steps)),
            out=_ints(chain.from_iterable(s.out for s in self.steps)),
            earth_into=_ints(chain.from_iterable(s.earth_updates for s in self.steps)),
            pairs_first=_starts(len(s.updates) for s in self.steps),
            pairs=_ints(chain.from_iterable(s.updates for s in self.steps)),
        )

    @cached_property
    def slot_pairs(self) -> kernel.Ints:
        """The nodes [slots, 2] that each slot lies between, earth -1."""
        return _locked(np.array(list(self.slots), dtype=np.int64).reshape(-1, 2))

    def ports(self, pairs: Sequence[Sequence[tuple[int, int]]]) -> kernel.Ports:
        """Groups of ports, each with the way up the elimination tree from it."""
        reach = [self.reach(n for port in pair for n in port if n >= 0) for pair in pairs]
        ways = len(pairs[0]) if pairs else 2
        return kernel.Ports(
            _locked(np.array(pairs, dtype=np.int64).reshape(-1, ways, 2)),
            _starts(len(each) for each in reach),
            _ints(chain.from_iterable(reach)),
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


def _ints(numbers: Iterable[int]) -> kernel.Ints:
    return _locked(np.fromiter(numbers, dtype=np.int64))


def _starts(counts: Iterable[int]) -> kernel.Ints:
    return _locked(np.concatenate([[0], np.cumsum(_ints(counts))]).astype(np.int64))


def _locked(numbers: kernel.Ints) -> kernel.Ints:
    """Never written again: `loops` looks through them once, and not in every round."""
    numbers.setflags(write=False)
    return numbers


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
