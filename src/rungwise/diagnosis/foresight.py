"""What checks would read on the unit at hand, as far as its readings so far tell.

Each reading narrows the unknowns that it follows; through them it moves and narrows what every
other check is expected to read, particle by particle.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from rungwise.diagnosis import foretold
from rungwise.diagnosis.arrays import FloatArray, IntArray
from rungwise.diagnosis.joint_likelihood import JointReadings
from rungwise.diagnosis.reading_model import Reading, ReadingModel

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
        columns = np.arange(len(model.table.checks)) if checks is None else checks
        # A copy of some columns, none of all: this is what each step of a call waits for.
        some = slice(None) if checks is None else columns
        z, variance, tangent = model.z[:, some], model.variance[:, some], model.tangent[:, some]
        prior = model.unknown_variance[:, some]
        joint, follows = model.joint(readings), model.table.slope_of
        rows = np.asarray(rows, dtype=np.intp)
        cells = foretold.Cells(rows, z, variance, tangent, follows, prior)
        mean, sd = np.empty((len(rows), len(columns))), np.empty((len(rows), len(columns)))
        learned = _nothing(cells) if joint is None else _learned(model, joint, cells, columns)
        foretold.foretell(cells, learned, mean, sd)
        return cls(model, rows, columns, mean, sd)


def _nothing(cells: foretold.Cells) -> foretold.Learned:
    """What is known before any reading."""
    size, checks = len(cells.rows), cells.prior.shape[1]
    return foretold.Learned(
        place=np.zeros(len(cells.prior), dtype=np.intp),
        shared=np.zeros((1, 0, checks)),
        told=np.zeros((1, checks)),
        sound=np.zeros((size, 0)),
        shift=np.zeros(size),
        left=np.ones(size),
    )


def _learned(
    model: ReadingModel, joint: JointReadings, cells: foretold.Cells, checks: IntArray
) -> foretold.Learned:
    """What the readings tell of each particle: through the unknowns, and of its severity."""
    slopes, rows = model.table.slopes, cells.rows
    # All particles with the same slopes foretell the same readings as numbers.
    some, first = np.unique(cells.follows[rows], return_index=True)
    made = joint.made[rows]
    shared, told = foretold.shared_by(
        foretold.Slopes(slopes.unknown, slopes.by, model.families),
        np.asarray(checks, dtype=np.intp),
        some,
        joint.basis[some] * made[first][:, :, None],
        joint.precision[rows[first]],
    )
    place = np.zeros(len(cells.prior), dtype=np.intp)
    place[some] = np.arange(len(some))
    sound = joint.sound[rows]
    shift = (sound * joint.tangent[rows] * made).sum(axis=1)
    return foretold.Learned(place, shared, told, sound, shift, _severity_left(joint, rows))


def _severity_left(joint: JointReadings, rows: IntArray) -> FloatArray:
    """Variance left of the severity around each particle, float [n]."""
    tangent = joint.tangent[rows] * joint.made[rows]
    told = np.einsum("ni,nij,nj->n", tangent, joint.precision[rows], tangent)
    return np.asarray(np.clip(1.0 - told, 0.0, 1.0))
