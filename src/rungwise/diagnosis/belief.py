"""What is believed about the culprit, given the readings so far."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from rungwise.diagnosis import oddness
from rungwise.diagnosis.arrays import FloatArray, IntArray, log_sum, ranked, sum_by
from rungwise.diagnosis.bins import ReadingBins
from rungwise.diagnosis.fault_table import FaultTable, Grouping
from rungwise.diagnosis.foresight import Foresight, counting
from rungwise.diagnosis.reading_model import Doubts, Reading, ReadingModel
from rungwise.diagnosis.season import in_season
from rungwise.errors import BadReading
from rungwise.faults import HEALTHY

TINY = 1e-300
NATS_PER_BIT = float(np.log(2.0))


@dataclass(frozen=True, eq=False)
class Belief:
    """Posterior over particles by Bayes' rule; immutable, each reading gives a new one.

    Readings are taken together (`ReadingModel.log_likelihood`), so what they share, such as the
    supply volts, is not counted twice, and their order does not matter.

    log_prior: float [N], nats, of the particles before any reading. log_none_prior: nats, of a
    culprit that is not listed. All priors together sum to 1. log_weight: the same with the
    readings. log_likely_none: nats, of all readings if the culprit is not listed. earlier: the
    belief that the last reading was added to. said: ids of the chips of the complaint, whose ratios
    are in the weights already.
    """

    model: ReadingModel
    log_prior: FloatArray
    log_none_prior: float
    readings: tuple[Reading, ...]
    log_weight: FloatArray
    log_likely_none: float
    earlier: Belief | None = None
    said: tuple[str, ...] = ()

    @classmethod
    def start(
        cls,
        table: FaultTable | ReadingModel,
        weights: Mapping[str, float] | None = None,
        doubts: Doubts | None = None,
        said: Sequence[str] = (),
    ) -> Belief:
        """Belief before any reading.

        table: a fault table, or the model of one to share its preparation between calls.
        weights: instead of the cards' weights, by suspect id; those not named keep their card's.
        doubts: only with a table; a model has its own. said: ids of the chips of the complaint,
        whose ratios `weights` holds.
        Raises `UnknownName` for a suspect that is not there, ValueError if no weight is above 0.
        """
        model = table if isinstance(table, ReadingModel) else ReadingModel(table, doubts)
        weight = np.array([suspect.weight for suspect in model.table.suspects])
        for name, value in (weights or {}).items():
            weight[model.table.suspect_index(name)] = value
        if (weight < 0.0).any() or not weight.sum() > 0.0:
            raise ValueError("weights of suspects must be 0 or more, and one above 0")
        listed = 1.0 - model.doubts.none_weight
        suspect_of = model.table.suspect_of
        each = listed * weight / weight.sum() / np.bincount(suspect_of)
        with np.errstate(divide="ignore"):
            log_prior = np.log(each[suspect_of])
            log_none = float(np.log(model.doubts.none_weight))
        return cls(model, log_prior, log_none, (), log_prior, 0.0, said=tuple(said))

    @property
    def table(self) -> FaultTable:
        """The table it is about."""
        return self.model.table

    def upto(self, count: int) -> Belief:
        """The belief as it was after the first `count` readings."""
        earlier = self
        while len(earlier.readings) > count and earlier.earlier is not None:
            earlier = earlier.earlier
        wanted = self.readings[:count]
        return earlier if earlier.readings == wanted else self._given(wanted)

    def observe(self, check_id: str, value: float | str) -> Belief:
        """The belief after one more reading.

        value: a number in the check's unit, inf or "OL", or one of the check's choices. A check
        taken again replaces its earlier reading; alike, the reading is trusted more. Of looks both
        count: two that deny each other say nothing, and a third decides.
        Raises `UnknownName`, `BadReading`; the latter too when no suspect can give the reading
        and slips are ruled out.
        """
        return self._with(self.model.reading(check_id, value))

    def _with(self, reading: Reading) -> Belief:
        kept = []
        for earlier in self.readings:
            if earlier.check == reading.check:
                reading = self._taken_again(earlier, reading)
            else:
                kept.append(earlier)
        belief = self._given((*kept, reading))
        if np.isneginf(max(float(belief.log_weight.max()), belief.log_none)):
            card = self.table.checks[reading.check]
            raise BadReading(
                what=f"{card.title}: no suspect can give this reading.",
                key=card.id,
                value=reading.value,
                next_step="take it again",
            )
        return belief

    def _taken_again(self, earlier: Reading, now: Reading) -> Reading:
        """What two takes of one check come to."""
        if self.model.agree(earlier, now):
            return replace(now, times=earlier.times + 1)
        if self.table.checks[now.check].form != "choice":
            return now
        # An eye slips as often at the first look as at the second: each takes one of the other.
        left = earlier if earlier.times > 1 else now
        return replace(left, times=abs(earlier.times - 1))

    def _given(self, readings: tuple[Reading, ...]) -> Belief:
        """The belief with exactly these readings."""
        return replace(
            self,
            readings=readings,
            log_weight=self._in_season(readings) + self.model.log_likelihood(readings),
            earlier=self,
            log_likely_none=self._log_likely_none(readings),
        )

    def _in_season(self, readings: Sequence[Reading]) -> FloatArray:
        """Log prior of the particles, once the first reading told the season, nats, float [N]."""
        return in_season(self.table, self.log_prior, readings)

    def _log_likely_none(self, readings: tuple[Reading, ...]) -> float:
        """Log likelihood of all readings if the culprit is not listed, nats.

        One reading after the other, in the order of the checks: a share of them may be anything,
        the others read what the listed suspects make them read by the readings before.
        """
        share = self.model.doubts.none_broad_share
        log_weight, total = self._in_season(readings), 0.0
        for reading, step in self._steps(readings):
            log_known = log_sum(log_weight + step) - log_sum(log_weight)
            log_weight = log_weight + step
            total += np.log((1.0 - share) * np.exp(log_known) + share * self.model.wild(reading))
        return float(total)

    def _steps(self, readings: tuple[Reading, ...]) -> Iterator[tuple[Reading, FloatArray]]:
        """Each reading with its log likelihood by those before, in the order of the checks."""
        ordered = tuple(sorted(readings, key=lambda each: each.check))
        joint = self.model.joint(ordered)
        steps = iter(()) if joint is None else iter(joint.log_steps.T)
        for reading in ordered:
            number = self.model.is_number(reading)
            yield reading, next(steps) if number else self.model.log_alone(reading)

    @property
    def log_none(self) -> float:
        """Joint log probability of an unlisted culprit and the readings, nats."""
        return self.log_none_prior + self.log_likely_none

    def particle_weight(self) -> tuple[FloatArray, float]:
        """Posterior of every particle, float [N], and of an unlisted culprit; they sum to 1."""
        # The exponential of a double is 0 below -745, where a call of many readings may lie as a
        # whole; with the largest taken out, what counts stays.
        top = max(float(self.log_weight.max()), self.log_none)
        weight, none = np.exp(self.log_weight - top), float(np.exp(self.log_none - top))
        total = float(weight.sum()) + none
        return weight / total, none / total

    @cached_property
    def foresight(self) -> Foresight:
        """What every check would read, on the particles that still count."""
        weight, _ = self.particle_weight()
        return Foresight.of(self.model, self.readings, counting(weight))

    @cached_property
    def bins(self) -> ReadingBins:
        """The foresight in bins, for expected information."""
        weight, _ = self.particle_weight()
        return ReadingBins.of(self.foresight, np.maximum(weight[self.foresight.rows], TINY))

    def foresee(self, rows: IntArray, checks: IntArray) -> Foresight:
        """What some checks would read on some particles, believed in or not."""
        return Foresight.of(self.model, self.readings, rows, checks)

    def posterior(self, grouping: Grouping) -> FloatArray:
        """Posterior of each group of suspects, float [groups]; 1 less `none_of_these` in all."""
        return sum_by(grouping.of_suspect, self._suspects[0], len(grouping.names))

    @cached_property
    def _suspects(self) -> tuple[FloatArray, float]:
        """Posterior of each suspect, float [suspects], and of a culprit that is not listed.

        Kept, because a verdict asks for them hundreds of times; the particles' own are many.
        """
        weight, none = self.particle_weight()
        return sum_by(self.table.suspect_of, weight, len(self.table.suspects)), none

    @cached_property
    def best_of_repair(self) -> IntArray:
        """The most probable suspect of each repair, int [repairs]; of equals the first."""
        posterior = self._suspects[0]
        best = np.zeros(len(self.table.by_repair.names), dtype=np.intp)
        rising = ranked(posterior)[::-1]
        best[self.table.by_repair.of_suspect[rising]] = rising  # what is written last stays
        return best

    def by_suspect(self) -> dict[str, float]:
        """Posterior by suspect id, most probable first."""
        return self._ranked(self.table.by_suspect)

    def by_repair(self) -> dict[str, float]:
        """Posterior by repair, most probable first."""
        return self._ranked(self.table.by_repair)

    @property
    def none_of_these(self) -> float:
        """Posterior of a culprit that is not listed."""
        return self._suspects[1]

    def best_repair(self) -> tuple[str, float]:
        """The most probable repair and its probability."""
        return next(iter(self.by_repair().items()))

    def evidence(self, grouping: Grouping) -> FloatArray:
        """Bits by which each reading spoke for each group against all the rest.

        float [readings, groups]: the change of log2 odds as the readings came in (I. J. Good's
        weight of evidence). Over a column they sum to the change of log2 odds from the prior.
        """
        counts = range(len(self.readings) + 1)
        odds = np.array([_log_odds(self.upto(count), grouping) for count in counts])
        return np.diff(odds, axis=0) / NATS_PER_BIT

    def surprise(self) -> FloatArray:
        """Bits by which each reading fits "anything goes" better than all listed suspects.

        float [readings]; judged against what the other readings leave believed, so that the odd
        one out is found wherever it stands. Above 0: the reading is suspicious.
        """
        return self._surprise

    @cached_property
    def _surprise(self) -> FloatArray:
        together = log_sum(self.log_weight)
        known = [together - log_sum(self.log_weight - given) for given in self._given_others]
        wild = [np.log(self.model.wild(reading)) for reading in self.readings]
        return np.asarray((np.array(wild) - np.array(known)) / NATS_PER_BIT)

    @cached_property
    def _given_others(self) -> FloatArray:
        """Log likelihood of each reading by all others on every particle, float [readings, N]."""
        joint = self.model.joint(self.readings)
        numbers = iter(()) if joint is None else iter(joint.log_given_or_slip.T)
        given = [
            next(numbers) if self.model.is_number(each) else self.model.log_alone(each)
            for each in self.readings
        ]
        return np.array(given).reshape(len(given), self.table.particles)

    def weight_without(self, place: int) -> FloatArray:
        """Posterior of every particle as if one reading had not been taken, float [N].

        They sum to 1.
        """
        log = self.log_weight - self._given_others[place]
        weight = np.exp(log - log.max())
        return np.asarray(weight / weight.sum())

    def log_ratio(self, suspect_id: str, place: int, against: str = HEALTHY) -> float:
        """How a reading by itself speaks for one suspect against another, nats.

        Raises `UnknownName` for a suspect that is not there.
        """
        log = self.model.log_alone(self.readings[place])
        each = [
            log_sum(log[self.table.suspect_of == self.table.suspect_index(name)])
            - np.log((self.table.suspect_of == self.table.suspect_index(name)).sum())
            for name in (suspect_id, against)
        ]
        return float(each[0] - each[1])

    def fits(self) -> FloatArray:
        """See `oddness.fits`: small where a reading is odd under what the others leave."""
        return oddness.fits(self)

    def impossible(self, place: int) -> bool:
        """See `oddness.impossible`: whether no hypothesis gives the reading."""
        return oddness.impossible(self, place)

    def clashes(self) -> tuple[tuple[int, int], ...]:
        """See `oddness.clashes`: pairs of readings that cannot both be right."""
        return oddness.clashes(self)

    def misfit(self) -> float:
        """See `oddness.misfit`: small where even the best explanation explains badly."""
        return oddness.misfit(self)

    def _ranked(self, grouping: Grouping) -> dict[str, float]:
        posterior = self.posterior(grouping)
        return {grouping.names[at]: float(posterior[at]) for at in ranked(posterior)}


def _log_odds(belief: Belief, grouping: Grouping) -> FloatArray:
    """Log odds of each group against all others, nats, float [groups]."""
    mass = belief.posterior(grouping)
    others = (1.0 - np.eye(len(mass))) @ mass + belief.none_of_these  # 1 - p cancels
    # A group that is ruled out has odds of minus infinity, and bits between two of those are no
    # number.
    tiny = np.finfo(np.float64).tiny
    return np.asarray(np.log(np.maximum(mass, tiny)) - np.log(np.maximum(others, tiny)))
