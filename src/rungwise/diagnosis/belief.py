"""What is believed about the culprit, given the readings so far."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from rungwise.diagnosis.arrays import FloatArray, IntArray, log_sum, sum_by
from rungwise.diagnosis.fault_table import FaultTable, Grouping
from rungwise.diagnosis.forecast import draw_weights
from rungwise.diagnosis.reading_model import Doubts, Reading, ReadingModel
from rungwise.errors import BadReading

__all__ = ["Belief"]

NATS_PER_BIT = float(np.log(2.0))


@dataclass(frozen=True, eq=False)
class Belief:
    """Posterior over particles by Bayes' rule; immutable, each reading gives a new one.

    Readings are taken together (`ReadingModel.log_likelihood`), so what they share, such as the
    supply volts, is not counted twice, and their order does not matter.

    log_prior: float [N], nats, of the particles before any reading. log_none_prior: nats, of a
    culprit that is not listed. All priors together sum to 1. log_weight: the same with the
    readings. log_likely_none: nats, of each reading if the culprit is not listed. earlier: the
    belief that the last reading was added to.
    """

    model: ReadingModel
    log_prior: FloatArray
    log_none_prior: float
    readings: tuple[Reading, ...]
    log_weight: FloatArray
    log_likely_none: tuple[float, ...]
    earlier: Belief | None = None

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
            log_prior = np.log(each[suspect_of])
            log_none = float(np.log(model.doubts.none_weight))
        return cls(model, log_prior, log_none, (), log_prior, ())

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
        taken again replaces its earlier reading; alike, the reading is trusted more.
        Raises `UnknownName`, `BadReading`; the latter too when no suspect can give the reading
        and slips are ruled out.
        """
        return self._with(self.model.reading(check_id, value))

    def _with(self, reading: Reading) -> Belief:
        kept = []
        for earlier in self.readings:
            if earlier.check != reading.check:
                kept.append(earlier)
            elif self.model.agree(earlier, reading):
                reading = replace(reading, times=earlier.times + 1)
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

    def _given(self, readings: tuple[Reading, ...]) -> Belief:
        """The belief with exactly these readings."""
        known = dict(zip(self.readings, self.log_likely_none, strict=True))
        return replace(
            self,
            readings=readings,
            log_weight=self.log_prior + self.model.log_likelihood(readings),
            earlier=self,
            log_likely_none=tuple(
                known[each] if each in known else self._log_likely_none(each) for each in readings
            ),
        )

    def _log_likely_none(self, reading: Reading) -> float:
        """Log likelihood of a reading if the culprit is not listed, nats."""
        share = self.model.doubts.none_broad_share
        usual = log_sum(self.log_prior + self.model.log_likelihood([reading]))
        usual -= log_sum(self.log_prior)
        mixed = (1.0 - share) * np.exp(usual) + share * self.model.wild(reading)
        with np.errstate(divide="ignore"):
            return float(np.log(mixed))

    @property
    def log_none(self) -> float:
        """Joint log probability of an unlisted culprit and the readings, nats."""
        return self.log_none_prior + sum(self.log_likely_none)

    def particle_weight(self) -> tuple[FloatArray, float]:
        """Posterior of every particle, float [N], and of an unlisted culprit; they sum to 1."""
        top = max(float(self.log_weight.max()), self.log_none)
        weight, none = np.exp(self.log_weight - top), float(np.exp(self.log_none - top))
        total = float(weight.sum()) + none
        return weight / total, none / total

    def forecast_weight(self) -> FloatArray:
        """Posterior of every particle for saying what a check will read, float [N].

        Each suspect's as in `particle_weight`, but within it draws that are like this unit in
        what its readings tell of it (supply volts, a coil's ohms) weigh more.
        """
        return self._forecast_weight

    @cached_property
    def _forecast_weight(self) -> FloatArray:
        weight, _ = self.particle_weight()
        tilted = weight * draw_weights(self.model, self.readings, weight)
        suspect_of, suspects = self.table.suspect_of, len(self.table.suspects)
        before, after = (sum_by(suspect_of, each, suspects) for each in (weight, tilted))
        kept = np.divide(before, after, out=np.zeros(suspects), where=after > 0.0)
        return np.asarray(tilted * kept[suspect_of])

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
        rising = np.lexsort((-np.arange(len(posterior)), posterior))
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
        bits, together = np.zeros(len(self.readings)), log_sum(self.log_weight)
        for place, reading in enumerate(self.readings):
            known = together - log_sum(self._log_weight_without(place))
            bits[place] = (np.log(self.model.wild(reading)) - known) / NATS_PER_BIT
        return bits

    def _log_weight_without(self, place: int) -> FloatArray:
        """`log_weight` as if one reading had not been taken, float [N], nats."""
        reading = self.readings[place]
        if not self.model.is_number(reading) and self.model.slip(reading) > 0.0:
            return self.log_weight - self.model.log_likelihood([reading])  # it goes for itself
        others = self.readings[:place] + self.readings[place + 1 :]
        return self.log_prior + self.model.log_likelihood(others)

    def _ranked(self, grouping: Grouping) -> dict[str, float]:
        posterior = self.posterior(grouping)
        order = np.argsort(-posterior, kind="stable")
        return {grouping.names[at]: float(posterior[at]) for at in order}


def _log_odds(belief: Belief, grouping: Grouping) -> FloatArray:
    """Log odds of each group against all others, nats, float [groups]."""
    mass = belief.posterior(grouping)
    others = (1.0 - np.eye(len(mass))) @ mass + belief.none_of_these  # 1 - p cancels
    tiny = np.finfo(np.float64).tiny
    return np.asarray(np.log(np.maximum(mass, tiny)) - np.log(np.maximum(others, tiny)))
