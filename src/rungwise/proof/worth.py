"""Which checks are worth making after a repair: what they tell about whether all is well."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from rungwise.diagnosis.belief import Belief
from rungwise.diagnosis.candidate import Candidate
from rungwise.diagnosis.checks_look import DEAD
from rungwise.diagnosis.fault_table import CheckCard, FaultTable
from rungwise.diagnosis.next_check import open_checks
from rungwise.diagnosis.outlook import Outlook
from rungwise.diagnosis.prices import PriceList
from rungwise.proof.belief_after import good_or_not, good_probability
from rungwise.suspects.suspect_set import HEALTHY

__all__ = [
    "LEAST_BITS",
    "START_LOOKS",
    "Worth",
    "checks_worth_making",
    "looks_open",
    "next_proof_check",
]

START_LOOKS = ("look-compressor", "look-fan", "look-blower", "look-idle")
"""What anyone sees and hears at the start and at the stop; no proof without them."""

LEAST_BITS = 0.002
"""A check that is expected to tell less than this about whether all is well is not worth it."""

LEAST_DEAD_BITS = 0.1
RISK_OF_POWER = 0.1
"""From this chance that the new part opens again, its circuit is measured dead before power."""

MOST_CHECKS = 16
RISE = 0.001
"""A good reading that raises the belief in a good unit by less than this proves nothing."""


@dataclass(frozen=True, slots=True)
class Worth:
    """A check worth making.

    bits: what it is expected to tell about whether all is well. good_after: the probability that
    all is well once this check and those before it have read as on a good unit.
    """

    check: CheckCard
    bits: float
    good_after: float


def looks_open(belief: Belief, allowed: Collection[str] | None = None) -> tuple[str, ...]:
    """Which of `START_LOOKS` are still to be made on this unit."""
    ids = [belief.table.checks[at].id for at in open_checks(belief, allowed)]
    return tuple(name for name in START_LOOKS if name in ids)


def next_proof_check(
    belief: Belief,
    allowed: Collection[str] | None = None,
    prices: PriceList | None = None,
    *,
    opening: Collection[str] = (),
) -> Candidate | None:
    """The check that tells most per minute about whether all is well; None when none tells.

    opening: suspects that would open the new fuse or breaker once power is back. While they are
    likely, and power has not been on, dead checks come first. Then `START_LOOKS`: the unit is
    started and stopped anyway.
    """
    prices = prices or PriceList()
    if _better_dead(belief, opening):
        found = _best(belief, _dead(belief, allowed), prices, LEAST_DEAD_BITS)
        if found is not None:
            return found
    looks = [belief.table.check_index(name) for name in looks_open(belief, allowed)]
    if looks:
        return _best(belief, looks, prices, 0.0)
    return _best(belief, open_checks(belief, allowed), prices, LEAST_BITS)


def _better_dead(belief: Belief, opening: Collection[str]) -> bool:
    """Whether power would likely open the new part again, and has not been on yet."""
    cards = [belief.table.checks[reading.check] for reading in belief.readings]
    if not opening or any(card.condition != DEAD for card in cards):
        return False
    chance = belief.by_suspect()
    return sum(chance[name] for name in opening if name in chance) >= RISK_OF_POWER


def _dead(belief: Belief, allowed: Collection[str] | None) -> list[int]:
    checks = belief.table.checks
    return [at for at in open_checks(belief, allowed) if checks[at].condition == DEAD]


def _best(
    belief: Belief, checks: Sequence[int], prices: PriceList, least_bits: float
) -> Candidate | None:
    table = belief.table
    if not checks:
        return None
    told = Outlook.of(belief, good_or_not(table)).prospects(checks)
    last = table.checks[belief.readings[-1].check] if belief.readings else None
    rows = zip(checks, told.bits[:, 0].tolist(), told.best_after[:, 0].tolist(), strict=True)
    candidates = [
        Candidate.of(table.checks[check], last, prices, bits=bits, best_after=best)
        for check, bits, best in rows
        if bits >= least_bits
    ]
    return min(candidates, key=lambda each: each.rank, default=None)


def checks_worth_making(
    belief: Belief,
    enough: float,
    allowed: Collection[str] | None = None,
    opening: Collection[str] = (),
) -> tuple[Worth, ...]:
    """The checks to make one after the other while everything reads as it should.

    They end where a good unit is believed in by ``enough``, or where nothing tells any more.
    """
    return tuple(_path(belief, enough, allowed, opening))


def _path(
    belief: Belief, enough: float, allowed: Collection[str] | None, opening: Collection[str]
) -> Iterator[Worth]:
    left = set(allowed if allowed is not None else [card.id for card in belief.table.checks])
    good, listed = good_probability(belief), 0
    while listed < MOST_CHECKS and (good < enough or looks_open(belief, left)):
        best = next_proof_check(belief, left, opening=opening)
        if best is None:
            return
        left.discard(best.check.id)
        after = belief.observe(best.check.id, _as_good(belief, best.check.id))
        if best.check.id not in START_LOOKS and good_probability(after) < good + RISE:
            continue
        belief, good, listed = after, good_probability(after), listed + 1
        yield Worth(best.check, best.bits, good)


def _as_good(belief: Belief, check_id: str) -> float | str:
    """What the check most likely reads on this unit if all is well."""
    table = belief.table
    at = table.check_index(check_id)
    rows = np.flatnonzero(table.suspect_of == table.suspect_index(HEALTHY))
    weight = belief.forecast_weight()[rows]
    weight = weight / weight.sum() if weight.sum() > 0.0 else np.full(len(rows), 1.0 / len(rows))
    card = table.checks[at]
    if card.form == "choice":
        return card.choices[int(np.argmax(weight @ table.choice_probability[at][rows]))]
    return _weighted_median(table, at, rows, weight)


def _weighted_median(
    table: FaultTable, at: int, rows: np.ndarray[tuple[int], np.dtype[np.intp]], weight: np.ndarray
) -> float:
    reading = table.reading[rows, at]
    order = np.argsort(reading)
    middle = int(np.searchsorted(np.cumsum(weight[order]), 0.5))
    return float(reading[order][min(middle, len(order) - 1)])
