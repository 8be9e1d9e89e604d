"""Wires whose ends hang free: what they may be by all that is known, and what to measure next.

A wire is known by its far end, and its far end by continuity and ohms; where it then belongs is
the record's word.  What is left is *alike* when the unit does all it should whichever of the
remaining ways is true; before that nothing may be powered up.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from rungwise.rewiring.assignments import Assignments, IntArray
from rungwise.rewiring.colour_habits import weights
from rungwise.rewiring.consequence import Consequence
from rungwise.rewiring.continuity_check import Check, Outcomes, best_check
from rungwise.rewiring.dead_ohms import DeadOhms, Known
from rungwise.rewiring.exchange import Exchanges, relative
from rungwise.rewiring.off_ends import OffEnds
from rungwise.rewiring.winding_sums import sums_hold
from rungwise.rewiring.wires_record import LooseWire, Reading, WiresRecord
from rungwise.rewiring.yardstick import Yardstick
from rungwise.unit.element import EARTH, FloatArray
from rungwise.unit.unit import Unit

__all__ = ["LostWires", "Mistake", "Standing"]

BoolArray = npt.NDArray[np.bool_]

MOST_SOLVED = 1500
"""Ways up to which every one is solved; with more, they are not called alike."""

FIRST_SOLVED = 8
"""Ways that are solved first; mostly one of them differs already."""

GROUPED = 64
"""Ways up to which it is worth while to solve which of them are alike before the next check."""

DRAWN = 2000
"""Ways drawn by their likelihood to choose the next check by, where there are more."""

WORTH_BITS = 0.15
"""Bits below which a check only confirms what is likely; then all ways count the same."""

FAULT_SHARE = 0.03
"""How often a part has the fault that a reading needs to fit (order of magnitude, no source)."""

SEED = 20

Odds = tuple[int, int, FloatArray]
"""Two loose ends, and how well a reading goes with each two ends of the record that they may be."""


class LostWires:
    """A unit with the wires of some ``terminals`` off: all that does not hang on readings.

    probes: terminals that are measured on besides the far ends. known: of the parts.
    """

    def __init__(
        self,
        unit: Unit,
        terminals: Sequence[str],
        probes: Sequence[str] = (),
        known: Known | None = None,
    ) -> None:
        self.unit = unit
        self.off = OffEnds(unit, terminals)
        far = {each.far for each in self.off.ends if each.far}
        points = [*sorted(far.union(probes) - {EARTH}), EARTH]
        self.ohms = DeadOhms(self.off, points, known)
        self.outcomes = Outcomes(self.ohms)
        self.exchanges = Exchanges(Yardstick(unit), self.off)

    def standing(self, record: WiresRecord, recorded: Sequence[str] = ()) -> Standing:
        """What is left after all that a wires file says.

        ``recorded``: wires whose colours were written down at this unit.  Raises BadWiresFile:
        see `OffEnds.domain`.
        """
        return Standing(
            self,
            record.loose,
            record.readings,
            self.off.domain(record),
            weights(self.off, record.loose, recorded),
        )


@dataclass(frozen=True)
class Mistake:
    """Two loose ends that may still be taken for one another, and what would come of it."""

    one: str
    other: str
    does: tuple[Consequence, ...]


class Standing:
    """What the loose ends may be, after some evidence."""

    def __init__(
        self,
        lost: LostWires,
        loose: Sequence[LooseWire],
        readings: Sequence[Reading],
        domain: BoolArray,
        weight: FloatArray,
    ) -> None:
        self.lost = lost
        self.loose = tuple(loose)
        self.readings = tuple(readings)
        self.names = tuple(end for wire in loose for end in wire.ends)
        self.weight = weight
        self._seen = domain
        self.domain = domain.copy()
        self.ties: dict[tuple[int, int], BoolArray] = {}
        self._odds: list[Odds] = []
        self._tie_free_wires()
        for reading in readings:
            self._take(reading)
        self._assigned = Assignments(self.domain, self.ties, weight)
        self._all = self._every() if self._assigned.count <= MOST_SOLVED else None

    def read(self, reading: Reading) -> Standing:
        """After one more reading."""
        return self._with((*self.readings, reading))

    @property
    def remaining(self) -> int:
        """How many ways are left; of more than `MOST_SOLVED`, at most so many."""
        return self._assigned.count if self._all is None else len(self._all)

    @cached_property
    def alike(self) -> bool:
        """Whether every way that is left behaves as the unit should when one of them is followed.

        Never while there are more than `MOST_SOLVED`: every single one is solved.
        """
        if self._all is None or not self.remaining:
            return False
        parts = (slice(0, FIRST_SOLVED), slice(FIRST_SOLVED, GROUPED), slice(GROUPED, None))
        return all(self._alike(part).all() for part in parts)

    @property
    def followed(self) -> IntArray:
        """The likeliest way [n]: the end of the record that each loose end is."""
        return np.asarray(self._matchings[0])

    def may_be(self, at: int) -> IntArray:
        """The ends of the record that a loose end may be, in one way or another."""
        return np.unique(self._matchings[:, at]) if self._all is not None else self._open(at)

    def _open(self, at: int) -> IntArray:
        """The same while the ways are too many to list: by readings on fixed points alone."""
        return np.flatnonzero(self.domain[at])

    @cached_property
    def placed(self) -> Mapping[str, str]:
        """Where each loose end goes by the likeliest way; to be followed when all are alike."""
        return {
            name: self.lost.off.nears[end]
            for name, end in zip(self.names, self.followed, strict=True)
        }

    def may_belong(self) -> Iterator[tuple[str, dict[str, float]]]:
        """Of each loose end the terminals it may belong on, likeliest first, with their shares."""
        for at, name in enumerate(self.names):
            share: dict[str, float] = {}
            for end, part in zip(self._matchings[:, at], self._share, strict=True):
                near = self.lost.off.nears[end]
                share[near] = share.get(near, 0.0) + float(part)
            yield name, dict(sorted(share.items(), key=lambda each: -each[1]))

    @cached_property
    def next_check(self) -> Check | None:
        """What to measure next; None when nothing that is left to measure would tell."""
        if not self.remaining or self.alike:
            return None
        ways, share = self._matchings, self._share
        even = np.full(len(ways), 1.0 / len(ways))
        group = self.lost.exchanges.labels[ways] if self._all is None else self._group
        likely = self._best(ways, share, group)
        if likely is not None and likely.bits >= WORTH_BITS:
            return likely
        # Groups may be alike by twos and not all together: then every way is one of its own.
        own = ways if self._all is None else np.arange(len(ways))
        return self._best(ways, even, group) or self._best(ways, even, own)

    def _best(self, ways: IntArray, share: FloatArray, group: IntArray) -> Check | None:
        lost = self.lost
        taken = {frozenset((reading.a, reading.b)) for reading in self.readings}
        return best_check(lost.ohms, lost.outcomes, self.names, ways, share, group, taken)

    @cached_property
    def mistake(self) -> Mistake | None:
        """The worst that may come of taking two ends for one another in the likeliest way."""
        reference = self._matchings[0]
        pairs = [
            (p, q)
            for p in range(len(reference))
            for q in range(p)
            if self.fits(_swapped(reference, p, q))
        ]
        if not pairs:
            return None
        ways = np.array([_swapped(reference, p, q) for p, q in pairs])
        placed = relative(reference, ways)
        harmful = np.flatnonzero(~self.lost.exchanges.alike(placed))
        told = [(self.lost.exchanges.does(placed[at]), pairs[at]) for at in harmful[:MOST_TOLD]]
        if not told:
            return None
        does, (p, q) = min(told, key=lambda each: each[0][0].rank)
        return Mistake(self.names[q], self.names[p], does)

    def fits(self, matching: IntArray) -> bool:
        """Whether a matching [n] is one of those that are left."""
        ends = np.arange(len(matching))
        return bool(self.domain[ends, matching].all()) and all(
            allowed[matching[p], matching[q]] for (p, q), allowed in self.ties.items()
        )

    def strange_readings(self) -> tuple[Reading, ...]:
        """The readings without any one of which something would fit; none where all fit."""
        if self.remaining:
            return ()
        return tuple(
            each
            for each in self.readings
            if self._with([other for other in self.readings if other is not each]).remaining
        )

    def _with(self, readings: Sequence[Reading]) -> Standing:
        return Standing(self.lost, self.loose, readings, self._seen, self.weight)

    def _every(self) -> IntArray:
        """All ways that are left, the likeliest first."""
        ways = self._assigned.every()
        ways = ways[sums_hold(self.lost.ohms, self.names, self.readings, ways)]
        return ways[np.argsort(-self._likelihood(ways), kind="stable")]

    @cached_property
    def _matchings(self) -> IntArray:
        """All ways that are left, or some drawn by their likelihood, the likeliest first."""
        if self._all is not None:
            return self._all
        drawn = self._assigned.sample(np.random.default_rng(SEED), DRAWN)
        holds = np.array([self.fits(way) for way in drawn])
        holds &= sums_hold(self.lost.ohms, self.names, self.readings, drawn)
        drawn = drawn[holds] if holds.any() else drawn
        return drawn[np.argsort(-self._likelihood(drawn), kind="stable")]

    @cached_property
    def _share(self) -> FloatArray:
        """How likely each of `_matchings` is; what was drawn by its weight has that already."""
        share = self._likelihood(self._matchings) if self._all is not None else self._fair
        return np.asarray(share / share.sum())

    @cached_property
    def _fair(self) -> FloatArray:
        return self._without_fault(self._matchings)

    def _likelihood(self, ways: IntArray) -> FloatArray:
        return self._assigned.likelihood(ways) * self._without_fault(ways)

    def _without_fault(self, ways: IntArray) -> FloatArray:
        """What is left of each way's likelihood where readings need a fault to fit it."""
        share = np.ones(len(ways))
        for p, q, odds in self._odds:
            share = share * odds[ways[:, p], ways[:, q]]
        return share

    def _alike(self, some: slice) -> BoolArray:
        """Bool: which of some ways behave as the unit should when the likeliest is followed."""
        ways = self._matchings[some]
        return self.lost.exchanges.alike(relative(self._matchings[0], ways))

    @cached_property
    def _group(self) -> IntArray:
        """A number for each way [ways]; ways that are known to behave alike share one."""
        labels = self.lost.exchanges.labels[self._matchings]
        _, group = np.unique(labels, axis=0, return_inverse=True)
        group = np.asarray(group, np.int64).reshape(-1)
        if len(group) > GROUPED:
            return group
        return np.where(self._alike(slice(None)), group[0], group)

    def _tie_free_wires(self) -> None:
        """The two loose ends of one wire are the two ends of one wire of the record."""
        at = 0
        for wire in self.loose:
            if wire.both_ends:
                self._tie(at, at + 1, self.lost.off.partners)
            at += len(wire.ends)

    def _take(self, reading: Reading) -> None:
        """Rule out what the reading rules out, and make less likely what needs a fault to fit."""
        ohms, size = self.lost.ohms, len(self.lost.off)
        sound = (ohms.low <= reading.high_ohm) & (ohms.high >= reading.low_ohm)
        fits = (ohms.least <= reading.high_ohm) & (ohms.most >= reading.low_ohm)
        odds = np.where(sound, 1.0, FAULT_SHARE)
        loose = [self.names.index(each) for each in (reading.a, reading.b) if each in self.names]
        probes = [ohms.point(each) for each in (reading.a, reading.b) if each not in self.names]
        if len(loose) == 2:
            self._tie(loose[0], loose[1], fits[:size, :size])
            self._odds.append((loose[0], loose[1], odds[:size, :size]))
        elif loose:
            self.domain[loose[0]] &= fits[:size, probes[0]]
            own = np.tile(odds[:size, probes[0]][:, None], (1, size))
            self._odds.append((loose[0], loose[0], own))

    def _tie(self, p: int, q: int, allowed: BoolArray) -> None:
        key, table = ((p, q), allowed) if p < q else ((q, p), allowed.T)
        self.ties[key] = self.ties[key] & table if key in self.ties else table


MOST_TOLD = 12
"""Mistakes that are solved for their words."""


def _swapped(matching: IntArray, p: int, q: int) -> IntArray:
    made = matching.copy()
    made[[p, q]] = made[[q, p]]
    return made
