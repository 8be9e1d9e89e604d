"""Which checks are worth making after a repair: what they tell about whether all is well."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from rungwise.diagnosis import DEAD, LOOKING, Belief, Candidate, CheckCard, Outlook, PriceList
from rungwise.verification.belief_after_repair import good_or_not
from rungwise.verification.checking import good_rows, middle_of_good
from rungwise.verification.course import Course
from rungwise.verification.sights import at_the_start

ENOUGH = 0.97
"""A repair is proved when a good unit is believed in by this much."""

LEAST_BITS = 0.004
"""A check that is expected to tell less than this about whether all is well is not worth it."""

LEAST_DEAD_BITS = 0.1
RISK_OF_POWER = 0.1
"""From this chance that the new part opens again, its circuit is measured dead before power."""

OFF = (DEAD, LOOKING)
"""Conditions of a check before power is on."""

MOST_CHECKS = 30
RISE = 0.005
"""A good reading that raises the belief in a good unit by less than this proves nothing."""


@dataclass(frozen=True, slots=True)
class Worth:
    """A check worth making.

    bits: what it is expected to tell about whether all is well. good_after: the probability that
    all is well once this check and those before it have read as on a good unit. needed: no proof
    without it, or one that shows the same.
    """

    check: CheckCard
    bits: float
    good_after: float
    needed: bool = False


def next_proof_check(course: Course, prices: PriceList | None = None) -> Candidate | None:
    """The check to make next; None when none tells anything.

    While suspects that would open the new fuse or breaker are likely, and power has not been on,
    dead checks come first. Then what is wanted of the dead unit, what is seen as it is started
    and stopped anyway, what else is wanted, and whatever tells most per minute about whether all
    is well.
    """
    prices = prices or PriceList()
    if _better_dead(course):
        found = _best(course, _dead(course), prices, LEAST_DEAD_BITS)
        if found is not None:
            return found
    needed = needed_checks(course)
    if needed:
        asked = _asked(course)
        first = _before_power(course, (*asked, *needed))
        looks = [it for it in needed if at_the_start(course.belief.table.check(it))]
        return _best(course, first or looks or asked or needed, prices, 0.0)
    if course.good >= ENOUGH:
        return None
    return _best(course, course.left, prices, LEAST_BITS)


def needed_checks(course: Course) -> tuple[str, ...]:
    """Ids of the checks of the table that show what a proof still has to see, or see again.

    A reading in doubt is taken by another check of the same thing, where there is one left: the
    same meter at the same place errs the same way.
    """
    left, doubtful = course.left, {each.id for each in course.doubtful}
    wanted = [each.sight.checks for each in course.unseen if each.withholds]
    wanted += [(*course.same(each), each.id) for each in course.doubtful]
    found: list[str] = []
    for checks in wanted:
        ways = [it for it in checks if it in left]
        found += [it for it in ways if it not in doubtful] or ways
    return tuple(dict.fromkeys(found))


def _before_power(course: Course, needed: Sequence[str]) -> list[str]:
    """Of what has to be seen, what only the dead unit shows: before it is switched on."""
    if any(card.condition not in OFF for card in course.made):
        return []
    cards = {card.id: card for card in course.belief.table.checks}
    known = [tuple(it for it in each.sight.checks if it in cards) for each in course.unseen]
    only = [checks for checks in known if all(cards[it].condition in OFF for it in checks)]
    return [it for checks in only for it in checks if it in needed]


def _asked(course: Course) -> list[str]:
    """What is asked for beside the list while that is gone through, where it can still be had."""
    left = course.left - {each.id for each in course.doubtful}
    wanted = [each.sight for each in course.unseen if each.sight.asked and not each.sight.needed]
    return [it for each in wanted for it in each.checks if it in left]


def checks_worth_making(course: Course) -> tuple[Worth, ...]:
    """The checks to make one after the other while everything reads as it should.

    They end where all is seen and a good unit is believed in by `ENOUGH`, or where nothing tells
    any more.
    """
    return tuple(_path(course))


def anything_left(course: Course) -> bool:
    """Whether any check is still worth making."""
    return next(_path(course), None) is not None


def _better_dead(course: Course) -> bool:
    """Whether power would likely open the new part again, and has not been on yet."""
    if not course.opening or any(card.condition != DEAD for card in course.made):
        return False
    chance = course.belief.by_suspect()
    return sum(chance[name] for name in course.opening if name in chance) >= RISK_OF_POWER


def _dead(course: Course) -> list[str]:
    cards = {card.id: card for card in course.belief.table.checks}
    return [name for name in course.left if cards[name].condition == DEAD]


def _best(
    course: Course, names: Collection[str], prices: PriceList, least_bits: float
) -> Candidate | None:
    table = course.belief.table
    checks = sorted(table.check_index(name) for name in names)
    if not checks:
        return None
    told = Outlook.of(course.belief, good_or_not(table)).prospects(checks)
    last = course.made[-1] if course.made else None
    rows = zip(checks, told.bits[:, 0].tolist(), told.best_after[:, 0].tolist(), strict=True)
    candidates = [
        Candidate.of(table.checks[check], last, prices, bits=bits, best_after=best)
        for check, bits, best in rows
        if bits >= least_bits
    ]
    return min(candidates, key=lambda each: each.rank, default=None)


def _path(course: Course) -> Iterator[Worth]:
    listed = 0
    while listed < MOST_CHECKS:
        best = next_proof_check(course)
        if best is None:
            return
        needed = best.check.id in needed_checks(course)
        stays = needed or _short_before_power(course, best.check)
        after = _once_good(course, best.check)
        if after is None or (not stays and after.good < course.good + RISE):
            course = course.with_out_of_reach([best.check.id])
            continue
        course, listed = after, listed + 1
        yield Worth(best.check, best.bits, course.good, needed)


def _short_before_power(course: Course, card: CheckCard) -> bool:
    """Whether it is the ohms asked of the dead unit before power: a short is dear, however rare."""
    ohms = card.condition == DEAD and card.unit == "Ω"
    return ohms and card.id in _before_power(course, _asked(course))


def _once_good(course: Course, card: CheckCard) -> Course | None:
    """The course once a check has read as on a good unit; None where a good one cannot give it."""
    value = _as_good(course.belief, card)
    return None if isinstance(value, float) and math.isnan(value) else course.after(card, value)


def _as_good(belief: Belief, card: CheckCard) -> float | str:
    """What the check most likely reads on this unit if all is well."""
    if card.form == "number":
        return middle_of_good(belief, card.id)
    table = belief.table
    rows = good_rows(table)
    weight = belief.particle_weight()[0][rows]
    weight = weight / weight.sum() if weight.sum() > 0.0 else np.full(len(rows), 1.0 / len(rows))
    chances = weight @ table.choice_probability[table.check_index(card.id)][rows]
    return card.choices[int(np.argmax(chances))]
