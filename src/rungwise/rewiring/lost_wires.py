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

from rungwise.parts import CONTROL_SIGNALS, EARTH, FloatArray
from rungwise.rewiring.assignments import Assignments, IntArray
from rungwise.rewiring.colour_habits import weights
from rungwise.rewiring.consequence import Consequence
from rungwise.rewiring.continuity_check import (
    Check,
    Left,
    Outcomes,
    best_check,
    is_covered,
    minutes_of,
)
from rungwise.rewiring.dead_ohms import DeadOhms, Known
from rungwise.rewiring.evidence import conducts, reads_open
from rungwise.rewiring.exchange import Exchanges, relative
from rungwise.rewiring.off_ends import OffEnd, OffEnds
from rungwise.rewiring.placing import Placing
from rungwise.rewiring.winding_sums import sums_hold
from rungwise.rewiring.wires_record import LooseWire, Reading, WiresRecord
from rungwise.rewiring.yardstick import Yardstick
from rungwise.unit import Unit, Wire

BoolArray = npt.NDArray[np.bool_]

MOST_SOLVED = 1500
"""Ways up to which every one is solved; with more, they are not called alike."""

FIRST_SOLVED = 8
"""Ways that are solved first; mostly one of them differs already."""

GROUPED = 64
"""Ways up to which it is worth while to solve which of them are alike before the next check."""

DRAWN = 2000
"""Ways drawn by their likelihood to choose the next check by, where there are more."""

SEED = 20


class LostWires:
    """A unit with the wires of some `terminals` off: all that does not hang on readings.

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
        touched = {each.far for each in self.off.ends}.union(probes)
        points = [*filter(touched.__contains__, unit.terminals()), EARTH]
        self.ohms = DeadOhms(self.off, points, known)
        self.outcomes = Outcomes(self.ohms)
        self.exchanges = Exchanges(Yardstick(unit), self.off)

    def standing(self, record: WiresRecord, recorded: Sequence[str] = ()) -> Standing:
        """What is left after all that a wires file says.

        `recorded`: wires whose colours were written down at this unit.  Raises BadWiresFile:
        see `OffEnds.domain`.
        """
        return Standing(
            self,
            record.loose,
            record.readings,
            self.off.domain(record),
            recorded,
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
        seen: BoolArray,
        recorded: Sequence[str],
    ) -> None:
        self.lost = lost
        self.loose = tuple(loose)
        self.readings = tuple(readings)
        self.recorded = tuple(recorded)
        self._seen = seen
        self.placing = Placing(lost.ohms, loose, readings, seen, lost.exchanges.swaps)
        self.names = self.placing.names
        self._evidence = self.placing.whole_evidence
        self._assigned = Assignments(self._evidence.domain, self._evidence.ties, self._weight())
        self._all = self._every() if self._assigned.count <= MOST_SOLVED else None

    def read(self, *readings: Reading) -> Standing:
        """After some more readings."""
        return self._with((*self.readings, *readings))

    @property
    def remaining(self) -> int:
        """How many ways are left; of more than `MOST_SOLVED`, at most so many."""
        return self._assigned.count if self._all is None else len(self._all)

    @cached_property
    def alike(self) -> bool:
        """Whether each end is placed by sight or a reading of its own, and the unit does all it
        should whichever of the ways that are left is true.
        """
        return bool(self.placing.placed.all()) and self._all_alike

    @cached_property
    def broken(self) -> tuple[str, ...]:
        """Ends that read to nothing, once all the others are placed; empty before that."""
        known = self.remaining and self._nothing and self._all_alike
        return tuple(self.names[at] for at in self._nothing) if known else ()

    @cached_property
    def misfits(self) -> tuple[Misfit, ...]:
        """Wires whose gauge cannot be right where they are placed."""
        return tuple(
            Misfit(name, end.near, end.wire.name, wire.awg, end.wire.awg)
            for name, wire, end in self._ends()
            if wire.awg is not None and cannot_be(wire.awg, end.wire)
        )

    @property
    def found(self) -> bool:
        """Whether it is known where each wire goes, and none of them is broken or looks wrong."""
        return self.alike and not self.misfits

    @property
    def followed(self) -> IntArray:
        """The likeliest way [n]: the end of the record that each loose end is."""
        return np.asarray(self._matchings[0])

    @cached_property
    def _nothing(self) -> tuple[int, ...]:
        """The ends without a place, if each was touched in vain to all that it may be."""
        left = tuple(np.flatnonzero(~self.placing.placed).tolist())
        nothing = all(self.placing.read_to_nothing(at, self.may_be(at)) for at in left)
        return left if nothing else ()

    def may_be(self, at: int) -> IntArray:
        """The ends of the record that a loose end may be, in one way or another."""
        return np.unique(self._matchings[:, at]) if self._all is not None else self._open(at)

    def _open(self, at: int) -> IntArray:
        """The same while the ways are too many to list: by readings on fixed points alone."""
        return np.flatnonzero(self._evidence.domain[at])

    @cached_property
    def placed(self) -> Mapping[str, str]:
        """Where each loose end goes that sight or a reading of its own has placed, and whose gauge
        can be right there.
        """
        stopped = {each.name for each in self.misfits}
        return {name: end.near for name, _, end in self._ends() if name not in stopped}

    def _ends(self) -> Iterator[tuple[str, LooseWire, OffEnd]]:
        """The loose ends that are placed, each with its wire and the end of the record it is."""
        if self.remaining:
            ends = zip(self.names, self._wires(), self.followed, self.placing.placed, strict=True)
            for name, wire, end, placed in ends:
                if placed:
                    yield name, wire, self.lost.off.ends[end]

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
        if not self.remaining or self.alike or self.broken:
            return None
        ways, share = self._matchings, self._share
        even = np.full(len(ways), 1.0 / len(ways))
        group = self.lost.exchanges.labels[ways] if self._all is None else self._group
        found = self._best(ways, share, group)
        if found is None and self._all is not None:
            # Groups may be alike by twos and not all together: every way is one of its own.
            found = self._best(ways, even, np.arange(len(ways)))
        return found or self._untouched()

    def _best(self, ways: IntArray, share: FloatArray, group: IntArray) -> Check | None:
        lost, placing = self.lost, self.placing
        ends = np.arange(len(self.names))
        broken = placing.touched[ends, ways] & ~self._evidence.whole
        taken = {frozenset((reading.a, reading.b)) for reading in self.readings}
        clip = {self.readings[-1].a, self.readings[-1].b} if self.readings else set()
        left = Left(
            self.names, ways, share, group, broken, ~placing.placed, taken, self._shut(), clip
        )
        return best_check(lost.ohms, lost.outcomes, left)

    def _untouched(self) -> Check | None:
        """A far end that an end without a place was not touched to yet, likely or not."""
        taken = {frozenset((reading.a, reading.b)) for reading in self.readings}
        for at in np.flatnonzero(~self.placing.placed):
            for end in self._open(int(at)):
                far = self.lost.off.ends[end].far
                pair = frozenset((self.names[at], far))
                if far and pair not in taken and far not in self._shut():
                    ohms = self.lost.ohms
                    minutes, covered = minutes_of(ohms, far), is_covered(ohms, far)
                    return Check(self.names[at], far, minutes, 0.0, (), covered=covered)
        return None

    def _shut(self) -> frozenset[str]:
        """Terminals that somebody could not reach."""
        out_of_reach = [r for r in self.readings if not conducts(r) and not reads_open(r)]
        return frozenset(
            each for r in out_of_reach for each in (r.a, r.b) if each not in self.names
        ) - {EARTH}

    @cached_property
    def mistake(self) -> Mistake | None:
        """The worst that may come of taking two ends for one another in the likeliest way."""
        reference = self._matchings[0]
        open_ends = np.flatnonzero(~self.placing.placed).tolist()
        pairs = [
            (p, q)
            for p in open_ends
            for q in open_ends
            if q < p and self.fits(_swapped(reference, p, q))
        ]
        if not pairs:
            return None
        ways = np.array([_swapped(reference, p, q) for p, q in pairs])
        placed = relative(reference, ways)
        harmful = np.flatnonzero(~self.lost.exchanges.alike(placed))[:MOST_TOLD]
        if not len(harmful):
            return None
        told = zip(self.lost.exchanges.does(placed[harmful]), harmful.tolist(), strict=True)
        does, at = min(told, key=lambda each: each[0][0].rank)
        p, q = pairs[at]
        return Mistake(self.names[q], self.names[p], does)

    def fits(self, matching: IntArray) -> bool:
        """Whether a matching [n] is one of those that are left."""
        return bool(self._fit(matching[None])[0])

    def _fit(self, ways: IntArray) -> BoolArray:
        """Bool: which of some ways [many, n] no reading rules out."""
        fits = self._evidence.domain[np.arange(ways.shape[1]), ways].all(axis=1)
        for (p, q), allowed in self._evidence.ties.items():
            fits &= allowed[ways[:, p], ways[:, q]]
        return np.asarray(fits)

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
        return Standing(self.lost, self.loose, readings, self._seen, self.recorded)

    def _wires(self) -> Iterator[LooseWire]:
        """The wire of each loose end."""
        return (wire for wire in self.loose for _ in wire.ends)

    def _weight(self) -> FloatArray:
        """How likely each end is what, by colour and gauge and the faults that readings need."""
        placed = [
            int(np.flatnonzero(row)[0]) if sure and row.any() else None
            for row, sure in zip(self._evidence.domain, self.placing.placed, strict=True)
        ]
        habits = weights(self.lost.off, self.loose, self.recorded, placed)
        return np.asarray(habits * self._evidence.odds)

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
        holds = self._fit(drawn) & sums_hold(self.lost.ohms, self.names, self.readings, drawn)
        drawn = drawn[holds] if holds.any() else drawn
        return drawn[np.argsort(-self._likelihood(drawn), kind="stable")]

    @cached_property
    def _share(self) -> FloatArray:
        """How likely each of `_matchings` is; what was drawn by its weight has that already."""
        listed = self._all is not None
        share = self._likelihood(self._matchings) if listed else self._by_pairs(self._matchings)
        return np.asarray(share / share.sum())

    def _likelihood(self, ways: IntArray) -> FloatArray:
        return self._assigned.likelihood(ways) * self._by_pairs(ways)

    def _by_pairs(self, ways: IntArray) -> FloatArray:
        """What is left of each way's likelihood where readings between two ends need a fault."""
        share = np.ones(len(ways))
        for p, q, odds in self._evidence.pair_odds:
            share = share * odds[ways[:, p], ways[:, q]]
        return share

    @cached_property
    def _all_alike(self) -> bool:
        """Whether the unit does all it should by each way that leaves the broken ends aside."""
        if self._all is None or not self.remaining:
            return False
        aside = list(self._nothing)
        ways = self._all[(self._all[:, aside] == self._all[0, aside]).all(axis=1)]
        parts = (slice(0, FIRST_SOLVED), slice(FIRST_SOLVED, GROUPED), slice(GROUPED, None))
        return all(self._alike(ways[part]).all() for part in parts)

    def _alike(self, ways: IntArray) -> BoolArray:
        """Bool: which of some ways behave as the unit should when the likeliest is followed."""
        return self.lost.exchanges.alike(relative(self._matchings[0], ways))

    @cached_property
    def _group(self) -> IntArray:
        """A number for each way [ways]; ways that are known to behave alike share one."""
        labels = self.lost.exchanges.labels[self._matchings]
        _, group = np.unique(labels, axis=0, return_inverse=True)
        group = np.asarray(group, np.int64).reshape(-1)
        if len(group) > GROUPED:
            return group
        return np.where(self._alike(self._matchings), group[0], group)


MOST_TOLD = 12
"""Mistakes that are solved for their words."""


def _swapped(matching: IntArray, p: int, q: int) -> IntArray:
    made = matching.copy()
    made[[p, q]] = made[[q, p]]
    return made


THICKER, THINNER = 4.0, 6.0
"""Numbers of gauge by which a wire on the 24 V side may not be thicker, and one at line volts not
thinner, than the unit file has it: over twice the copper, seen at a glance (no source)."""


@dataclass(frozen=True)
class Misfit:
    """A loose end that its readings bring to a terminal where its gauge does not go.

    wire, record_awg: the wire of the unit file that belongs on `near`, and its gauge.
    """

    name: str
    near: str
    wire: str
    awg: float
    record_awg: float


def cannot_be(awg: float, wire: Wire) -> bool:
    """Whether a wire of this gauge is far too thick for the 24 V side, or too thin for the line."""
    if wire.carries in CONTROL_SIGNALS:
        return wire.awg - awg >= THICKER
    return awg - wire.awg >= THINNER
