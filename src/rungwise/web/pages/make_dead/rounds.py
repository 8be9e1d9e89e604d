"""What of earlier rounds still counts: power that came back, and readings that ran out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rungwise import records
from rungwise.isolation import WorkPlan
from rungwise.records import UnitOfWork

POWER_ON = "power is on again"
"""Kept beside the steps when somebody says so: nothing that was ticked before counts any more."""

AGAIN = "readings again, "
"""Kept beside the steps when the readings of a scope are taken anew, before the scope's name."""

READ = ("prove meter", "try", "measure", "empty", "result")
"""What is measured again when readings have run out; locks hang and capacitors stay as they are."""


def power_came_on(book: UnitOfWork, number: int) -> None:
    """Write down that the power is on again."""
    _mark(book, number, POWER_ON)


def read_again(book: UnitOfWork, number: int, scope: str) -> None:
    """Write down that the readings of a scope begin anew."""
    _mark(book, number, f"{AGAIN}{scope}")


def _mark(book: UnitOfWork, number: int, zone: str) -> None:
    """Each time a row of its own: the records keep what is told twice in one place only once."""
    book.steps.tick(number, zone, len(book.steps.now(number, zone)), zone)


def run_out(
    plan: WorkPlan, rows: Sequence[records.Step], steps: Sequence[records.Step]
) -> set[tuple[int, str]]:
    """Number and text of what stands of an earlier round; it is taken back before it is told anew,
    or the same answer again would be no new one.
    """
    held = {row.id for row in counting(plan, rows, steps)}
    return {(row.number, row.text) for row in rows if row.id not in held}


def counting(
    plan: WorkPlan, rows: Iterable[records.Step], steps: Sequence[records.Step]
) -> list[records.Step]:
    """Of the rows of a scope those that count now; steps: all rows of the call.

    The record of a call keeps them all: what was measured then was measured.
    """
    on = _last(steps, POWER_ON)
    again = max(on, _last(steps, f"{AGAIN}{plan.scope}"))
    read = {(step.number, step.whole) for step in plan.steps if step.kind in READ}
    return [row for row in rows if row.id > (again if (row.number, row.text) in read else on)]


def _last(steps: Iterable[records.Step], zone: str) -> int:
    return max((row.id for row in steps if row.zone_of_work == zone and row.done), default=0)
