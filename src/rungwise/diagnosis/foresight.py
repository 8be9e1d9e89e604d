"""What checks would read on the unit at hand, as far as its readings so far tell.

Each reading narrows the unknowns that it follows; through them it moves and narrows what every
other check is expected to read, particle by particle.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from rungwise.diagnosis.arrays import FloatArray, IntArray
from rungwise.diagnosis.joint_likelihood import JointReadings
from rungwise.diagnosis.reading_model import Reading, ReadingModel

__all__ = ["Foresight", "counting"]

FEW = 400
"""Particles; a smaller belief is taken whole."""

NEGLIGIBLE = 2e-3
"""Of a belief: all particles left out together weigh less than this."""


def counting(weight: FloatArray) -> IntArray:
    """The particles that carry all but a negligible part of a belief; of few, every one."""
    if len(weight) <= FEW:
        return np.arange(len(weight))
    order = np.argsort(-weight, kind="stable")  # of equals the first, on a phone as here
    rise = np.cumsum(weight[order])
    enough = int(np.searchsorted(rise, rise[-1] * (1.0 - NEGLIGIBLE))) + 1
    return np.sort(order[:enough])


@dataclass(frozen=True, eq=False)
class Foresight:
    """Readings foretold, normal on the scale about each particle.

    rows: int [n], the particles. checks: int [m], columns. mean, sd: float [n, m]; the mean is NaN
    where the check cannot be made, inf for a sure OL.
    """

    model: ReadingModel
    rows: IntArray
    checks: IntArray
    mean: FloatArray
    sd: FloatArray

    @classmethod
    def of(
        cls,
        model: ReadingModel,
        readings: Sequence[Reading],
        rows: IntArray,
        checks: IntArray | None = None,
    ) -> Foresight:
        """For some particles and checks (all by default) under these readings."""
        if checks is None:
            checks = np.arange(len(model.table.checks))
        here = np.ix_(rows, checks)
        mean, variance, tangent = (
            array[here].astype(np.float64) for array in (model.z, model.variance, model.tangent)
        )
        follows = model.table.slope_of[rows]
        joint = model.joint(readings)
        prior = model.unknown_variance[:, checks]
        if joint is None:
            return cls(model, rows, checks, mean, np.sqrt(variance + prior[follows] + tangent**2))
        sound, own = joint.sound[rows], joint.tangent[rows] * joint.made[rows]
        mean += (sound * own).sum(axis=1)[:, None] * tangent
        variance += _severity_left(joint, rows)[:, None] * tangent**2
        for q, here_q in _by_slopes(follows):
            row = int(rows[here_q[0]])
            # What the checks share with the readings made, through the unknowns: float [m, d].
            shared = model.shared_with(q, checks, joint.basis[q] * joint.made[row][:, None])
            mean[here_q] += sound[here_q] @ shared.T
            told = ((shared @ joint.precision[row]) * shared).sum(axis=1)
            variance[here_q] += np.maximum(prior[q] - told, 0.0)
        return cls(model, rows, checks, mean, np.sqrt(variance))


def _by_slopes(follows: IntArray) -> list[tuple[int, IntArray]]:
    """Which of the particles follow each slopes."""
    order = np.argsort(follows, kind="stable")
    cuts = np.flatnonzero(np.diff(follows[order])) + 1
    return [(int(follows[part[0]]), part) for part in np.split(order, cuts)]


def _severity_left(joint: JointReadings, rows: IntArray) -> FloatArray:
    """Variance left of the severity around each particle, float [n]."""
    tangent = joint.tangent[rows] * joint.made[rows]
    told = np.einsum("ni,nij,nj->n", tangent, joint.precision[rows], tangent)
    return np.asarray(np.clip(1.0 - told, 0.0, 1.0))
