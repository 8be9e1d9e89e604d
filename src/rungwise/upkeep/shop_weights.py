"""Weights of the faults, relearned from the shop's own closed calls.

A cause, a fault mode of a part kind, is counted among the calls of each age band. Counts are
Poisson with gamma beliefs on three storeys, each shrunk to the one above it: start weight, the
shop's weight over all ages, the weight of the band. How hard is learned from how the counts
scatter (`gamma_rate.strength_of`). A band's own calls are left out of what it is shrunk to.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import inf

import numpy as np

from rungwise.suspects.suspect_set import SuspectSet
from rungwise.unit.element import FloatArray
from rungwise.unit.kinds import KINDS
from rungwise.unit.unit import Unit
from rungwise.upkeep.gamma_rate import GammaRate, strength_of
from rungwise.upkeep.history import ClosedCall
from rungwise.upkeep.interval import LEVEL, Interval

__all__ = ["BANDS_Y", "Cause", "ShopWeights", "learn_weights", "start_weights"]

Cause = tuple[str, str]
"""A part kind and one of its fault modes."""

BANDS_Y = (0.0, 5.0, 10.0, 15.0, inf)
"""Edges of the age bands of a unit, in years."""

PER = 1000.0
"""Weights are parts per thousand of calls."""


@dataclass(frozen=True)
class ShopWeights:
    """Learned weights: over all ages, and by band; counts by cause and band; calls by band."""

    start: Mapping[Cause, float]
    overall: Mapping[Cause, GammaRate]
    banded: Mapping[Cause, tuple[GammaRate, ...]]
    counts: Mapping[Cause, tuple[int, ...]]
    calls: tuple[int, ...]

    def weight(self, cause: Cause, age_y: float | None = None) -> float:
        """Expected calls with this cause per thousand; at the unit's age, if that is known."""
        return self._rate(cause, age_y).mean * PER

    def interval(self, cause: Cause, age_y: float | None = None, level: float = LEVEL) -> Interval:
        """The weight with its interval."""
        rate = self._rate(cause, age_y).interval(level)
        return Interval(rate.low * PER, rate.middle * PER, rate.high * PER, level)

    def for_unit(self, unit: Unit, age_y: float | None = None) -> dict[str, float]:
        """Weights by suspect id, as `SuspectSet` takes them: start weights times what was learned.

        Suspects that no part kind has (a swapped pair of wires, a cause with its effect) keep
        their start weights.
        """
        found = {}
        kinds = {part.name: part.kind for part in unit.parts}
        for each in SuspectSet(unit).suspects:
            cause = (kinds.get(each.block, ""), each.mode)
            if cause in self.start:
                found[each.id] = each.weight * self.weight(cause, age_y) / self.start[cause]
        return found

    def _rate(self, cause: Cause, age_y: float | None) -> GammaRate:
        if age_y is None:
            return self.overall[cause]
        return self.banded[cause][band_of(age_y)]


def start_weights() -> dict[Cause, float]:
    """The start weights of every fault mode of every part kind, from the kinds themselves."""
    return {(name, mode.name): mode.weight for name, kind in KINDS.items() for mode in kind.modes}


def band_of(age_y: float) -> int:
    """The number of the age band, from 0."""
    return max(int(np.searchsorted(BANDS_Y, age_y, side="right")) - 1, 0)


def learn_weights(start: Mapping[Cause, float], calls: Sequence[ClosedCall]) -> ShopWeights:
    """The weights after the calls. A call whose cause is not in ``start`` counts only as a call."""
    bands = np.array([band_of(call.age_y) for call in calls], int)
    exposure = np.bincount(bands, minlength=len(BANDS_Y) - 1).astype(float)
    counts = {cause: np.zeros(len(exposure)) for cause in start}
    for call, band in zip(calls, bands, strict=True):
        if (call.kind, call.mode) in counts:
            counts[call.kind, call.mode][band] += 1
    table = np.array(list(counts.values())).reshape(len(start), len(exposure))
    overall, banded = _learned(np.array(list(start.values())) / PER, table, exposure)
    return ShopWeights(
        dict(start),
        dict(zip(start, overall, strict=True)),
        dict(zip(start, banded, strict=True)),
        {cause: tuple(int(n) for n in row) for cause, row in counts.items()},
        tuple(int(n) for n in exposure),
    )


def _learned(
    start: FloatArray, table: FloatArray, exposure: FloatArray
) -> tuple[list[GammaRate], list[tuple[GammaRate, ...]]]:
    """Overall and banded rates per call; ``table`` of shape (causes, bands)."""
    counts, calls = table.sum(axis=1), float(exposure.sum())
    firm = strength_of(counts, start * calls) if calls else 1.0
    overall = [
        GammaRate.around(mean, firm).after(float(n), calls)
        for mean, n in zip(start, counts, strict=True)
    ]
    likely = np.array([rate.mean for rate in overall])
    steady = strength_of(table.ravel(), np.outer(likely, exposure).ravel()) if calls else 1.0
    banded = [
        tuple(
            _in_band(GammaRate.around(mean, firm), row, exposure, band, steady)
            for band in range(len(exposure))
        )
        for mean, row in zip(start, table, strict=True)
    ]
    return overall, banded


def _in_band(
    before: GammaRate, row: FloatArray, exposure: FloatArray, band: int, steady: float
) -> GammaRate:
    """One band's rate, shrunk to the other bands' rate, whose own doubt is added to the spread."""
    n, calls = float(row[band]), float(exposure[band])
    others = before.after(float(row.sum()) - n, float(exposure.sum()) - calls)
    shape = 1.0 / (1.0 / others.shape + 1.0 / steady)
    return GammaRate.around(others.mean, shape).after(n, calls)
