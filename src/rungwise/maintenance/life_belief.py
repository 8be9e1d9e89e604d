"""How long parts of one way last, as believed from all parts of the shop and their readings.

A grid over Weibull shape and scale carries the belief. A failed part speaks by its density, a part
that runs or was taken out by the lives that are still open to it, weighed by what its readings say.
So a part that is replaced because it looked worn is not taken for one that would have lasted.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache, cached_property

import numpy as np

from rungwise.maintenance.interval import LEVEL, Interval, ends_of
from rungwise.parts import FloatArray

EDGES_Y = np.concatenate([[0.0], np.geomspace(0.05, 160.0, 420)])
"""Edges of the bins of possible lives, in years; beyond the last counts as the last."""

MIDDLES_Y = 0.5 * (EDGES_Y[1:] + EDGES_Y[:-1])

_SHAPES = np.geomspace(0.6, 9.0, 28)
_SCALES = np.geomspace(2.0, 250.0, 56)

SHAPE_SD, SCALE_SD = 0.35, 0.6
"""How far the start life may be off, as standard deviations of the logs of shape and scale."""


@dataclass(frozen=True, eq=False)
class LifeEvidence:
    """What one part says: watched from `entry_y` to `exit_y`, where it `failed` this way.

    told: log-likelihood of its readings for each of `MIDDLES_Y`, or None without readings.
    """

    entry_y: float
    exit_y: float
    failed: bool
    told: FloatArray | None = None

    @cached_property
    def open_lives(self) -> FloatArray:
        """Weight of each bin of lives beyond the exit, readings included; largest is 1."""
        told = np.zeros_like(MIDDLES_Y) if self.told is None else self.told
        beyond = share_of_bins(self.exit_y, EDGES_Y[-1])
        held = np.where(beyond > 0.0, told, -np.inf)
        return np.asarray(beyond * np.exp(held - held.max()))


@dataclass(frozen=True, eq=False)
class Ahead:
    """Lives that a part of age `exit_y` may still have: chance of each bin, beyond its age."""

    exit_y: float
    lives: FloatArray

    def outlives(self, ahead_y: FloatArray) -> FloatArray:
        """Chance that it outlives each of `ahead_y` further years of its own time."""
        # Of the bin that holds the exit only the part beyond it is open, and is told as if whole.
        beyond = share_of_bins(self.exit_y, EDGES_Y[-1])
        whole = self.lives / np.where(beyond > 0.0, beyond, 1.0)
        dead = np.concatenate([[0.0], np.cumsum(whole)])
        since = np.interp(self.exit_y + np.asarray(ahead_y), EDGES_Y, dead)
        return np.asarray(np.clip(1.0 - since + np.interp(self.exit_y, EDGES_Y, dead), 0.0, 1.0))

    def chance(self, ahead_y: float) -> float:
        """Chance that it fails within the next `ahead_y` years of its own time."""
        return float(1.0 - self.outlives(np.array([ahead_y]))[0])

    def remaining_y(self, level: float = LEVEL) -> Interval:
        """Years of its own time until it fails this way."""
        reached = np.concatenate([[0.0], np.cumsum(self.lives)])

        def when(share: float) -> float:
            return max(float(np.interp(share, reached, EDGES_Y)) - self.exit_y, 0.0)

        return ends_of(when, level)


@dataclass(frozen=True, eq=False)
class LifeBelief:
    """Weights over the grid, `weight` of shape (shapes x scales, flat), summing to 1."""

    weight: FloatArray
    failures: int

    def __reduce__(self) -> tuple[type[LifeBelief], tuple[FloatArray, int]]:
        """A copy in another process goes without what can be worked out again."""
        return LifeBelief, (self.weight, self.failures)

    def shape(self, level: float = LEVEL) -> Interval:
        """The Weibull shape."""
        return _interval(self._grid.sum(axis=1), _SHAPES, level)

    def scale_y(self, level: float = LEVEL) -> Interval:
        """The Weibull scale in years."""
        return _interval(self._grid.sum(axis=0), _SCALES, level)

    def ahead(self, part: LifeEvidence) -> Ahead:
        """What is to come for a part that runs, all its own evidence used once."""
        weight, masses = self._likely
        own = masses @ part.open_lives
        # The weights already hold this part's word, so it is taken out before it speaks again.
        others = np.where(own > 1e-200, weight / np.maximum(own, 1e-200), 0.0)
        lives = (others @ masses) * part.open_lives
        return Ahead(part.exit_y, np.asarray(lives / lives.sum()))

    def survival(self, ages_y: FloatArray) -> FloatArray:
        """Chance that a new part reaches each age (years of its own time)."""
        return np.asarray(1.0 - np.interp(ages_y, EDGES_Y, self._reached))

    @cached_property
    def _reached(self) -> FloatArray:
        """Chance that a new part fails before each edge."""
        return np.concatenate([[0.0], np.cumsum(self.weight @ _masses())])

    @cached_property
    def _likely(self) -> tuple[FloatArray, FloatArray]:
        """Weights and masses of the grid points that hold all but a millionth of the belief."""
        order = np.argsort(-self.weight)
        kept = order[: int(np.searchsorted(np.cumsum(self.weight[order]), 1.0 - 1e-6)) + 1]
        return self.weight[kept], _masses()[kept]

    @property
    def _grid(self) -> FloatArray:
        return self.weight.reshape(len(_SHAPES), len(_SCALES))


def believe(parts: Sequence[LifeEvidence], *, shape: float, scale_y: float) -> LifeBelief:
    """The belief after all parts, starting round `shape` and `scale_y`."""
    k, scale = (each.ravel() for each in np.meshgrid(_SHAPES, _SCALES, indexing="ij"))
    told = -0.5 * (np.log(k / shape) / SHAPE_SD) ** 2
    told -= 0.5 * (np.log(scale / scale_y) / SCALE_SD) ** 2
    entry, out = (
        (np.array(ages)[:, None] / scale) ** k
        for ages in ([p.entry_y for p in parts], [p.exit_y for p in parts])
    )
    told += (entry - out).sum(axis=0)
    for part in parts:
        if part.failed:
            told += np.log(k / scale) + (k - 1.0) * np.log(part.exit_y / scale)
    running = [
        number for number, part in enumerate(parts) if part.told is not None and not part.failed
    ]
    if running:
        left = _masses() @ np.array([parts[number].open_lives for number in running]).T
        # The chance of reaching the exit is counted above, so only what comes after it is left.
        beyond = np.log(np.maximum(left, 1e-300)) + out[running].T
        told += np.minimum(beyond, 0.0).sum(axis=1)
    weight = np.exp(told - told.max())
    return LifeBelief(np.asarray(weight / weight.sum()), sum(part.failed for part in parts))


def share_of_bins(low_y: float, high_y: float) -> FloatArray:
    """Share of each bin of lives that lies between two ages."""
    inside = np.minimum(EDGES_Y[1:], high_y) - np.maximum(EDGES_Y[:-1], low_y)
    return np.asarray(np.maximum(inside, 0.0) / np.diff(EDGES_Y))


@cache
def _masses() -> FloatArray:
    """Chance of each bin of lives under each point of the grid."""
    k, scale = (each.ravel()[:, None] for each in np.meshgrid(_SHAPES, _SCALES, indexing="ij"))
    reached = np.exp(-((EDGES_Y / scale) ** k))
    reached[:, -1] = 0.0
    return np.asarray(reached[:, :-1] - reached[:, 1:])


def _interval(weight: FloatArray, values: FloatArray, level: float) -> Interval:
    """Quantiles over a grid, each point's weight spread evenly (in logs) to its neighbours."""
    middle = np.cumsum(weight) - 0.5 * weight
    return ends_of(lambda q: float(np.exp(np.interp(q, middle, np.log(values)))), level)
