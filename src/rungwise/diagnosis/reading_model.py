"""How likely a reading is on every particle.

Meter errors and the model's own error are the same for all suspects; what nobody told of the unit
is integrated by the slopes (see `joint`), and between the severities of a suspect its particles
reach along their tangents.  Nobody reads a meter without slips, so every likelihood keeps a small
broad part: one slip never rules out the truth.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from scipy.special import ndtr

from rungwise.diagnosis.arrays import FloatArray, IntArray, RealArray
from rungwise.diagnosis.cloud import cloud_widths
from rungwise.diagnosis.discrepancy import own_variance, shared_deviations
from rungwise.diagnosis.fault_table import CheckCard, FaultTable
from rungwise.diagnosis.hand_slips import (
    Mistake,
    mistakes,
    named_share,
    slip_densities,
)
from rungwise.diagnosis.joint_likelihood import JointReadings
from rungwise.diagnosis.scale import OVER_RANGE_STEP, ReadingScale
from rungwise.errors import BadQuantity, BadReading
from rungwise.quantity import parse

KEPT = 48  # likelihoods at hand: one reading more asks for all before again


@dataclass(frozen=True, slots=True)
class Doubts:
    """How far readings and the list of suspects are trusted. All are probabilities.

    reading_slip: a number that has nothing to do with the unit (wrong range, lead off, typing).
    choice_slip: the same for a look or a sound.
    none_weight: before any reading, that the culprit is in none of the ways of any part or wire.
        Common practice is not known for any of these; they are cautious guesses.
    none_broad_share: with an unlisted culprit, the share of checks whose reading can be anything;
        the others read what the listed suspects make them read on average.
    misfit_share: of the numbers that say nothing those that read alike when taken again: it is the
        model that is wrong of them.
    """

    reading_slip: float = 0.019
    choice_slip: float = 0.02
    none_weight: float = 0.015
    none_broad_share: float = 0.3
    misfit_share: float = 0.08


@dataclass(frozen=True, slots=True)
class Reading:
    """A check's outcome as taken.

    check: column. value: number in the check's unit (inf for OL), or the number of the choice.
    times: how often it was taken with the same outcome; of looks, more often than with another.
    """

    check: int
    value: float
    times: int = 1


@dataclass(frozen=True, slots=True)
class Labeling:
    """Readings as they may really have been taken.

    mistake: what was taken for something else, None for as told. share: how probable beforehand.
    """

    mistake: Mistake | None
    readings: tuple[Reading, ...]
    share: float


class ReadingModel:
    """Likelihoods of any reading on every particle of a table; built once, used for many calls.

    scale: of every check. z: float [N, M], readings on the scale; NaN where a check cannot be
    made, inf for a sure OL. variance: float [N, M], of meter and model. families: float [M, F],
    slopes by what the model gets wrong in all readings of a quantity, beside those by the
    unknowns. unknown_variance: float [Q, M], what both leave uncertain before any reading.
    tangent: float [N, M].  The large ones in the precision of the table's readings.
    """

    def __init__(self, table: FaultTable, doubts: Doubts | None = None) -> None:
        self.table = table
        self.doubts = doubts or Doubts()
        self.scale = ReadingScale.of(table)
        self.z = _on_scale(table, self.scale)
        self.families = shared_deviations(table.checks)
        self.variance: RealArray = _variance(table, self.scale)
        if table.tangent is None:
            self.tangent: RealArray = np.zeros(self.z.shape, dtype=np.float32)
            z, variance = _double(self.z), _double(self.variance)
            self.variance = variance + cloud_widths(table.suspect_of, z, variance) ** 2
        else:
            self.tangent = table.tangent
        self.unknown_variance: FloatArray = table.slopes.variance() + (self.families**2).sum(axis=1)
        self.mistakes = mistakes(table.checks)
        # Kept by each model for itself: a cache on the class would hold every unit's arrays for
        # good.
        self._joint_kept = lru_cache(KEPT)(self._joint)
        self._alone_kept = lru_cache(KEPT)(self._alone)

    def reading(self, check_id: str, value: float | str) -> Reading:
        """What was typed, as a `Reading`.

        Raises `UnknownName` for the check, `BadReading` for a value it cannot have.
        """
        at = self.table.check_index(check_id)
        card = self.table.checks[at]
        return Reading(at, _choice(card, value) if card.form == "choice" else _number(card, value))

    def slip(self, reading: Reading) -> float:
        """Probability that a reading says nothing; it shrinks when taken again alike.

        A number that was read twice is no slip, and may still be one that the model is wrong of.
        """
        if self.table.checks[reading.check].form == "choice":
            return float(self.doubts.choice_slip**reading.times)
        once = self.doubts.reading_slip
        return float(once * max(once ** (reading.times - 1), self.doubts.misfit_share))

    def wild(self, reading: Reading) -> float:
        """Likelihood of a reading that may be anything: density on the scale, or mass."""
        card = self.table.checks[reading.check]
        if card.form == "choice":
            return 1.0 / len(card.choices)
        if np.isposinf(reading.value):
            return float(self.scale.over_range[reading.check])
        return self.scale.wild(reading.check)

    def log_likelihood(self, readings: Sequence[Reading]) -> FloatArray:
        """Log likelihood of several readings together on every particle, float [N], nats.

        Summed over what may have been taken for what (`labelings`). Meter readings are taken
        together (see `JointReadings`), as densities on the scale; OL and choices go for
        themselves: (1 - slip) core + slip wild, where the core is a mass for OL or the probability
        of the choice, and wild where the check cannot be made on a particle.
        """
        ways = [
            np.log(each.share) + self.log_as(each.readings) for each in self.labelings(readings)
        ]
        return np.asarray(np.logaddexp.reduce(ways, axis=0))

    def labelings(self, readings: Sequence[Reading]) -> tuple[Labeling, ...]:
        """The readings as they were told, and with each mistake made."""
        found = []
        for each in self.mistakes:
            moved = [at for at in readings if each.moves(at.check)]
            if moved:
                really = [replace(at, check=each.of.get(at.check, at.check)) for at in readings]
                share = each.share ** min(at.times for at in moved)
                found.append(Labeling(each, tuple(really), share))
        as_told = 1.0 - sum(each.share for each in found)
        return (Labeling(None, tuple(readings), as_told), *found)

    def log_as(self, readings: Sequence[Reading]) -> FloatArray:
        """Log likelihood of readings as they are told, float [N], nats."""
        total = np.zeros(self.table.particles)
        joint = self.joint(readings)
        if joint is not None:
            total += joint.log_likelihood
        for reading in readings:
            if not self.is_number(reading):
                total += self._alone_kept(reading)
        return total

    def joint(self, readings: Sequence[Reading]) -> JointReadings | None:
        """The numbers among some readings, taken together; None without one."""
        numbers = tuple(reading for reading in readings if self.is_number(reading))
        return self._joint_kept(numbers) if numbers else None

    def log_alone(self, reading: Reading) -> FloatArray:
        """Log likelihood of one reading by itself, float [N], nats."""
        return self.log_likelihood([reading])

    def agree(self, one: Reading, other: Reading) -> bool:
        """Whether two takes of one check are the same within three meter errors."""
        if self.table.checks[one.check].form == "choice" or not np.isfinite(one.value):
            return one.value == other.value
        z = self.scale.of_reading(one.check, np.array([one.value, other.value]))
        stretch = self.scale.stretch(one.check, one.value)
        sd = self.meter_sd(one.check, one.value) * float(stretch)
        # The difference of two takes has √2 times the error of one.
        return bool(abs(z[0] - z[1]) <= 3.0 * np.sqrt(2.0) * sd)

    def meter_sd(self, check: int, value: float) -> float:
        """Meter error at a reading, one sigma, in the check's unit."""
        reading, sd = self.table.reading[:, check], self.table.reading_sd[:, check]
        finite = np.flatnonzero(np.isfinite(reading))
        if not len(finite):
            return 1.0
        order = finite[np.argsort(reading[finite])]
        return float(np.interp(value, reading[order], sd[order]))

    def is_number(self, reading: Reading) -> bool:
        """Whether it is a number on a meter, and not OL or a choice."""
        form = self.table.checks[reading.check].form
        return form == "number" and bool(np.isfinite(reading.value))

    def spread(self, checks: IntArray) -> FloatArray:
        """Standard deviation on the scale of each reading before any other, float [N, d]."""
        unknown = self.unknown_variance[:, checks][self.table.slope_of]
        severity = _double(self.tangent[:, checks]) ** 2
        variance = _double(self.variance[:, checks]) + unknown + severity
        return np.asarray(np.sqrt(variance))

    def basis(self, checks: IntArray) -> FloatArray:
        """Slopes of some checks by the unknowns and by the families, float [Q, d, U]."""
        slope, families = self.table.slopes.full(checks), self.families[checks]
        alike = np.broadcast_to(families, (len(slope), *families.shape))
        return np.concatenate([slope, alike], axis=2)

    def _joint(self, numbers: tuple[Reading, ...]) -> JointReadings:
        checks = np.array([reading.check for reading in numbers], dtype=np.intp)
        z = self.scale.of_reading(checks, np.array([reading.value for reading in numbers]))
        anything = np.array([self.wild(reading) for reading in numbers])
        return JointReadings(
            value=z,
            middle=_double(self.z[:, checks]),
            variance=_double(self.variance[:, checks]),
            basis=self.basis(checks),
            follows=self.table.slope_of,
            tangent=_double(self.tangent[:, checks]),
            slip=np.array([self.slip(reading) for reading in numbers]),
            wild=self._slipped(checks, z, anything),
        )

    def _slipped(self, checks: IntArray, z: FloatArray, anything: FloatArray) -> FloatArray:
        """Density of each number as a slip on every particle, float [N, d]."""
        named = self._off_by(checks, z).sum(axis=0)
        return np.asarray((1.0 - named_share(_double(self.z[:, checks]))) * anything + named)

    def _off_by(self, checks: IntArray, z: FloatArray) -> FloatArray:
        """Density of each number as a slip of each way of `OFF_BY`, float [ways, N, d]."""
        return slip_densities(_double(self.z[:, checks]), self.spread(checks), z)

    def slip_shares(self, reading: Reading) -> FloatArray:
        """Of a number as a slip, the share of each way of `OFF_BY`, float [ways, N]."""
        checks = np.array([reading.check])
        z = self.scale.of_reading(checks, np.array([reading.value]))
        whole = self._slipped(checks, z, np.array([self.wild(reading)]))
        return np.asarray((self._off_by(checks, z) / whole)[:, :, 0])

    def _alone(self, reading: Reading) -> FloatArray:
        slip, wild = self.slip(reading), self._wild_alone(reading)
        with np.errstate(divide="ignore"):
            return np.asarray(np.log((1.0 - slip) * self._mass(reading, wild) + slip * wild))

    def _wild_alone(self, reading: Reading) -> FloatArray:
        """Chance of OL or of a choice as a slip on every particle, float [N]."""
        wild = np.full(self.table.particles, self.wild(reading))
        if self.table.checks[reading.check].form == "choice":
            return wild
        return np.asarray((1.0 - named_share(_double(self.z[:, reading.check]))) * wild)

    def _mass(self, reading: Reading, wild: FloatArray) -> FloatArray:
        """Probability of OL or of a choice on every particle, float [N]."""
        at = reading.check
        if self.table.checks[at].form == "choice":
            return _double(self.table.choice_probability[at][:, int(reading.value)])
        z, top = _double(self.z[:, at]), self.scale.top[at]
        if not np.isfinite(top):
            return np.where(np.isnan(z), wild, np.isposinf(z).astype(np.float64))
        over = ndtr((z - top) / self.spread(np.array([at]))[:, 0])
        return np.where(np.isnan(z), wild, over)


def _double(array: RealArray) -> FloatArray:
    return array.astype(np.float64)


def _on_scale(table: FaultTable, scale: ReadingScale) -> RealArray:
    """Readings on the scale; an open circuit lies beyond the top of a meter that has one."""
    z = np.arcsinh(table.reading / scale.floor)
    beyond = np.broadcast_to(scale.top + OVER_RANGE_STEP, z.shape)
    return np.where(np.isposinf(z), beyond, z).astype(table.reading.dtype)


def _variance(table: FaultTable, scale: ReadingScale) -> RealArray:
    """Of meter, model and what only one check sees, on the scale; float [N, M]."""
    finite = np.isfinite(table.reading)
    reading = np.where(finite, table.reading, np.where(np.isnan(table.reading), 0.0, OPEN_OHM))
    # An open circuit gets the ohms of its order of magnitude: infinite ohms would have no stretch,
    # and with it no error at the end of the range.
    stretch = 1.0 / np.hypot(reading, scale.floor)
    meter = np.where(finite, table.reading_sd * stretch, OVER_RANGE_SHARE)
    # What floats may read anything; a deviation beyond the whole scale would leave to each reading
    # on it less than a wild one has, and speak for a culprit that is not listed.
    meter = np.minimum(meter, WIDEST * (scale.high - scale.low))
    own = own_variance(table.checks, reading, stretch)
    whole = meter**2 + own + table.own[table.slope_of] + TINY
    return np.asarray(whole.astype(table.reading.dtype))


OPEN_OHM = 1e9
"""What an open circuit is taken for where only its order of magnitude counts."""

WIDEST = 0.5
"""Largest deviation of a meter, as a share of the scale on which wild readings lie."""

OVER_RANGE_SHARE = 0.05
"""Error of an ohmmeter at the end of its range, as a share of the reading."""

TINY = 1e-12
"""So that a reading that nothing makes uncertain still has a density."""


def _choice(card: CheckCard, value: float | str) -> float:
    found = card.choice(str(value))
    if found is not None:
        return float(card.choices.index(found))
    raise BadReading(
        what=f"{card.title}: {value} is not one of the answers.",
        key=card.id,
        value=value,
        allowed=", ".join(card.choices),
    )


def _number(card: CheckCard, value: float | str) -> float:
    if isinstance(value, str):
        try:
            return parse(value, card.unit, what=card.title)
        except BadQuantity as error:
            raise error.retold(BadReading, key=card.id) from error
    number = float(value)
    if np.isnan(number) or np.isneginf(number):
        raise BadReading(
            what=f"{card.title}: {value} is not a meter reading.", key=card.id, value=value
        )
    return number
