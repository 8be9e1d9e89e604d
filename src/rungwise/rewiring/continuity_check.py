"""The next continuity check: where the leads go, what it may read, and how much it would tell."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from rungwise.rewiring.assignments import IntArray
from rungwise.rewiring.dead_ohms import DeadOhms
from rungwise.unit.element import EARTH, FloatArray

__all__ = ["Check", "Outcome", "Outcomes", "best_check", "minutes_of"]

AT_HAND_MINUTES = 0.5
"""Two loose ends side by side, or one and the cabinet."""

_MINUTES = {"compressor": 2.0, "fan_motor": 2.0, "crankcase_heater": 2.0}
"""Terminals under a cover of their own, or at the end of a harness."""

_PLACE_MINUTES = {"outdoor": 1.0, "disconnect": 1.5, "indoor": 3.0, "panel": 4.0, "room": 4.0}
"""All of these minutes are common practice, no source."""

APART_SHARE, APART_OHM = 0.04, 0.4
"""Two readings look the same when they are nearer than that."""


@dataclass(frozen=True)
class Outcome:
    """One thing that the check may read: a band in Ω, and how likely it is."""

    low_ohm: float
    high_ohm: float
    share: float


@dataclass(frozen=True)
class Check:
    """A check between two points, a loose end's name, a terminal or earth.

    bits: what it tells on average of what still has to be told apart.
    """

    a: str
    b: str
    minutes: float
    bits: float
    outcomes: tuple[Outcome, ...]


class Outcomes:
    """The readings of ``ohms`` by the unit file, those that look alike as one.

    ``of`` int [points, points] indexes ``bands``, the least and most ohms of each.  It serves to
    choose a check; what a reading then rules out is decided by how far a good unit may be off.
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


def best_check(  # what it weighs
    ohms: DeadOhms,
    outcomes: Outcomes,
    names: Sequence[str],
    matchings: IntArray,
    share: FloatArray,
    group: IntArray,
    taken: Collection[frozenset[str]],
) -> Check | None:
    """The check that tells most per minute; None where none tells anything.

    names: of the loose ends.  matchings [many, n] with their ``share``; ``group``: [many] where
    the matchings fall into known groups that behave alike, or [many, n] for a number of each end
    that stands for its group.  taken: pairs of points that were read already.
    """
    best: Check | None = None
    for a, b, minutes, told, about in _checks(ohms, outcomes, names, matchings, group):
        if frozenset((a, b)) in taken:
            continue
        bits = _information(told, about, share)
        if bits > 1e-6 and (best is None or bits / minutes > best.bits / best.minutes + 1e-9):
            best = Check(a, b, minutes, bits, _forecast(told, share, outcomes))
    return best


def _checks(
    ohms: DeadOhms, outcomes: Outcomes, names: Sequence[str], matchings: IntArray, group: IntArray
) -> Iterator[tuple[str, str, float, IntArray, IntArray]]:
    """Every check: its points and minutes, its outcome in each matching, and what it is about."""
    whole = group.ndim == 1
    most = int(group.max()) + 1
    for p, name in enumerate(names):
        mine = matchings[:, p]
        for q in range(p):
            about = group if whole else group[:, p] * most + group[:, q]
            yield name, names[q], AT_HAND_MINUTES, outcomes.of[mine, matchings[:, q]], about
        for probe in ohms.probes:
            about = group if whole else group[:, p]
            told = outcomes.of[mine, ohms.point(probe)]
            yield name, probe, minutes_of(ohms, probe), told, about


def minutes_of(ohms: DeadOhms, probe: str) -> float:
    """Minutes that a check between a loose end and a terminal, or earth, takes."""
    if probe == EARTH:
        return AT_HAND_MINUTES
    part = ohms.off.unit.part(probe.partition(".")[0])
    return _MINUTES.get(part.kind, _PLACE_MINUTES[part.place])


def _information(told: IntArray, about: IntArray, share: FloatArray) -> float:
    """Mutual information in bits: H(told) + H(about) - H(both)."""
    both = about * (int(told.max()) + 1) + told
    return _entropy(told, share) + _entropy(about, share) - _entropy(both, share)


def _entropy(values: IntArray, share: FloatArray) -> float:
    _, index = np.unique(values, return_inverse=True)
    p = np.bincount(index, share)
    p = p[p > 0] / p.sum()
    return float(-(p * np.log2(p)).sum())


def _forecast(told: IntArray, share: FloatArray, outcomes: Outcomes) -> tuple[Outcome, ...]:
    p = np.bincount(told, share, len(outcomes.bands))
    chosen = [int(at) for at in np.argsort(-p) if p[at] > 0]
    return tuple(Outcome(*outcomes.bands[at], share=float(p[at])) for at in chosen)
