"""How likely a reading is on every particle.

A particle cloud of some tens of points stands for a continuum, so each particle's reading is
widened by the meter's error, by the unit's tolerances (`tolerance`), and by a kernel as wide as
the gaps that are left in its suspect's own cloud.
Nobody reads a meter without slips, so every likelihood keeps a small broad part: one slip never
rules out the truth.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np

from rungwise.diagnosis.arrays import FloatArray, IntArray
from rungwise.diagnosis.bins import ReadingBins
from rungwise.diagnosis.fault_table import CheckCard, FaultTable
from rungwise.diagnosis.joint import JointReadings
from rungwise.diagnosis.noise_scale import NoiseScale
from rungwise.diagnosis.tolerance import Tolerances
from rungwise.errors import BadQuantity, BadReading
from rungwise.quantity import parse

__all__ = ["Doubts", "Reading", "ReadingModel", "kernel_widths"]

NEIGHBOURS_PER_ROOT = 0.7  # the kernel reaches to the (0.7 √K)-th neighbour of K particles
KERNEL_PER_REACH = 1.5  # the nearer side's reach is short by about this in an even cloud
KEPT = 96  # likelihoods at hand, about 0.1 MB each: one reading more asks for all before again
KERNEL_SHARE_LIMIT = 0.15  # of the reading: no kernel bridges two separate groups of readings


@dataclass(frozen=True, slots=True)
class Doubts:
    """How far readings and the list of suspects are trusted. All are probabilities.

    reading_slip: a number that has nothing to do with the unit (wrong range, lead off, typing).
    choice_slip: the same for a look or a sound.
    none_weight: before any reading, that the culprit is not in the list. Common practice is not
        known for any of these; they are cautious guesses.
    none_broad_share: with an unlisted culprit, the share of checks whose reading can be anything;
        the others read what the listed suspects make them read on average.
    """

    reading_slip: float = 0.01
    choice_slip: float = 0.01
    none_weight: float = 0.005
    none_broad_share: float = 0.5


@dataclass(frozen=True, slots=True)
class Reading:
    """A check's outcome as taken.

    check: column. value: number in the check's unit (inf for OL), or the number of the choice.
    times: how often it was taken with the same outcome.
    """

    check: int
    value: float
    times: int = 1


class ReadingModel:
    """Likelihoods of any reading on every particle of a table; built once, used for many calls."""

    def __init__(self, table: FaultTable, doubts: Doubts | None = None) -> None:
        self.table = table
        self.doubts = doubts or Doubts()
        self.tolerances = Tolerances.of(table)
        kernel = kernel_widths(table, self.tolerances.middle)
        self.noise = np.hypot(table.reading_sd, kernel)
        self._together_kept = lru_cache(KEPT)(self._together)
        self._alone_kept = lru_cache(KEPT)(self._alone)

    def prepare(self) -> None:
        """Work out now what else would be worked out when the first reading is taken."""
        _ = self.bins, self.usual_noise, self._scales

    @cached_property
    def bins(self) -> ReadingBins:
        """The readings in bins, for expected information."""
        width = np.hypot(self.table.reading_sd, kernel_widths(self.table, self.table.reading))
        return ReadingBins.of(self.table, width)

    @cached_property
    def usual_noise(self) -> FloatArray:
        """Relative noise of each check where it reads as on most particles, float [M]."""
        finite = np.isfinite(self.tolerances.middle) & (self.tolerances.middle > 0.0)
        relative = np.ones(self.noise.shape)
        np.divide(self.noise, self.tolerances.middle, out=relative, where=finite)
        return np.asarray(np.median(relative, axis=0))

    @cached_property
    def _scales(self) -> tuple[NoiseScale, ...]:
        table = self.table
        columns = range(len(table.checks))
        return tuple(NoiseScale.of(table.reading[:, m], table.reading_sd[:, m]) for m in columns)

    def reading(self, check_id: str, value: float | str) -> Reading:
        """What was typed, as a `Reading`.

        Raises `UnknownName` for the check, `BadReading` for a value it cannot have.
        """
        at = self.table.check_index(check_id)
        card = self.table.checks[at]
        return Reading(at, _choice(card, value) if card.form == "choice" else _number(card, value))

    def slip(self, reading: Reading) -> float:
        """Probability that a reading says nothing; it shrinks when taken again alike."""
        is_choice = self.table.checks[reading.check].form == "choice"
        once = self.doubts.choice_slip if is_choice else self.doubts.reading_slip
        return float(once**reading.times)

    def wild(self, reading: Reading) -> float:
        """Likelihood of a reading that may be anything: density per unit, or mass."""
        card = self.table.checks[reading.check]
        if card.form == "choice":
            return 1.0 / len(card.choices)
        return self._scales[reading.check].density(reading.value)

    def log_likelihood(self, readings: Sequence[Reading]) -> FloatArray:
        """Log likelihood of several readings together on every particle, float [N], nats.

        Meter readings share tolerances (see `JointReadings`); OL and choices go for themselves:
        (1 - slip) core + slip wild, where the core is a mass for OL or the probability of the
        choice, and wild where the check cannot be made on a particle.
        """
        total = np.zeros(self.table.particles)
        numbers = tuple(reading for reading in readings if self.is_number(reading))
        if numbers:
            total += self._together_kept(numbers)
        for reading in readings:
            if not self.is_number(reading):
                total += self._alone_kept(reading)
        return total

    def _together(self, numbers: tuple[Reading, ...]) -> FloatArray:
        return self._joint(numbers).log_likelihood()

    def _alone(self, reading: Reading) -> FloatArray:
        slip, wild = self.slip(reading), self.wild(reading)
        with np.errstate(divide="ignore"):
            return np.asarray(np.log((1.0 - slip) * self._mass(reading, wild) + slip * wild))

    def agree(self, one: Reading, other: Reading) -> bool:
        """Whether two takes of one check are the same within three meter errors."""
        if self.table.checks[one.check].form == "choice" or not np.isfinite(one.value):
            return one.value == other.value
        sd = self._scales[one.check].sd_at(one.value)
        return bool(abs(one.value - other.value) <= 3.0 * np.sqrt(2.0) * sd)

    def is_number(self, reading: Reading) -> bool:
        """Whether it is a number on a meter, and not OL or a choice."""
        form = self.table.checks[reading.check].form
        return form == "number" and bool(np.isfinite(reading.value))

    def _joint(self, numbers: Sequence[Reading]) -> JointReadings:
        checks = np.array([reading.check for reading in numbers], dtype=np.intp)
        return JointReadings(
            value=np.array([reading.value for reading in numbers]),
            middle=self.tolerances.middle[:, checks],
            noise=self.noise[:, checks],
            covariance=self.tolerances.covariance(checks),
            usual_noise=self.usual_noise[checks],
            slip=np.array([self.slip(reading) for reading in numbers]),
            wild=np.array([self.wild(reading) for reading in numbers]),
        )

    def _mass(self, reading: Reading, wild: float) -> FloatArray:
        """Probability of OL or of a choice on every particle, float [N]."""
        at = reading.check
        if self.table.checks[at].form == "choice":
            return self.table.choice_probability[at][:, int(reading.value)]
        predicted = self.table.reading[:, at]
        return np.where(np.isnan(predicted), wild, np.isposinf(predicted).astype(np.float64))


def kernel_widths(table: FaultTable, reading: FloatArray) -> FloatArray:
    """Smoothing width of every particle's reading [N, M], float [N, M], in the check's unit.

    As wide as the gaps in the suspect's own cloud: the reach to the j-th neighbour on the nearer
    side, j = ceil(0.7 √K). Where a suspect has one reading only, that is 0 and the meter error is
    all; where its readings fall into groups, each group has its own width. 0 where not finite.
    """
    widths = np.zeros(reading.shape)
    for suspect in range(len(table.suspects)):
        rows = np.flatnonzero(table.suspect_of == suspect)
        cloud = np.where(np.isfinite(reading[rows]), reading[rows], np.nan)
        limit = KERNEL_SHARE_LIMIT * np.abs(cloud) + 2.0 * table.reading_sd[rows]
        widths[rows] = np.nan_to_num(np.fmin(KERNEL_PER_REACH * _reach(cloud), limit), nan=0.0)
    return widths


def _reach(cloud: FloatArray) -> FloatArray:
    """Distance to the j-th neighbour on the nearer side, column by column; NaN is left out."""
    count = len(cloud)
    if count == 1:
        return np.zeros_like(cloud)
    step = min(int(np.ceil(NEIGHBOURS_PER_ROOT * np.sqrt(count))), count - 1)
    order: IntArray = np.argsort(cloud, axis=0)  # NaN comes last
    rising = np.take_along_axis(cloud, order, axis=0)
    gaps = rising[step:] - rising[:-step]
    beyond = np.full((step, cloud.shape[1]), np.inf)
    up = np.concatenate([np.where(np.isnan(gaps), np.inf, gaps), beyond])
    down = np.concatenate([beyond, gaps])
    nearer = np.fmin(up, down)
    reach = np.empty_like(cloud)
    np.put_along_axis(reach, order, np.where(np.isfinite(nearer), nearer, 0.0), axis=0)
    return reach


def _choice(card: CheckCard, value: float | str) -> float:
    said = str(value).strip().casefold()
    for number, choice in enumerate(card.choices):
        if said == choice.casefold():
            return float(number)
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
