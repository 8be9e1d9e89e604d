"""Proofs of simulated repairs: is a second fault that was left in refused, and a good unit not?

Nothing of a specimen is one of the fault table's particles (see `truth`), and every reading has
its meter's error and its display (see `technician`).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from tests.tables import solved

from rungwise.diagnosis import PARTICLES, Bench, ReadingModel
from rungwise.evaluation.other_proof import ProofShop
from rungwise.evaluation.sources import EngineSource
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

__all__ = ["Ended", "ProofTrial"]

MOST_CHECKS = 25


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
    """

    particles: int = PARTICLES

    @cached_property
    def model(self) -> ReadingModel:
        """The reading model of the unit's fault table."""
        return ReadingModel(solved(self.unit, particles=self.particles))

    def prove(self, repaired: str, suspect: Suspect, rng: np.random.Generator) -> Ended:
        """Prove a repair on a specimen with `suspect` left in, check after check."""
        truth = draw_truth(self.suspects, rng, suspect)
        bench = Bench(truth.plan, truth.values, 1, np.array([float(truth.still_hot)]))
        luck = int(rng.integers(2**31))
        technician = Technician(bench, suspect, self.checks, EngineSource(bench), luck)
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
        return bands_of(self.good, {})

    @cached_property
    def good(self) -> GoodUnit:
        """The same unit solved well."""
        return GoodUnit(self.suspects)


def _steps(course: Course, technician: Technician) -> Iterator[Course]:
    """A check taken again is taken with its own luck: a slip is seldom made twice."""
    for _ in range(MOST_CHECKS):
        best = next_proof_check(course) if standing(course) == "not yet" else None
        if best is None:
            return
        time = course.made.count(best.check)
        course = course.after(best.check, technician.take(best.check.id, time))
        yield course
