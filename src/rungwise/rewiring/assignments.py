"""Every way to match loose ends with the ends of the record, counted exactly.

What can be seen of an end, and a reading between it and a fixed point, says which ends of the
record it may be; a reading between two loose ends ties those two together.  The matchings are
counted end by end over sets of ends already used (a permanent by dynamic programming); an end that
a reading ties to one not yet matched is carried along until that one is.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from rungwise.parts import FloatArray

BoolArray = npt.NDArray[np.bool_]
IntArray = npt.NDArray[np.int64]

BITS = 5
"""Bits that hold the number of an end."""


MOST_EDGES = 400_000
"""Steps from one set of ends to the next, beyond which a tie is given up."""


class _TooManyStatesError(Exception):
    """The ties knit too many ends together to be counted all at once."""


def narrowed(domain: BoolArray, ties: Mapping[tuple[int, int], BoolArray]) -> BoolArray:
    """What is left of each domain when every end must find a partner in every tie of its own.

    An end of the record that only one loose end can be left with is nobody else's.
    """
    left = domain.copy()
    both = [*ties.items(), *(((q, p), allowed.T) for (p, q), allowed in ties.items())]
    while True:
        before = left.copy()
        for (p, q), allowed in both:
            partner = allowed & left[q][None, :]
            np.fill_diagonal(partner, val=False)
            left[p] &= partner.any(axis=1)
        sure = np.flatnonzero(left.sum(axis=1) == 1)
        for p in sure.tolist():
            others = np.arange(len(left)) != p
            left[np.ix_(others, left[p])] = False
        if (left == before).all():
            return left


@dataclass(frozen=True)
class _Layer:
    """The step that matches loose end `loose`: edges from earlier states to later ones.

    parent, child: state indices; chosen: the end of the record; share: what the edge adds to the
    weight of its child. Edges are sorted by child, and `first` says where each child's begin.
    """

    loose: int
    parent: IntArray
    child: IntArray
    chosen: IntArray
    share: FloatArray
    first: IntArray


class Assignments:
    """All matchings of n loose ends with n ends of the record.

    `domain` bool [n, n]: what each loose end may be.  `ties`: by two loose ends (p < q) the
    pairs they may be together, bool [n, n].  `weight` [n, n]: how likely each is beforehand,
    over zero; it never rules anything out.

    Where the ties knit too many ends together, the ones that tell least are left out of the count,
    which then is the most that there may be; `every` obeys them all the same.
    """

    def __init__(
        self,
        domain: BoolArray,
        ties: Mapping[tuple[int, int], BoolArray],
        weight: FloatArray | None = None,
    ) -> None:
        self.size = len(domain)
        self._whole = dict(ties)
        self._domain = narrowed(domain, ties)
        self._weight = np.ones(domain.shape) if weight is None else weight
        kept = sorted(self._telling(), key=lambda each: each[0], reverse=True)
        while True:
            counted = {pair: ties[pair] for _, pair in kept}
            turned = {(q, p): allowed.T for (p, q), allowed in counted.items()}
            self._ties = {**counted, **turned}
            self._layers: list[_Layer] = []
            try:
                self.count = self._grow()
            except _TooManyStatesError:
                kept.pop()
                continue
            break

    def every(self) -> IntArray:
        """All matchings [count, n]: the end of the record that each loose end is."""
        if not self.count:
            return np.zeros((0, self.size), np.int64)
        found, state = np.zeros((1, self.size), np.int64), np.zeros(1, np.int64)
        for layer in reversed(self._layers):
            many = layer.first[state + 1] - layer.first[state]
            rows = np.repeat(np.arange(len(state)), many)
            within = np.arange(len(rows)) - np.repeat(np.cumsum(many) - many, many)
            edges = layer.first[state[rows]] + within
            found = found[rows]
            found[:, layer.loose] = layer.chosen[edges]
            state = layer.parent[edges]
        return found[self._obeys(found)]

    def sample(self, rng: np.random.Generator, many: int) -> IntArray:
        """`many` matchings [many, n] drawn by their weight; there must be one at least."""
        found, state = np.zeros((many, self.size), np.int64), np.zeros(many, np.int64)
        for layer in reversed(self._layers):
            total = np.concatenate([[0.0], np.cumsum(layer.share)])
            low, high = total[layer.first[state]], total[layer.first[state + 1]]
            drawn = low + rng.random(many) * (high - low)
            edges = np.searchsorted(total, drawn, side="right") - 1
            edges = np.clip(edges, layer.first[state], layer.first[state + 1] - 1)
            found[:, layer.loose] = layer.chosen[edges]
            state = layer.parent[edges]
        return found

    def likelihood(self, matchings: IntArray) -> FloatArray:
        """The weight of each matching, over the sum of all that are given."""
        if not len(matchings):
            return np.zeros(0)
        told = np.log(self._weight)[np.arange(self.size), matchings].sum(axis=1)
        share = np.exp(told - told.max())
        return np.asarray(share / share.sum())

    def _obeys(self, matchings: IntArray) -> BoolArray:
        """Which matchings obey every tie."""
        obeys = np.ones(len(matchings), bool)
        for (p, q), allowed in self._whole.items():
            obeys &= allowed[matchings[:, p], matchings[:, q]]
        return obeys

    def _telling(self) -> Iterator[tuple[float, tuple[int, int]]]:
        """The ties that rule something out which the domains leave open, with how much they do."""
        for (p, q), allowed in self._whole.items():
            open_pairs = np.outer(self._domain[p], self._domain[q])
            np.fill_diagonal(open_pairs, val=False)
            gone = int((open_pairs & ~allowed).sum())
            if gone:
                yield gone / int(open_pairs.sum()), (p, q)

    def _grow(self) -> int:
        states = _States(np.zeros(1, np.int64), np.zeros((1, 0), np.int64), np.ones(1), np.ones(1))
        open_ends: list[int] = []
        left = set(range(self.size))
        while left:
            loose = self._next(left, open_ends)
            left.discard(loose)
            edges = self._edges(loose, states, open_ends)
            kept = [end for end in open_ends if self._tied(end, left)]
            columns = [states.open[edges[0]][:, open_ends.index(end)] for end in kept]
            if self._tied(loose, left):
                kept, columns = [*kept, loose], [*columns, edges[1]]
            states = self._advance(loose, states, edges, columns)
            open_ends = kept
        return round(float(states.count.sum()))

    def _tied(self, end: int, others: set[int]) -> bool:
        return any((end, other) in self._ties for other in others)

    def _next(self, left: set[int], open_ends: list[int]) -> int:
        """The end that leaves the fewest to be carried along, and of those the most certain."""

        def cost(end: int) -> tuple[int, int, int]:
            rest = left - {end}
            carried = sum(self._tied(each, rest) for each in (*open_ends, end))
            return carried, int(self._domain[end].sum()), end

        return min(left, key=cost)

    def _edges(
        self, loose: int, states: _States, open_ends: list[int]
    ) -> tuple[IntArray, IntArray]:
        """Parent state and chosen end of every way to match `loose`."""
        parents, chosen = [], []
        many = 0
        for end in np.flatnonzero(self._domain[loose]):
            fits = (states.used >> end) & 1 == 0
            for column, other in enumerate(open_ends):
                allowed = self._ties.get((loose, other))
                if allowed is not None:
                    fits &= allowed[end, states.open[:, column]]
            rows = np.flatnonzero(fits)
            many += len(rows)
            if many > MOST_EDGES and len(self._ties):
                raise _TooManyStatesError
            parents.append(rows)
            chosen.append(np.full(len(rows), end, np.int64))
        nothing = np.zeros(0, np.int64)
        return np.concatenate([nothing, *parents]), np.concatenate([nothing, *chosen])

    def _advance(
        self,
        loose: int,
        states: _States,
        edges: tuple[IntArray, IntArray],
        columns: list[IntArray],
    ) -> _States:
        """Merge what is the same from here on, and keep the layer for the way back."""
        parent, chosen = edges
        key = states.used[parent] | (np.int64(1) << chosen)
        for at, column in enumerate(columns):
            key = key | (column << np.int64(self.size + BITS * at))
        _, rows, child = np.unique(key, return_index=True, return_inverse=True)
        order = np.argsort(child, kind="stable")
        share = states.weight[parent] * self._weight[loose, chosen]
        first = np.searchsorted(child[order], np.arange(len(rows) + 1))
        self._layers.append(
            _Layer(loose, parent[order], child[order], chosen[order], share[order], first)
        )
        used = states.used[parent[rows]] | (np.int64(1) << chosen[rows])
        kept = (
            np.array([column[rows] for column in columns], np.int64)
            .reshape(len(columns), len(rows))
            .T
        )
        count: FloatArray = np.bincount(child, states.count[parent], len(rows)).astype(float)
        weight: FloatArray = np.bincount(child, share, len(rows)).astype(float)
        return _States(used, kept, count, weight)


@dataclass(frozen=True)
class _States:
    """Sets of ends used so far [states], the ends carried along [states, open], and what for.

    count: the matchings that lead there; weight: the sum of their weights.
    """

    used: IntArray
    open: IntArray
    count: FloatArray
    weight: FloatArray
