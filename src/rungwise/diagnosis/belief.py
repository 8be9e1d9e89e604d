"""What is believed about the culprit, given the readings so far."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from rungwise.diagnosis.arrays import FloatArray, log_sum, sum_by
from rungwise.diagnosis.fault_table import FaultTable, Grouping
from rungwise.diagnosis.reading_model import Doubts, Reading, ReadingModel
from rungwise.errors import BadReading

__all__ = ["Belief", "Spoken"]

NATS_PER_BIT = float(np.log(2.0))


@dataclass(frozen=True, slots=True, eq=False)
class Spoken:
    """A reading and what it said.

    log_likelihood: float [N], nats, on every particle. log_none: nats, for an unlisted culprit.
    wild: likelihood of the reading if anything could have been read.
    """

    reading: Reading
    log_likelihood: FloatArray
    log_none: float
    wild: float


@dataclass(frozen=True, slots=True, eq=False)
class Belief:
    """Posterior over particles by Bayes' rule; immutable, each reading gives a new one.

    Readings are independent given the particle, so what they share (supply volts, a tolerance)
    is carried by the particles, and their order does not matter.

    log_prior: float [N], nats, of the particles before any reading. log_none_prior: nats, of a
    culprit that is not listed. All priors together sum to 1.
    """

    model: ReadingModel
    log_prior: FloatArray
    log_none_prior: float
    spoken: tuple[Spoken, ...] = ()

    @classmethod
    def start(
        cls,
        table: FaultTable | ReadingModel,
        weights: Mapping[str, float] | None = None,
        doubts: Doubts | None = None,
    ) -> Belief:
        """Belief before any reading.

        table: a fault table, or the model of one to share its preparation between calls.
        weights: instead of the cards' weights, by suspect id; those not named keep their card's.
        doubts: only with a table; a model has its own.
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
            return cls(model, np.log(each[suspect_of]), float(np.log(model.doubts.none_weight)))

    @property
    def table(self) -> FaultTable:
        """The table it is about."""
        return self.model.table

    @property
    def readings(self) -> tuple[Reading, ...]:
        """The readings so far, in order."""
        return tuple(spoken.reading for spoken in self.spoken)

    def upto(self, count: int) -> Belief:
        """The belief as it was after the first `count` readings."""
        return replace(self, spoken=self.spoken[:count])

    def observe(self, check_id: str, value: float | str) -> Belief:
        """The belief after one more reading.

        value: a number in the check's unit, inf or "OL", or one of the check's choices. A check
        taken again replaces its earlier reading; alike, the reading is trusted more.
        Raises `UnknownName`, `BadReading`; the latter too when no suspect can give the reading
        and slips are ruled out.
        """
        return self._with(self.model.reading(check_id, value))

    def _with(self, reading: Reading) -> Belief:
        kept = []
        for spoken in self.spoken:
            if spoken.reading.check != reading.check:
                kept.append(spoken)
            elif self.model.agree(spoken.reading, reading):
                reading = replace(reading, times=spoken.reading.times + 1)
        belief = replace(self, spoken=(*kept, self._hear(reading)))
        if np.isneginf(log_sum(np.append(*belief.log_weight()))):
            card = self.table.checks[reading.check]
            raise BadReading(
                what=f"{card.title}: no suspect can give this reading.",
                key=card.id,
                value=reading.value,
                next_step="take it again",
            )
        return belief

    def _hear(self, reading: Reading) -> Spoken:
        doubts = self.model.doubts
        likelihood, wild = self.model.likelihood(reading), self.model.wild(reading)
        prior = np.exp(self.log_prior)
        usual = float(prior @ likelihood / prior.sum())
        none = (1.0 - doubts.none_broad_share) * usual + doubts.none_broad_share * wild
        with np.errstate(divide="ignore"):
            return Spoken(reading, np.log(likelihood), float(np.log(none)), wild)

    def log_weight(self, *, leaving_out: int | None = None) -> tuple[FloatArray, float]:
        """Joint log probability of particles [N] and of an unlisted culprit, nats.

        leaving_out: the place of a reading to pass over.
        """
        log_weight, log_none = self.log_prior.copy(), self.log_none_prior
        for place, spoken in enumerate(self.spoken):
            if place != leaving_out:
                log_weight += spoken.log_likelihood
                log_none += spoken.log_none
        return log_weight, log_none

    def particle_weight(self) -> tuple[FloatArray, float]:
        """Posterior of every particle, float [N], and of an unlisted culprit; they sum to 1."""
        log_weight, log_none = self.log_weight()
        top = max(float(log_weight.max()), log_none)
        weight, none = np.exp(log_weight - top), float(np.exp(log_none - top))
        total = float(weight.sum()) + none
        return weight / total, none / total

    def posterior(self, grouping: Grouping) -> FloatArray:
        """Posterior of each group of suspects, float [groups]; 1 less `none_of_these` in all."""
        group_of = grouping.of_suspect[self.table.suspect_of]
        return sum_by(group_of, self.particle_weight()[0], len(grouping.names))

    def by_suspect(self) -> dict[str, float]:
        """Posterior by suspect id, most probable first."""
        return self._ranked(self.table.by_suspect)

    def by_repair(self) -> dict[str, float]:
        """Posterior by repair, most probable first."""
        return self._ranked(self.table.by_repair)

    @property
    def none_of_these(self) -> float:
        """Posterior of a culprit that is not listed."""
        return self.particle_weight()[1]

    def best_repair(self) -> tuple[str, float]:
        """The most probable repair and its probability."""
        return next(iter(self.by_repair().items()))

    def evidence(self, grouping: Grouping) -> FloatArray:
        """Bits by which each reading spoke for each group against all the rest.

        float [readings, groups]: the change of log2 odds as the readings came in (I. J. Good's
        weight of evidence). Over a column they sum to the change of log2 odds from the prior.
        """
        odds = [self._log_odds(grouping, upto) for upto in range(len(self.spoken) + 1)]
        return np.diff(np.array(odds), axis=0) / NATS_PER_BIT

    def surprise(self) -> FloatArray:
        """Bits by which each reading fits "anything goes" better than all listed suspects.

        float [readings]; judged against what the other readings leave believed, so that the odd
        one out is found wherever it stands. Above 0: the reading is suspicious.
        """
        bits = np.zeros(len(self.spoken))
        for place, spoken in enumerate(self.spoken):
            log_weight, _ = self.log_weight(leaving_out=place)
            known = log_sum(log_weight + spoken.log_likelihood) - log_sum(log_weight)
            bits[place] = (np.log(spoken.wild) - known) / NATS_PER_BIT
        return bits

    def _ranked(self, grouping: Grouping) -> dict[str, float]:
        posterior = self.posterior(grouping)
        order = np.argsort(-posterior, kind="stable")
        return {grouping.names[at]: float(posterior[at]) for at in order}

    def _log_odds(self, grouping: Grouping, upto: int) -> FloatArray:
        """Log odds of each group after the first `upto` readings, nats."""
        log_weight, log_none = self.upto(upto).log_weight()
        top = max(float(log_weight.max()), log_none)
        group_of = grouping.of_suspect[self.table.suspect_of]
        mass = sum_by(group_of, np.exp(log_weight - top), len(grouping.names))
        others = (1.0 - np.eye(len(mass))) @ mass + np.exp(log_none - top)  # 1 - p would cancel
        tiny = np.finfo(np.float64).tiny
        return np.asarray(np.log(np.maximum(mass, tiny)) - np.log(np.maximum(others, tiny)))
