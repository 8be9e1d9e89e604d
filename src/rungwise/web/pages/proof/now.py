"""The one thing that is next on a repair's test: what was repaired, the start, a check, the end."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from rungwise.diagnosis import is_seen_at_start, is_stop
from rungwise.web.pages.proof.assembly import ProofState
from rungwise.web.pages.proof.view import LookLine, ProofNow, StartLine, WorthLine

PAUSE_S = 60.0
"""A wait so long parts the first start in two: what runs meanwhile is measured first."""


class _Worth(NamedTuple):
    """The checks worth making, by when they can be made."""

    dead: list[WorthLine]
    looks: list[LookLine]
    stop: list[WorthLine]
    live: list[WorthLine]


def now_of(shown: ProofState) -> ProofNow:
    """What is next: what can be read dead, the start, all that is seen, what runs, the stop."""
    return next(ways_of(shown))


def ways_of(shown: ProofState) -> Iterator[ProofNow]:
    """Everything left to do, in the order in which it is done."""
    if shown.job.at.building is not None:
        yield ProofNow(doing="wait")
    repaired = shown.repaired()
    if not repaired.names or repaired.wrong:
        yield ProofNow(doing="repaired")
    if shown.asked:
        yield ProofNow(doing="check", check=shown.asked)
    worth, groups = _sorted(shown), start_groups(shown.startup(), shown.pauses())
    left = [group for group in groups if not all(each.done for each in group)]
    yield from (ProofNow(doing="check", check=each.id) for each in worth.dead)
    yield from (ProofNow(doing="start", start=each) for each in left if each is not groups[-1])
    if worth.looks:
        yield ProofNow(doing="looks", looks=worth.looks)
    yield from (ProofNow(doing="check", check=each.id) for each in worth.live)
    yield from (ProofNow(doing="start", start=each) for each in left)
    yield from (ProofNow(doing="check", check=each.id) for each in worth.stop)
    yield ProofNow(doing="end")


def _sorted(shown: ProofState) -> _Worth:
    unit = shown.job.unit
    sorted_ = _Worth([], [], [], [])
    for each in shown.worth():
        card = shown.cards[each.id]
        if is_seen_at_start(unit, card):
            if is_stop(unit, card) or each.must_read not in card.choices:
                sorted_.stop.append(each)
            else:
                sorted_.looks.append(LookLine(**each.model_dump()))
        else:
            (sorted_.live if card.live else sorted_.dead).append(each)
    return sorted_


def start_groups(lines: Sequence[StartLine], pauses: Sequence[float]) -> list[list[StartLine]]:
    """The moments of the first start that one tap answers: each before it alone, then each run.

    pauses: seconds before each moment, below 0 where it comes before the start.
    """
    found: list[list[StartLine]] = []
    for line, pause in zip(lines, pauses, strict=True):
        alone = pause < 0.0 or line.caution is not None or not found
        after = bool(found) and found[-1][-1].clock == "before"
        if alone or after or pause >= PAUSE_S:
            found.append([])
        found[-1].append(line)
    return found
