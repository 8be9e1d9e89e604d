"""Which loose ends are placed by what was read on them, and which read to nothing.

An end is placed by a positive reading: it is one with its far end, or it reads the ohms of its
winding to other leads of the same motor, and everything else that it could be does not read so.
What is left over when all others are placed is not placed by that: it needs a reading of its own.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

import numpy as np
import numpy.typing as npt

from rungwise.rewiring.assignments import IntArray
from rungwise.rewiring.dead_ohms import DeadOhms
from rungwise.rewiring.evidence import Evidence, conducts, reads_open, without_earth
from rungwise.rewiring.winding_sums import sums_hold
from rungwise.rewiring.wires_record import LooseWire, Reading

BoolArray = npt.NDArray[np.bool_]

MOST_TOGETHER = 20_000
"""Ways to match ends that were read against one another, beyond which they are not placed yet."""


class Placing:
    """What the readings on each loose end say of it alone.

    `seen`: [ends, ends of the record] by what can be seen and was told.  `harmless`: [ends of
    the record, same], which of them may change places without harm.
    """

    def __init__(
        self,
        ohms: DeadOhms,
        loose: Sequence[LooseWire],
        readings: Sequence[Reading],
        seen: BoolArray,
        harmless: BoolArray,
    ) -> None:
        self.ohms = ohms
        self.seen = seen
        self.harmless = harmless
        self.whole_evidence = Evidence(ohms, loose, readings, seen)
        self._own = Evidence(ohms, loose, tuple(without_earth(readings)), seen)
        self._free = [wire.both_ends for wire in loose for _ in wire.ends]
        self._told = [bool(wire.far or wire.near) for wire in loose for _ in wire.ends]
        self.names = self.whole_evidence.names

    @cached_property
    def placed(self) -> BoolArray:
        """Bool [ends]: which are placed by sight or by a positive reading of their own."""
        return np.array([self._is_placed(at) for at in range(len(self.names))], bool)

    def read_to_nothing(self, p: int, ends: IntArray) -> bool:
        """Whether an end was touched in vain to the far end of each of these that it may be."""
        return not self.whole_evidence.whole[p] and bool(self.touched[p, ends].all())

    @cached_property
    def touched(self) -> BoolArray:
        """Bool [ends, ends of the record]: those far ends that each was touched to, in vain."""
        size = len(self.ohms.off)
        found = np.zeros((len(self.names), size), bool)
        for reading in filter(reads_open, self.whole_evidence.readings):
            loose = self.whole_evidence.loose_of(reading)
            if len(loose) == 1:
                point = self.ohms.point(reading.b if reading.a in self.names else reading.a)
                found[loose[0]] |= self.ohms.usual[:size, point] == 0.0
            elif len(loose) == 2 and all(self._free[at] for at in loose):
                found[loose] |= self.ohms.off.partners.any(axis=1)
        return found

    def _is_placed(self, at: int) -> bool:
        if self._free[at]:
            return bool(self._own.whole[at])
        if self._told[at] and self._alike(np.flatnonzero(self.seen[at])):
            return True
        return bool(self._own.whole[at]) and self._alike(self._may_be(at))

    def _alike(self, ends: IntArray) -> bool:
        return bool(self.harmless[np.ix_(ends, ends)].all()) and len(ends) > 0

    def _may_be(self, at: int) -> IntArray:
        """What an end may be by its own readings, and those of the ends it was read against."""
        together = self._together(at)
        ways = np.zeros((1, 0), np.int64)
        for p in together:
            ways = self._extended(ways, together, p)
            if len(ways) > MOST_TOGETHER:
                return np.flatnonzero(self._own.domain[at])
        full = np.zeros((len(ways), len(self.names)), np.int64)
        full[:, together] = ways
        names = {self.names[p] for p in together}
        others = set(self.names) - names
        own = [r for r in self._own.readings if conducts(r) and not {r.a, r.b} & others]
        held = full[sums_hold(self.ohms, self.names, own, full)]
        return np.unique(held[:, at])

    def _extended(self, ways: IntArray, together: list[int], p: int) -> IntArray:
        """The ways to match the first of some ends, each with all that the next one may be."""
        ends = np.flatnonzero(self._own.domain[p])
        rows = np.repeat(np.arange(len(ways)), len(ends))
        chosen = np.tile(ends, len(ways))
        fits = (ways[rows] != chosen[:, None]).all(axis=1)
        for column in range(ways.shape[1]):
            q = together[column]
            table = self._own.ties.get((min(p, q), max(p, q)))
            if table is not None:
                table = table if q < p else table.T
                fits &= table[ways[rows, column], chosen]
        return np.column_stack([ways[rows[fits]], chosen[fits]])

    def _together(self, at: int) -> list[int]:
        """The ends that ohms were read through, from this one on from one to the next."""
        found = [at]
        pairs = [self._own.loose_of(r) for r in self._own.readings if conducts(r)]
        for p in found:
            for pair in pairs:
                if p in pair:
                    found += [q for q in pair if q not in found]
        return found
