"""Hold the phone's belief against the program's: python -m tests.phone.compare TABLES [CALL...].

On so many random tables of six calls each, and on every call file named, after each of its
readings. Tells the widest difference of any number in the answers, and which it was; exit code 1
above `WIDEST`.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator
from typing import Any

import numpy as np
from tests.phone.phone_belief import Work, believed, differences, here, on_phone
from tests.phone.random_tables import random_table, random_works

from rungwise.diagnosis import (
    Belief,
    Call,
    FaultTable,
    ReadingModel,
    next_check,
    rounded,
    verdict,
)
from rungwise.services.input_files import open_call
from rungwise.services.runtime.table_store import fault_table
from rungwise.services.wording.complaint_words import weights_before

__all__ = ["WIDEST", "call_works", "compared", "left_out", "random_work"]

WIDEST = 1e-9
AT_ONCE = 50
CALLS = 6

Job = tuple[FaultTable, list[Work]]


def random_work(count: int, seed: int) -> list[Job]:
    """Random tables with their calls."""
    made = []
    for at in range(count):
        rng = np.random.default_rng([seed, at])
        table = random_table(rng)
        made.append((table, random_works(rng, table, CALLS)))
    return made


def call_works(table: FaultTable, call: Call) -> list[Work]:
    """A call as it stood after each of its readings."""
    outcomes = call.outcomes(table.checks)
    skipped = tuple(each.card.id for each in outcomes if each.value is None)
    readings = [
        (each.card.id, float(each.card.choices.index(str(each.value))))
        if each.card.form == "choice"
        else (each.card.id, float(each.value))
        for each in outcomes
        if each.value is not None
    ]
    weights = weights_before(call, table.suspects) or {}
    return [
        Work(tuple(readings[:n]), weights, call.complaint, skipped)
        for n in range(len(readings) + 1)
    ]


def compared(jobs: Iterable[Job]) -> Iterator[tuple[str, float]]:
    """Every number of every answer: where it stands, and how far the two lie apart."""
    some = list(jobs)
    phone = on_phone(some)
    for at, ((table, calls), theirs) in enumerate(zip(some, phone, strict=True)):
        for number, (mine, other) in enumerate(zip(here(table, calls), theirs, strict=True)):
            if mine is not None:
                yield from differences(mine, other, f"table {at}, call {number}: ")


def main(told: list[str]) -> int:
    """The command; exit code 1 where any number lies further apart than `WIDEST`."""
    found: list[tuple[str, float]] = []
    for at in range(0, int(told[0]), AT_ONCE):
        count = min(AT_ONCE, int(told[0]) - at)
        found += _telling(f"random tables {at} to {at + count - 1}", random_work(count, at))
    for name in told[1:]:
        call, opened = open_call(name)
        table = fault_table(opened)
        works = call_works(table, call)
        found += _telling(name, [(table, works)])
        apart, unlike = left_out(table, works)
        _say(f"  digits left out: a probability by {apart:.1e}; other verdict or next: {unlike}")
    return int(any(apart > WIDEST for _, apart in found))


def left_out(table: FaultTable, works: list[Work]) -> tuple[float, int]:
    """What the digits change that a phone's table leaves out.

    The widest change of a repair's probability, and after how many readings of the call the kind
    of the verdict, its repair or the next check is another one.
    """
    models = ReadingModel(table), ReadingModel(rounded(table))
    widest, unlike = 0.0, 0
    for work in works:
        both = [believed(model, work) for model in models]
        one, other = (each.posterior(table.by_repair) for each in both)
        widest = max(widest, float(np.abs(one - other).max()))
        unlike += _outcome(both[0], work) != _outcome(both[1], work)
    return widest, unlike


def _outcome(belief: Belief, work: Work) -> tuple[object, ...]:
    reach = frozenset(card.id for card in belief.table.checks) - set(work.skipped)
    told, advice = verdict(belief, allowed=reach), next_check(belief, allowed=reach)
    return told.kind, told.answer and told.answer.repair, advice.check and advice.check.id


def _say(text: str) -> None:
    sys.stdout.write(f"{text}\n")
    sys.stdout.flush()


def _telling(name: str, jobs: list[Job]) -> list[tuple[str, float]]:
    every = list(compared(jobs))
    widest: Any = max(every, key=lambda each: each[1])
    told = f"{len(every)} numbers, widest difference {widest[1]:.1e} at {widest[0][:200]}"
    _say(f"{name}: {told}")
    return [widest]


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
