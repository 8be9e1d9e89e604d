"""Weights of the faults, relearned from the shop's own closed calls.

A cause, a fault mode of a part kind, is counted among the calls of each age band. Counts are
Poisson with gamma beliefs on three storeys, each shrunk to the one above it: start weight, the
shop's weight over all ages, the weight of the band. How hard is learned from how the counts
scatter (`gamma_rate.strength_of`), for the bands cause by cause. A band's own calls are left out
of what it is shrunk to.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import inf

import numpy as np
from scipy import stats

from rungwise.faults import SuspectSet, first_mode
from rungwise.maintenance.gamma_rate import STRENGTHS, GammaMix, GammaRate, strength_of
from rungwise.maintenance.history import ClosedCall
from rungwise.maintenance.interval import LEVEL, Interval
from rungwise.maintenance.ways import way_of, wear_of
from rungwise.parts import KINDS, FloatArray
from rungwise.unit import Unit

Cause = tuple[str, str]
"""A part kind and one of its fault modes."""

BANDS_Y = (0.0, 5.0, 10.0, 15.0, inf)
"""Edges of the age bands of a unit, in years."""


@dataclass(frozen=True)
class ShopWeights:
    """Learned weights: over all ages, and by band; counts by cause and band; calls by band."""

    start: Mapping[Cause, float]
    overall: Mapping[Cause, GammaRate]
    banded: Mapping[Cause, tuple[GammaMix, ...]]
    counts: Mapping[Cause, tuple[int, ...]]
    calls: tuple[int, ...]

    def weight(self, cause: Cause, age_y: float | None = None) -> float:
        """The cause's weight on the scale of the start weights; at the unit's age, if known."""
        return self._rate(cause, age_y).mean * self._total

    def interval(self, cause: Cause, age_y: float | None = None, level: float = LEVEL) -> Interval:
        """The weight with its interval."""
        rate = self._rate(cause, age_y).interval(level)
        total = self._total
        return Interval(rate.low * total, rate.middle * total, rate.high * total, level)

    def for_unit(self, unit: Unit, age_y: float | None = None) -> dict[str, float]:
        """Weights by suspect id, as `SuspectSet` takes them: start weights times what was learned.

        A cause with its effect goes with its cause. Suspects that no part kind has (wires on each
        other's terminals) keep their start weights.
        """
        found = {}
        kinds = {block.name: block.kind.name for block in unit.blocks()}
        for each in SuspectSet(unit).suspects:
            cause = (kinds.get(each.block, ""), first_mode(each.mode))
            if cause in self.start:
                found[each.id] = each.weight * self.weight(cause, age_y) / self.start[cause]
        return found

    @property
    def _total(self) -> float:
        """What all start weights come to: a rate is a share of the calls, a weight of this."""
        return sum(self.start.values())

    def _rate(self, cause: Cause, age_y: float | None) -> GammaRate | GammaMix:
        if age_y is None:
            return self.overall[cause]
        return self.banded[cause][band_of(age_y)]


def start_weights(seen: Iterable[str] = ()) -> dict[Cause, float]:
    """The start weights of the fault modes of the part kinds, from the kinds themselves.

    seen: the kinds that the shop has met. A kind that is not usual (`Wear.usual`) counts once it
    was met: else a thousand calls of a shop of split units would be shared with every rooftop unit.
    Of those that stand in each other's place (`Wear.one_of`) only the ones met are taken, or the
    usual one where none was.
    """
    met = frozenset(seen)
    rivals: dict[str, list[str]] = {}
    for kind in KINDS:
        rivals.setdefault(wear_of(kind).one_of or kind, []).append(kind)
    taken = {
        kind
        for kinds in rivals.values()
        for kind in met.intersection(kinds) or [k for k in kinds if wear_of(k).usual][:1]
    }
    return {
        (name, mode.name): mode.weight
        for name, kind in KINDS.items()
        for mode in kind.modes
        if name in taken
    }


def band_of(age_y: float) -> int:
    """The number of the age band, from 0."""
    return max(int(np.searchsorted(BANDS_Y, age_y, side="right")) - 1, 0)


def learn_weights(start: Mapping[Cause, float], calls: Sequence[ClosedCall]) -> ShopWeights:
    """The weights after the calls. A call whose cause is not in `start` counts only as a call."""
    bands = np.array([band_of(call.age_y) for call in calls], int)
    exposure = np.bincount(bands, minlength=len(BANDS_Y) - 1).astype(float)
    counts = {cause: np.zeros(len(exposure)) for cause in start}
    for call, band in zip(calls, bands, strict=True):
        if (call.kind, call.mode) in counts:
            counts[call.kind, call.mode][band] += 1
    table = np.array(list(counts.values())).reshape(len(start), len(exposure))
    likely = np.array(list(start.values())) / sum(start.values())
    overall, banded = _learned(likely, table, exposure, age_pattern(tuple(start), likely, exposure))
    return ShopWeights(
        dict(start),
        dict(zip(start, overall, strict=True)),
        dict(zip(start, banded, strict=True)),
        {cause: tuple(int(n) for n in row) for cause, row in counts.items()},
        tuple(int(n) for n in exposure),
    )


def age_pattern(causes: Sequence[Cause], likely: FloatArray, exposure: FloatArray) -> FloatArray:
    """How a cause's weight goes with age before the shop's calls speak, against its mean.

    Shape (causes, bands). Each cause goes with the mean hazard of its way's start life, held at
    that of a part now and then renewed, 1 / scale. Then rows and columns are scaled in turn until
    each cause has its mean over the calls and each band has calls enough for all causes (iterative
    proportional fitting): where little is worn yet, whatever else there is weighs more.
    """
    ages = np.minimum(BANDS_Y, 20.0)
    ways = [way_of(kind, mode) for kind, mode in causes]
    shape = np.array([[way.shape] for way in ways])
    scale = np.array([[way.scale_y] for way in ways])
    hazard = np.diff((ages / scale) ** shape) / np.diff(ages)
    found = np.minimum(hazard, 1.0 / scale)
    worth = (exposure + 1.0) / (exposure + 1.0).sum()
    for _ in range(20):
        found = found / (found @ worth)[:, None]
        found = found * (likely.sum() / (likely @ found))
    return np.asarray(found)


def _learned(
    start: FloatArray, table: FloatArray, exposure: FloatArray, pattern: FloatArray
) -> tuple[list[GammaRate], list[tuple[GammaMix, ...]]]:
    """Overall and banded rates per call; `table` and `pattern` of shape (causes, bands)."""
    counts, calls = table.sum(axis=1), float(exposure.sum())
    firm = strength_of(counts, start * calls) if calls else 1.0
    before = [GammaRate.around(mean, firm) for mean in start]
    overall = [rate.after(float(n), calls) for rate, n in zip(before, counts, strict=True)]
    likely = np.array([[rate.mean] for rate in overall])
    steady = _steadiness(table, np.maximum(likely * pattern * exposure, 1e-9))
    banded = [
        tuple(_in_bands(rate, row, exposure * each, each, steadiness))
        for rate, row, each, steadiness in zip(before, table, pattern, steady, strict=True)
    ]
    return overall, banded


def _steadiness(table: FloatArray, expected: FloatArray) -> FloatArray:
    """How steady each cause is over the ages: weights over `STRENGTHS`, of shape (causes, them).

    What wears is hardly met on young units, what does not age is met on all alike. So each cause
    is judged by its own counts, every strength being as likely as any other before.
    """
    shape = STRENGTHS[:, None, None]
    told = np.asarray(stats.nbinom.logpmf(table, shape, shape / (shape + expected))).sum(axis=2)
    alike = np.exp(told - told.max(axis=0)).T
    return np.asarray(alike / alike.sum(axis=1, keepdims=True))


def _in_bands(
    before: GammaRate, row: FloatArray, worth: FloatArray, pattern: FloatArray, steady: FloatArray
) -> list[GammaMix]:
    """The rates of all bands of one cause, each shrunk to the other bands' rate and its doubt.

    worth: calls of each band times the pattern, all of shape (bands,).
    """
    found = []
    for n, calls, ratio in zip(row, worth, pattern, strict=True):
        others = before.after(float(row.sum() - n), float(worth.sum() - calls))
        shape = 1.0 / (1.0 / others.shape + 1.0 / STRENGTHS)
        mean = others.mean * ratio
        found.append(GammaMix(steady, shape + n, shape / mean + calls / ratio))
    return found
