"""The shop's closed calls as upkeep counts them: which fault of which kind of part, at what age.

Left out are calls from which nothing can be counted without a guess: where nobody told the cause,
where only the part is known and its kind can fail in several ways, where a wire or a joint was at
fault (no part kind has that, and its start weight stays), and where the unit's age is not known.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from rungwise.answers.texts import unit_from_text
from rungwise.answers.unit_age import since
from rungwise.errors import BadInput
from rungwise.records import Book
from rungwise.records.rows import Truth, Unit
from rungwise.unit.kinds import KINDS
from rungwise.unit.unit import Unit as WholeUnit
from rungwise.upkeep.history import ClosedCall, years

__all__ = ["age_y", "closed_calls", "unit_of"]


def closed_calls(book: Book, before: dt.datetime | None = None) -> tuple[ClosedCall, ...]:
    """Every closed service call that can be counted, by day. Practice is not among them.

    before: only calls that were closed before this moment.
    """
    return tuple(_counted(book, before))


def _counted(book: Book, before: dt.datetime | None) -> Iterator[ClosedCall]:
    for call, row, truth in book.truths.known():
        if before and not (call.closed_at and call.closed_at < before):
            continue
        unit = unit_of(row)
        age = age_y(row, call.day)
        cause = _cause(unit, truth) if unit else None
        if cause is not None and age is not None:
            yield ClosedCall(*cause, age)


def unit_of(row: Unit) -> WholeUnit | None:
    """The unit of a unit file in the records, None for a draft and for one of no use."""
    try:
        return unit_from_text(row.toml) if row.state == "whole" else None
    except BadInput:
        return None


def age_y(row: Unit, day: dt.date) -> float | None:
    """How old a unit was on a day, None where that cannot be told.

    From the day on which it was installed, else from the year, or the month, in which its
    nameplate says it was made; a year alone is taken at its middle.
    """
    found = since(row, unit_of(row))
    age = years(found.day, day) if found else -1.0
    return age if age >= 0.0 else None


def _cause(unit: WholeUnit, truth: Truth) -> tuple[str, str] | None:
    """The part's kind and the mode of its fault; of a fault and what it caused, the first."""
    part = unit.part_by_name.get(truth.part)
    modes = [mode.name for mode in KINDS[part.kind].modes] if part else []
    told = truth.suspect.removeprefix(f"{truth.part}.").partition(">")[0]
    if not truth.suspect and len(modes) == 1:
        told = modes[0]
    return (part.kind, told) if part and told in modes else None
