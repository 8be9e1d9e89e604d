"""Proofs of simulated repairs: is a second fault that was left in refused, and a good unit not?

Nothing of a specimen is one of the fault table's particles (see `truth`), and every reading has
its meter's error and its display (see `technician`).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.stats import beta

from rungwise.diagnosis import PARTICLES, Bench, ReadingModel, table_of
from rungwise.evaluation.ngspice_source import NgspiceSource
from rungwise.evaluation.proof_shop import ProofShop
from rungwise.evaluation.sources import EngineSource, Source, SourceName
from rungwise.evaluation.technician import Technician
from rungwise.evaluation.truth import draw_truth
from rungwise.faults import HEALTHY, Suspect
from rungwise.verification import (
    Course,
    GoodBand,
    GoodUnit,
    Standing,
    bands_of,
    belief_after,
    next_proof_check,
    own_sights,
    sights_of,
    standing,
)

__all__ = ["Ended", "ProofTrial", "Rate", "rate"]

MOST_CHECKS = 25


@dataclass(frozen=True, slots=True)
class Rate:
    """A share counted on simulated calls, with its 95 % interval (Clopper and Pearson 1934)."""

    count: int
    of: int
    low: float
    high: float

    def __str__(self) -> str:
        share = 100.0 * self.count / max(self.of, 1)
        return (
            f"{self.count} of {self.of} ({share:.1f} %, 95 % interval "
            f"{100 * self.low:.1f} to {100 * self.high:.1f} %)"
        )


def rate(count: int, of: int, confidence: float = 0.95) -> Rate:
    """`count` of `of` with the exact binomial interval; ValueError for an impossible count.

    Raises ValueError for an impossible count.
    """
    if not 0 <= count <= of or of < 1:
        msg = f"{count} of {of} is no share"
        raise ValueError(msg)
    tail = 0.5 * (1.0 - confidence)
    low = 0.0 if count == 0 else float(beta.ppf(tail, count, of - count + 1))
    high = 1.0 if count == of else float(beta.ppf(1.0 - tail, count + 1, of - count))
    return Rate(count, of, low, high)


@dataclass(frozen=True, slots=True)
class Ended:
    """How one proof ended. truth: id of what was left in, `HEALTHY` for nothing. checks: made."""

    repaired: str
    truth: str
    standing: Standing
    checks: tuple[str, ...]
    named: str = ""


@dataclass
class ProofTrial(ProofShop):
    """Proofs of the circuit on specimens of one unit; the table is built once.

    Air and refrigerant are left out: no specimen has any.
    source: where readings come from; "ngspice" is outside our own engine, and slow.
    """

    particles: int = PARTICLES
    source: SourceName = "engine"

    @cached_property
    def model(self) -> ReadingModel:
        """The reading model of the unit's fault table."""
        table = table_of(self.suspects, tuple(self.checks.values()), self.particles)
        return ReadingModel(table)

    def left_in(self, repaired: str, rng: np.random.Generator) -> Suspect:
        """A fault left in, drawn by what may hide behind the repair."""
        hidden = self.hidden(repaired)
        chance = np.array([each.chance for each in hidden])
        return hidden[int(rng.choice(len(hidden), p=chance / chance.sum()))].suspect

    def prove(self, repaired: str, suspect: Suspect, rng: np.random.Generator) -> Ended:
        """Prove a repair on a specimen with `suspect` left in, check after check."""
        truth = draw_truth(self.suspects, rng, suspect)
        bench = Bench(truth.plan, truth.values, 1, np.array([float(truth.still_hot)]))
        luck = int(rng.integers(2**31))
        read: Source = NgspiceSource(bench) if self.source == "ngspice" else EngineSource(bench)
        technician = Technician(bench, suspect, self.checks, read, luck)
        course = self.course(repaired)
        for after in _steps(course, technician):
            course = after
        named = next((name for name in course.belief.by_suspect() if name != HEALTHY), "")
        made = tuple(card.id for card in course.made)
        return Ended(repaired, suspect.id, standing(course), made, named)

    def course(self, repaired: str) -> Course:
        """A proof of a repair of a part or wire before its first reading."""
        hidden = self.hidden(repaired)
        belief = belief_after(self.model, hidden)
        own = own_sights(self.unit, belief.table.checks, hidden)
        sights = (*sights_of(self.unit, self.checks), *own)
        return Course.start(belief, hidden, self.bands, sights)

    @cached_property
    def bands(self) -> dict[str, GoodBand]:
        """The trade's limits of the unit's checks."""
        return bands_of(GoodUnit(self.suspects), {})

    def run(self, repaired: Sequence[str], each: int, seed: int) -> Iterator[Ended]:
        """For every repair, `each` good specimens and `each` with a fault left in."""
        good = self.suspects.suspect(HEALTHY)
        for at, name in enumerate(repaired):
            for number in range(each):
                rng = np.random.default_rng([seed, at, number])
                yield self.prove(name, good, rng)
                yield self.prove(name, self.left_in(name, rng), rng)


def _steps(course: Course, technician: Technician) -> Iterator[Course]:
    for _ in range(MOST_CHECKS):
        best = next_proof_check(course) if standing(course) == "not yet" else None
        if best is None:
            return
        course = course.after(best.check, technician.take(best.check.id))
        yield course


def counted(ended: Sequence[Ended], *, good: bool) -> Counter[Standing]:
    """How many proofs ended how, on good specimens or on those with a fault left in."""
    return Counter(each.standing for each in ended if (each.truth == HEALTHY) == good)
