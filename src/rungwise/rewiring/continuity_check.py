"""The next continuity check: where the leads go, what it may read, and how much it would tell.

A check that puts a lead on a far end is a sweep: the lead stays there, and the other one touches
one loose end after the next until one reads as one with it.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from rungwise.parts import EARTH, FloatArray, Terminals, part_of
from rungwise.rewiring.assignments import IntArray
from rungwise.rewiring.dead_ohms import DeadOhms

BoolArray = npt.NDArray[np.bool_]

AT_HAND_MINUTES = 0.5
"""Two loose ends side by side, or one and the cabinet."""

TOUCH_MINUTES = 0.2
"""One more loose end touched while the other lead stays where it is."""

_PLACE_MINUTES = {"outdoor": 1.0, "disconnect": 1.5, "indoor": 3.0, "panel": 4.0, "room": 4.0}
"""All of these minutes are common practice, no source."""

APART_SHARE, APART_OHM = 0.04, 0.4
"""Two readings look the same when they are nearer than that."""

PLACING_BITS = 1.0
"""What it is worth to place an end by a positive reading, which each of them wants in the end."""

SWEPT = 0.98
"""A sweep goes on until it holds the wanted end with this probability."""


@dataclass(frozen=True)
class Outcome:
    """One thing that the check may read: a band in Ω, and how likely it is."""

    low_ohm: float
    high_ohm: float
    share: float


@dataclass(frozen=True)
class Check:
    """A check between two points, a loose end's name, a terminal or earth.

    bits: what it tells on average of what still has to be told apart. then: loose ends to touch
    after `a`, in this order, while the lead stays on `b` and nothing reads through.  covered:
    whether `b` lies under the terminal cover of a compressor.
    """

    a: str
    b: str
    minutes: float
    bits: float
    outcomes: tuple[Outcome, ...]
    then: tuple[str, ...] = ()
    covered: bool = False


class Outcomes:
    """The readings of `ohms` by the unit file, those that look alike as one.

    `of` int [points, points] indexes `bands`, the least and most ohms of each; the last band
    is OL.  It serves to choose a check; what a reading then rules out is decided by how far a good
    unit may be off.
    """

    def __init__(self, ohms: DeadOhms) -> None:
        usual = ohms.usual
        self.of = np.zeros(usual.size, np.int64)
        self.bands: list[tuple[float, float]] = []
        for at in np.argsort(usual, axis=None):
            ohm = float(usual.flat[at])
            least = self.bands[-1][0] if self.bands else -1.0
            if ohm <= least * (1 + APART_SHARE) + APART_OHM:
                self.bands[-1] = (least, ohm)
            else:
                self.bands.append((ohm, ohm))
            self.of[at] = len(self.bands) - 1
        self.of = self.of.reshape(usual.shape)
        if not math.isinf(self.bands[-1][1]):
            self.bands.append((math.inf, math.inf))


@dataclass(frozen=True)
class Left:
    """What is left, to choose a check by.

    names: of the loose ends.  ways [many, n] with their `share`; `group`: [many] where the
    ways fall into known groups that behave alike, or [many, n] for a number of each end that
    stands for its group.  broken [many, n]: ends that read to nothing if the way is true.  wanted
    [n]: ends that no reading has placed.  taken: pairs of points that were read already.  shut:
    points that cannot be reached.  clip: the points that the leads were last on.
    """

    names: Sequence[str]
    ways: IntArray
    share: FloatArray
    group: IntArray
    broken: BoolArray
    wanted: BoolArray
    taken: Collection[frozenset[str]]
    shut: frozenset[str]
    clip: Collection[str]


def best_check(ohms: DeadOhms, outcomes: Outcomes, left: Left) -> Check | None:
    """The check that tells and places most per minute; None where none does either."""
    best: Check | None = None
    most = 1e-6
    for a, b, minutes, told, about, hit in _checks(ohms, outcomes, left):
        if frozenset((a, b)) in left.taken or left.shut & {a, b}:
            continue
        bits = _information(told, about, left.share)
        worth = (bits + PLACING_BITS * hit) / minutes
        if worth > most + 1e-9:
            most = worth
            outcomes_told = _forecast(told, left.share, outcomes)
            best = Check(a, b, minutes, bits, outcomes_told, covered=is_covered(ohms, b))
    return best and _swept(ohms, left, best)


_Found = tuple[str, str, float, IntArray, IntArray, float]


def _checks(ohms: DeadOhms, outcomes: Outcomes, left: Left) -> Iterator[_Found]:
    """Every check: its points and minutes, its outcome in each way, what it is about, and how
    likely it places an end that no reading has placed.
    """
    whole = left.group.ndim == 1
    most = int(left.group.max()) + 1
    nothing = len(outcomes.bands) - 1
    for p, name in enumerate(left.names):
        mine, lost = left.ways[:, p], left.broken[:, p]
        for q in range(p):
            about = left.group if whole else left.group[:, p] * most + left.group[:, q]
            told = outcomes.of[mine, left.ways[:, q]]
            told = np.where(lost | left.broken[:, q], nothing, told)
            one_wire = ohms.off.partners[mine, left.ways[:, q]] & ~lost
            hit = float(left.share[one_wire].sum()) if left.wanted[p] else 0.0
            yield name, left.names[q], AT_HAND_MINUTES, told, about, hit
        for probe in ohms.probes:
            about = left.group if whole else left.group[:, p]
            told = np.where(lost, nothing, outcomes.of[mine, ohms.point(probe)])
            hit = float(left.share[_at(ohms, left, p, probe)].sum()) if left.wanted[p] else 0.0
            minutes = TOUCH_MINUTES if probe in left.clip else minutes_of(ohms, probe)
            yield name, probe, minutes, told, about, hit


def _at(ohms: DeadOhms, left: Left, p: int, probe: str) -> BoolArray:
    """Bool [many]: the ways in which a loose end is one with a terminal."""
    if probe == EARTH:
        return np.zeros(len(left.ways), bool)
    one = ohms.usual[left.ways[:, p], ohms.point(probe)] == 0.0
    return np.asarray(one & ~left.broken[:, p])


def _swept(ohms: DeadOhms, left: Left, check: Check) -> Check:
    """The check with the loose ends that are touched after the first, likeliest first."""
    if check.b not in ohms.probes or check.b == EARTH:
        return check
    shares = {
        name: float(left.share[_at(ohms, left, p, check.b)].sum())
        for p, name in enumerate(left.names)
        if left.wanted[p] and frozenset((name, check.b)) not in left.taken
    }
    held = shares.pop(check.a, 0.0)
    if held == 0.0:
        return check
    wanted, then = SWEPT * (held + sum(shares.values())), []
    for name in sorted(shares, key=lambda each: -shares[each]):
        if held >= wanted:
            break
        held += shares[name]
        then.append(name)
    return replace(check, then=tuple(then))


def is_covered(ohms: DeadOhms, probe: str) -> bool:
    """Whether a point lies under the terminal cover of a compressor."""
    return part_of(probe) in ohms.off.unit.roles.compressors


def minutes_of(ohms: DeadOhms, probe: str) -> float:
    """Minutes that a check between a loose end and a terminal, or earth, takes."""
    if probe == EARTH:
        return AT_HAND_MINUTES
    part = ohms.off.unit.part(part_of(probe))
    terminals = ohms.off.unit.kind_of(part.name).facet(Terminals)
    own = terminals.reach_minutes if terminals else None
    return _PLACE_MINUTES[part.place] if own is None else own


def _information(told: IntArray, about: IntArray, share: FloatArray) -> float:
    """Mutual information in bits: H(told) + H(about) - H(both)."""
    both = about * (int(told.max()) + 1) + told
    return _entropy(told, share) + _entropy(about, share) - _entropy(both, share)


def _entropy(values: IntArray, share: FloatArray) -> float:
    p = np.bincount(values, share) if values.max() < MOST_BINS else _compact(values, share)
    p = p[p > 0] / p.sum()
    return float(-(p * np.log2(p)).sum())


MOST_BINS = 100_000


def _compact(values: IntArray, share: FloatArray) -> FloatArray:
    _, index = np.unique(values, return_inverse=True)
    return np.asarray(np.bincount(index, share))


def _forecast(told: IntArray, share: FloatArray, outcomes: Outcomes) -> tuple[Outcome, ...]:
    p = np.bincount(told, share, len(outcomes.bands))
    chosen = [int(at) for at in np.argsort(-p) if p[at] > 0]
    return tuple(Outcome(*outcomes.bands[at], share=float(p[at])) for at in chosen)
