"""Likelihood of several meter readings together, on every particle.

Around a particle the readings are normal on the scale: the unknowns move them together by the
slopes of its suspect, the severity moves them along its tangent, meter and model err on top.
Integrating the unknowns gives one covariance, so that what readings share (supply volts, load, a
coil's ohms) is not counted twice, and the first reading that touches an unknown narrows it for
all later ones.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt
from scipy.special import ndtr

from rungwise.diagnosis.arrays import FloatArray, IntArray

UNRELATED = 0.01
"""Chance that this unit's readings are not related as the model has it."""

LOG_2PI = float(np.log(2.0 * np.pi))


@dataclass(frozen=True, eq=False)
class JointReadings:
    """Numbers read by d checks, and what each of n particles makes of them, all on the scale.

    value: float [d]. middle: float [n, d], what the particle reads on a middling unit; NaN where
    the check cannot be made, inf for a sure OL. variance: float [n, d], of meter and model by
    themselves. basis: float [q, d, u], slopes by u unknowns of standard deviation 1; follows:
    int [n], the slopes of each particle. tangent: float [n, d]. slip: float [d], chance that a
    reading is a slip. wild: float [n, d], density of a slip there (or [d], alike on all).
    """

    value: FloatArray
    middle: FloatArray
    variance: FloatArray
    basis: FloatArray
    follows: IntArray
    tangent: FloatArray
    slip: FloatArray
    wild: FloatArray

    @cached_property
    def made(self) -> npt.NDArray[np.bool_]:
        """Which readings the particle foretells as a number, bool [n, d]."""
        return np.isfinite(self.middle)

    @cached_property
    def off(self) -> FloatArray:
        """Reading less what the particle foretells, float [n, d]; 0 where it foretells none."""
        return np.where(self.made, self.value - np.where(self.made, self.middle, 0.0), 0.0)

    @cached_property
    def covariance(self) -> FloatArray:
        """Of the readings around each particle, float [n, d, d]; 1 by itself where not made."""
        unknown = np.einsum("qiu,qju->qij", self.basis, self.basis, optimize=True)
        whole = unknown[self.follows] + self.tangent[:, :, None] * self.tangent[:, None, :]
        # A reading that the particle does not foretell keeps its row, tied to no other, of variance
        # 1 and off by 0: so it adds nothing to square or determinant, and all particles keep one
        # shape.
        whole *= self.made[:, :, None] & self.made[:, None, :]
        at = np.arange(len(self.value))
        whole[:, at, at] += np.where(self.made, self.variance, 1.0)
        return np.asarray(whole)

    @cached_property
    def precision(self) -> FloatArray:
        """Inverse of the covariance, float [n, d, d]."""
        # The inverse itself and not a factor of it: its diagonal gives each reading given all
        # others. It is small (a call's readings) and never singular, for meter and model stand on
        # the diagonal.
        return np.asarray(np.linalg.inv(self.covariance))

    @cached_property
    def pull(self) -> FloatArray:
        """Precision times what the readings are off, float [n, d]."""
        return np.asarray(np.einsum("nij,nj->ni", self.precision, self.off))

    @cached_property
    def log_all(self) -> FloatArray:
        """Log density of all readings that the particle foretells, without a slip, float [n]."""
        # As a log: the product of many readings' variances (1e-12 at the least) may underflow.
        _, log_det = np.linalg.slogdet(self.covariance)
        size = self.made.sum(axis=1)
        quadratic = (self.pull * self.off).sum(axis=1)
        return np.asarray(-0.5 * (quadratic + log_det + size * LOG_2PI))

    @cached_property
    def log_given(self) -> FloatArray:
        """Log density of each reading given the others, float [n, d]; 0 where not foretold.

        Leaving one out of a normal density divides it by a normal one of variance 1 / P_ii about
        y_i - (P r)_i / P_ii.
        """
        own = np.einsum("nii->ni", self.precision)
        log = -0.5 * (self.pull**2 / own + LOG_2PI - np.log(own))
        return np.where(self.made, log, 0.0)

    @cached_property
    def log_slip_odds(self) -> FloatArray:
        """Log odds that each reading is a slip and the others are none, float [n, d]."""
        odds = _log(self.slip * self.wild / (1.0 - self.slip)) - self.log_given
        return np.where(self.made, odds, -np.inf)

    @cached_property
    def log_unmade(self) -> FloatArray:
        """Log likelihood of readings where the particle foretells no number, float [n].

        Where the check cannot be made the reading says nothing; where OL is sure it is a slip.
        """
        sure_ol = np.isposinf(self.middle)
        log = np.where(sure_ol, _log(self.slip * self.wild), _log(self.wild))
        return np.asarray(np.where(self.made, 0.0, log).sum(axis=1))

    @cached_property
    def log_together(self) -> FloatArray:
        """Log likelihood with at most one slip among the readings, float [n]."""
        # Only none or one slip: with a chance of about 0.015 each, two at once are left to the
        # share of readings that go each for itself, which costs one pass in place of one for every
        # pair.
        one_slip = np.logaddexp(0.0, np.logaddexp.reduce(self.log_slip_odds, axis=1))
        right = np.where(self.made, np.log1p(-self.slip), 0.0).sum(axis=1)
        return np.asarray(right + self.log_all + one_slip + self.log_unmade)

    @cached_property
    def log_apart(self) -> FloatArray:
        """Log likelihood of each reading by itself, slips and all, float [n, d]."""
        width = np.einsum("nii->ni", self.covariance)
        # Far out this underflows to 0, as it should: the slip beside it then carries the sum, so
        # that no reading ever rules a particle out for good.
        core = np.exp(-0.5 * (self.off**2 / width + LOG_2PI + np.log(width)))
        core = np.where(self.made, core, np.where(np.isnan(self.middle), self.wild, 0.0))
        return _log((1.0 - self.slip) * core + self.slip * self.wild)

    @cached_property
    def log_likelihood(self) -> FloatArray:
        """Log likelihood of all readings on every particle, float [n], nats.

        Every particle keeps `UNRELATED` of the likelihood of readings taken each for itself: so
        more than one slip is allowed for, and a unit that is built otherwise.
        """
        if len(self.value) == 1:
            return np.asarray(self.log_apart[:, 0])
        apart = self.log_apart.sum(axis=1)
        # A normal density falls with the square of the misfit, so that one correlation that this
        # unit does not have would outweigh every other reading; the floor caps what it can say.
        both = np.logaddexp(np.log1p(-UNRELATED) + self.log_together, np.log(UNRELATED) + apart)
        return np.asarray(both)

    @cached_property
    def log_steps(self) -> FloatArray:
        """Log likelihood of each reading given those before it, slips and all, float [n, d]."""
        # Triangular: solving with it leaves of each reading what those before it do not foretell.
        root = np.linalg.cholesky(self.covariance)
        step = np.linalg.solve(root, self.off[:, :, None])[:, :, 0]
        core = np.exp(-0.5 * (step**2 + LOG_2PI)) / np.einsum("nii->ni", root)
        core = np.where(self.made, core, np.where(np.isnan(self.middle), self.wild, 0.0))
        return _log((1.0 - self.slip) * core + self.slip * self.wild)

    @cached_property
    def log_given_or_slip(self) -> FloatArray:
        """Log likelihood of each reading given all others, slips and all, float [n, d]."""
        core = np.where(self.made, np.exp(self.log_given), 0.0)
        core = np.where(np.isnan(self.middle), self.wild, core)
        return _log((1.0 - self.slip) * core + self.slip * self.wild)

    @cached_property
    def tails(self) -> FloatArray:
        """Chance of a reading as far off as this or further, given the others, float [n, d]."""
        own = np.einsum("nii->ni", self.precision)
        return np.where(self.made, 2.0 * ndtr(-np.abs(self.pull) / np.sqrt(own)), 1.0)

    @cached_property
    def sound(self) -> FloatArray:
        """Pull of the readings on what they share with others, slips left out, float [n, d].

        A reading that is likelier a slip moves nothing, nor does what the others would have to make
        up for it: without reading j the pull is P r - P_j (P r)_j / P_jj.
        """
        none_or_one = np.logaddexp(0.0, np.logaddexp.reduce(self.log_slip_odds, axis=1))
        slipped = np.exp(self.log_slip_odds - none_or_one[:, None])
        lost = slipped * self.pull / np.einsum("nii->ni", self.precision)
        return np.asarray(self.pull - np.einsum("nij,nj->ni", self.precision, lost))


def _log(likelihood: FloatArray) -> FloatArray:
    # The log of 0 is meant: minus infinity, a thing that cannot be. It is no mishap to warn of.
    with np.errstate(divide="ignore"):
        return np.asarray(np.log(likelihood))
