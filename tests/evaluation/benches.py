"""Simulated units for the tests of this room."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np

from rungwise.diagnosis.bench import Bench
from rungwise.diagnosis.check import Check
from rungwise.diagnosis.checks import checks_of
from rungwise.evaluation.truth import Truth, draw_truth
from rungwise.faults import SuspectSet
from rungwise.unit.unit_file import arrangement


@cache
def all_suspects(name: str) -> SuspectSet:
    return SuspectSet(arrangement(name))


@cache
def all_checks(name: str) -> dict[str, Check]:
    return {check.card.id: check for check in checks_of(arrangement(name))}


@dataclass(frozen=True)
class Site:
    """A unit with one fault, ready to be measured."""

    truth: Truth
    bench: Bench
    checks: dict[str, Check]


@cache
def site(name: str, suspect: str, *, seed: int = 3, still_hot: bool = False) -> Site:
    """The arrangement `name` with the suspect `suspect`, its severity and the rest drawn."""
    weights = {each.id: float(each.id == suspect) for each in all_suspects(name)}
    truth = draw_truth(SuspectSet(arrangement(name), weights), np.random.default_rng(seed))
    bench = Bench(truth.plan, truth.values, 1, np.array([float(still_hot)]))
    return Site(truth, bench, all_checks(name))
