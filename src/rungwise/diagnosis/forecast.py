"""Which of the common draws are like the unit at hand, as far as its readings tell.

What a suspect would make the next check read depends on this unit's supply volts, its coil's
ohms and so on. The readings so far have narrowed them down; draws that come near are given more
weight within each suspect, the suspects' own probabilities left as they are.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from rungwise.diagnosis.arrays import FloatArray, IntArray
from rungwise.diagnosis.reading_model import Reading, ReadingModel

__all__ = ["draw_weights"]

FEWEST_DRAWS = 0.2  # share of the draws that must keep counting, lest luck decides
STRANGE = 0.7  # a log ratio beyond this is not a tolerance


def draw_weights(
    model: ReadingModel, readings: Sequence[Reading], particle_weight: FloatArray
) -> FloatArray:
    """Weight of each particle's draw, float [N], 1 on average over the draws.

    particle_weight: float [N], the posterior of the particles under these readings.
    """
    tolerances = model.tolerances
    numbers = [reading for reading in readings if model.is_number(reading) and reading.value > 0.0]
    checks = np.array([reading.check for reading in numbers], dtype=np.intp)
    if not len(checks) or not tolerances.loading[checks].any():
        return np.ones(len(particle_weight))
    value = np.array([reading.value for reading in numbers])
    seen, variance = _deviations(model, checks, value, particle_weight)
    precision, mean = _shared(tolerances.loading[checks], seen, variance)
    score = tolerances.score
    off = score - mean
    log_ratio = 0.5 * ((score**2).sum(axis=1) - ((off @ precision) * off).sum(axis=1))
    return _tempered(log_ratio)[tolerances.draw_of]


def _deviations(
    model: ReadingModel, checks: IntArray, value: FloatArray, weight: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Log of each reading over that of a middling unit, mean over the belief, and its variance.

    float [d] each; a reading that no believed particle comes near says nothing: variance inf.
    """
    middle = model.tolerances.middle[:, checks]
    with np.errstate(divide="ignore", invalid="ignore"):
        log = np.log(value / middle)
    near = np.abs(log) <= STRANGE
    share = np.where(near, weight[:, None], 0.0)
    total = share.sum(axis=0)
    safe = np.maximum(total, 1e-12)
    log = np.where(near, log, 0.0)
    mean = (share * log).sum(axis=0) / safe
    doubt = (share * (log - mean) ** 2).sum(axis=0) / safe
    variance = doubt + model.usual_noise[checks] ** 2 + model.tolerances.rest[checks]
    return mean, np.where(total > 0.0, variance / safe, np.inf)


def _shared(
    loading: FloatArray, seen: FloatArray, variance: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Precision [F, F] and mean [F] of the shared deviations, normal with prior N(0, 1)."""
    pull = loading.T / variance
    precision = np.eye(loading.shape[1]) + pull @ loading
    return precision, np.asarray(np.linalg.solve(precision, pull @ seen), dtype=np.float64)


def _tempered(log_ratio: FloatArray) -> FloatArray:
    """Exponentials of the ratios, flattened until enough draws count; float [K], mean 1."""
    low, high = 0.0, 1.0
    for _ in range(12):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if _counting(log_ratio, middle) else (low, middle)
    weight = _weights(log_ratio, 1.0 if _counting(log_ratio, 1.0) else low)
    return weight * len(weight)


def _counting(log_ratio: FloatArray, power: float) -> bool:
    weight = _weights(log_ratio, power)
    return bool(1.0 / (weight @ weight) >= FEWEST_DRAWS * len(weight))


def _weights(log_ratio: FloatArray, power: float) -> FloatArray:
    weight = np.exp(power * (log_ratio - log_ratio.max()))
    return np.asarray(weight / weight.sum())
