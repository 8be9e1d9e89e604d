"""Which check to make next, and when to stop measuring.

Greedy information per minute (de Kleer and Williams 1987 for the information, Heckerman, Breese
and Rommelse 1995 for costs and stopping), with a second step of look-ahead for the few best
checks when the belief is small enough to afford it.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from rungwise.diagnosis.belief import Belief
from rungwise.diagnosis.candidate import Candidate
from rungwise.diagnosis.fault_table import CheckCard
from rungwise.diagnosis.look_ahead import LookAhead
from rungwise.diagnosis.outlook import Outlook
from rungwise.diagnosis.prices import PriceList

__all__ = ["Advice", "next_check", "open_checks"]

ROUGH_PARTICLES = 2000
FULL_CHECKS = 32

SURE = "sure enough to act"
NOTHING_LEFT = "nothing left that would tell"
WORTH_MEASURING = "worth measuring"


@dataclass(frozen=True, slots=True)
class Advice:
    """What to do next.

    stop: act (or give up measuring) instead of making `check`. why: `SURE`, `NOTHING_LEFT` or
    `WORTH_MEASURING`.
    act_cost: expected minutes lost by acting on the most probable repair now.
    open_bits: how much about the repair is still unknown.
    candidates: all checks that could be made, best first.
    """

    stop: bool
    why: str
    act_cost: float
    open_bits: float
    candidates: tuple[Candidate, ...]

    @property
    def check(self) -> CheckCard | None:
        """The check to make, or None when measuring should stop."""
        return None if self.stop else self.candidates[0].check


def next_check(
    belief: Belief,
    prices: PriceList | None = None,
    *,
    allowed: Collection[str] | None = None,
    look_ahead: bool = True,
) -> Advice:
    """The best next check under a belief, or the advice to stop.

    allowed: ids of the checks that can be made at all; None for every check of the table.
    """
    prices = prices or PriceList()
    outlook = Outlook.of(belief)
    ranked = _ranked(belief, outlook, open_checks(belief, allowed), prices)
    sure = float(outlook.best[0]) >= prices.enough_probability
    act_cost = prices.wrong_repair(float(outlook.best[0]))
    why = _sure_or_not(ranked, act_cost) if sure else _worth_it(ranked, outlook, prices)
    stop = why != WORTH_MEASURING
    if sure:
        ranked.sort(key=lambda candidate: (candidate.cost, *candidate.rank))
    elif look_ahead:
        ahead = LookAhead(belief.table, outlook, prices, ranked)
        first_of_pair = ahead.first_of_pair() if stop else None
        if first_of_pair:
            stop, why = False, WORTH_MEASURING
            others = [each for each in ranked if each.check != first_of_pair.check]
            ranked = [first_of_pair, *others]
        elif not stop:
            ranked = ahead.reordered()
    return Advice(stop, why, act_cost, float(outlook.entropy_bits[0]), tuple(ranked))


def open_checks(belief: Belief, allowed: Collection[str] | None = None) -> list[int]:
    """Columns of the checks not yet made. Raises `UnknownName` for an unknown one in `allowed`."""
    table = belief.table
    made = {reading.check for reading in belief.readings}
    columns = range(len(table.checks)) if allowed is None else map(table.check_index, allowed)
    return [column for column in columns if column not in made]


def _ranked(
    belief: Belief, outlook: Outlook, checks: Sequence[int], prices: PriceList
) -> list[Candidate]:
    """Candidates by information per minute; of equals, dead checks first.

    A large belief is first looked at through some of its particles; the best of all checks are
    then looked at through all.
    """
    if len(outlook.weight) <= ROUGH_PARTICLES:
        return _priced(belief, outlook, checks, prices)
    rough = _priced(belief, outlook.thinned(ROUGH_PARTICLES), checks, prices)
    best = [belief.table.check_index(each.check.id) for each in rough[:FULL_CHECKS]]
    return [*_priced(belief, outlook, best, prices), *rough[FULL_CHECKS:]]


def _priced(
    belief: Belief, outlook: Outlook, checks: Sequence[int], prices: PriceList
) -> list[Candidate]:
    table = belief.table
    last = table.checks[belief.readings[-1].check] if belief.readings else None
    told = outlook.prospects(checks)
    worth = zip(checks, told.bits[:, 0].tolist(), told.best_after[:, 0].tolist(), strict=True)
    candidates = [
        Candidate.of(table.checks[check], last, prices, bits=bits, best_after=best_after)
        for check, bits, best_after in worth
    ]
    return sorted(candidates, key=lambda candidate: candidate.rank)


def _sure_or_not(ranked: Sequence[Candidate], act_cost: float) -> str:
    """Act when measuring once more costs more than it is expected to save."""
    saves = any(candidate.cost < act_cost for candidate in ranked)
    return WORTH_MEASURING if saves else SURE


def _worth_it(ranked: Sequence[Candidate], outlook: Outlook, prices: PriceList) -> str:
    """Under `enough_probability`, measuring goes on while anything informs at a fair rate.

    One step ahead would undervalue it: two checks may tell what neither tells alone.
    """
    unknown, act_cost = float(outlook.entropy_bits[0]), prices.wrong_repair(float(outlook.best[0]))
    informs = any(
        prices.informs(each.bits, each.minutes, unknown=unknown, act_cost=act_cost)
        for each in ranked
    )
    return WORTH_MEASURING if informs else NOTHING_LEFT
