"""What comes of it when loose ends are put in each other's places."""

from __future__ import annotations

from functools import cached_property
from itertools import combinations

import numpy as np
import numpy.typing as npt

from rungwise.rewiring.assignments import IntArray
from rungwise.rewiring.comparison import Comparison
from rungwise.rewiring.consequence import Consequence, consequences
from rungwise.rewiring.off_ends import OffEnds
from rungwise.rewiring.yardstick import Yardstick

BoolArray = npt.NDArray[np.bool_]


def relative(reference: IntArray, matchings: IntArray) -> IntArray:
    """Where each end of the record gets when the `reference` is followed and another is true.

    reference [n] and matchings [many, n] give the end of the record that each loose end is; the
    result [many, n] the end in whose place each end of the record is then put.
    """
    placed = np.empty_like(matchings)
    np.put_along_axis(placed, matchings, np.broadcast_to(reference, matchings.shape), axis=1)
    return placed


class Exchanges:
    """The ends of `off` in each other's places, each arrangement solved once."""

    def __init__(self, yardstick: Yardstick, off: OffEnds) -> None:
        self.yardstick = yardstick
        self.off = off
        terminals = sorted(set(off.nears))
        self._near = np.array([terminals.index(near) for near in off.nears])
        self._known: dict[bytes, bool] = {self._near.tobytes(): True}

    def alike(self, placed: IntArray) -> BoolArray:
        """Bool [many]: whether the unit does all it should with the ends put so [many, n]."""
        keys = [row.tobytes() for row in self._near[placed]]
        fresh = {key: at for at, key in enumerate(keys) if key not in self._known}
        if fresh:
            wirings = [self.off.wiring(placed[at].tolist()) for at in fresh.values()]
            found = self.yardstick.compare(wirings, surge_in=()).alike
            self._known |= dict(zip(fresh, found.tolist(), strict=True))
        return np.array([self._known[key] for key in keys], bool)

    def does(self, placed: IntArray) -> tuple[tuple[Consequence, ...], ...]:
        """The consequences of each way [many, n] of putting the ends, worst first."""
        wirings = [self.off.wiring(each.tolist()) for each in placed]
        compared: Comparison = self.yardstick.compare(wirings)
        situations = self.yardstick.situations
        return tuple(consequences(compared, situations, at) for at in range(len(wirings)))

    @cached_property
    def labels(self) -> IntArray:
        """A number for each end of the record; ends that may be exchanged for one another share it.

        Ends of one terminal do, the two ends of a wire that is free, and terminals each of whose
        ends may change places with each of the other's without harm.
        """
        label = np.array(self._near)
        for at, end in enumerate(self.off.ends):
            if end.partner is not None:
                label[at] = len(self._near) + min(at, end.partner)
        harmless = self.swaps
        fixed = [int(each) for each in dict.fromkeys(label) if each < len(self._near)]
        for one, other in combinations(fixed, 2):
            a, b = np.flatnonzero(label == one), np.flatnonzero(label == other)
            if len(a) and len(b) and harmless[np.ix_(a, b)].all():
                label[b] = one
        return label

    @cached_property
    def swaps(self) -> BoolArray:
        """Bool [ends, ends]: whether two ends may change places with all others right."""
        size = len(self.off)
        pairs = list(combinations(range(size), 2))
        swapped = np.tile(np.arange(size), (len(pairs), 1))
        for row, (one, two) in enumerate(pairs):
            swapped[row, [one, two]] = two, one
        found = np.eye(size, dtype=bool)
        for (one, two), harmless in zip(pairs, self.alike(swapped), strict=True):
            found[one, two] = found[two, one] = harmless
        return found
