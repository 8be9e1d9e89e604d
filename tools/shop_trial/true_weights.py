"""The true weights of the faults in one simulated shop.

Each part in the shop's care ran through a stretch of its life, and so through a known cumulative
hazard of each way. Their sums are the expected calls, given the parts that stood there; a cause's
true weight is its part of them, per thousand. No estimate is in it, and no luck but the parts'.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from itertools import pairwise

import numpy as np

from rungwise.parts import FloatArray
from shop_trial.shop import SimShop, SimUnit
from shop_trial.truth import SLOTS, TruePart

AGES_Y = (0.0, 5.0, 10.0, 15.0, 1000.0)


def true_weights(shop: SimShop) -> Mapping[tuple[str, str], FloatArray]:
    """Calls per thousand by cause: one value for each age band of the units, then over all."""
    sums: dict[tuple[str, str], FloatArray] = defaultdict(lambda: np.zeros(len(AGES_Y) - 1))
    for unit in shop.units:
        for band, start, end in _stretches(unit, shop.time_y):
            for (kind, mode), rate in shop.truth.flat.items():
                sums[kind, mode][band] += rate * (end - start)
            for part in unit.parts():
                _add(sums, shop, part, band, (start, end))
    every = np.sum(list(sums.values()), axis=0)
    return {
        cause: 1000.0 * np.append(row / every, row.sum() / every.sum())
        for cause, row in sums.items()
    }


def _stretches(unit: SimUnit, until_y: float) -> Iterator[tuple[int, float, float]]:
    """Band and times of the stretches of a unit's years in care."""
    for band, (low, high) in enumerate(pairwise(AGES_Y)):
        start = max(unit.installed_y + low, 0.0)
        end = min(unit.installed_y + high, until_y)
        if start < end:
            yield band, start, end


def _add(
    sums: dict[tuple[str, str], FloatArray],
    shop: SimShop,
    part: TruePart,
    band: int,
    stretch: tuple[float, float],
) -> None:
    start = max(stretch[0], part.watched_y)
    end = min(stretch[1], shop.time_y if part.out_y is None else part.out_y)
    if start >= end:
        return
    for way in shop.truth.ends[part.slot]:
        hazard = way.hazard_sum(start - part.born_y, end - part.born_y)
        for mode, share in way.modes.items():
            sums[SLOTS[part.slot][0], mode][band] += share * hazard
