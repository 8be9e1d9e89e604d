"""The shop's closed calls as upkeep counts them: which fault of which kind of part, at what age.

Left out are calls from which nothing can be counted without a guess: where nobody told the cause,
where only the part is known and its kind can fail in several ways, where the fault is of no part
kind (wires on each other's terminals; its start weight stays), and where the unit's age is not
known.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from weakref import WeakKeyDictionary

from sqlalchemy import Engine

from rungwise import records
from rungwise.errors import BadInput
from rungwise.faults import fault_steps
from rungwise.maintenance import ClosedCall, years
from rungwise.parts import PartKind
from rungwise.records import KnownCause, UnitOfWork
from rungwise.services.input_files import unit_from_text
from rungwise.services.runtime.result_cache import RESULTS
from rungwise.unit import Unit
from rungwise.unit import Unit as WholeUnit

_MADE = re.compile(r"\b((?:19|20)\d\d)(?:-(0[1-9]|1[0-2]))?\b")


@dataclass(frozen=True, slots=True)
class CountedCall:
    """A closed call as upkeep takes it. since: the day from which its unit's age is reckoned."""

    closed: ClosedCall
    day: dt.date
    since: dt.date
    closed_at: dt.datetime | None


_held: WeakKeyDictionary[Engine, tuple[tuple[int, ...], tuple[CountedCall, ...]]] = (
    WeakKeyDictionary()
)
"""What was counted last, by database, with the mark of the records that it was counted from."""


def closed_calls(book: UnitOfWork, before: dt.datetime | None = None) -> tuple[ClosedCall, ...]:
    """Every closed service call that can be counted, by day. Practice is not among them.

    before: only calls that were closed before this moment.
    """
    return tuple(each.closed for each in counted_calls(book, before))


def counted_calls(book: UnitOfWork, before: dt.datetime | None = None) -> tuple[CountedCall, ...]:
    """The same with their days. Counted once for as long as nothing changes in the records."""
    counted = tuple(_counted(book)) if book.hand.writes else _counted_once(book)
    if before is None:
        return counted
    return tuple(each for each in counted if each.closed_at and each.closed_at < before)


def age_y(installed: dt.date | None, unit: Unit, day: dt.date | None) -> float | None:
    """How old a unit was on a day, None where that cannot be told.

    From the day on which it was installed, else from when its nameplate says it was made.
    """
    since = installed or made_day(unit)
    age = years(since, day) if since and day else -1.0
    return age if age >= 0.0 else None


def made_day(unit: Unit) -> dt.date | None:
    """The month in which a unit was made by its nameplate; of a year alone, its middle."""
    told = _MADE.search(str(unit.nameplate.get("made", "")))
    return dt.date(int(told[1]), int(told[2] or 7), 1) if told else None


def _counted_once(book: UnitOfWork) -> tuple[CountedCall, ...]:
    engine, mark = book.hand.session.connection().engine, book.truths.mark()
    held = _held.get(engine)
    if held is None or held[0] != mark:
        held = _held[engine] = (mark, tuple(_counted(book)))
    return held[1]


@dataclass(frozen=True, slots=True)
class _Build:
    """What counting needs of a unit: the kind of each part and wire, and when it was made."""

    kinds: Mapping[str, PartKind]
    made: dt.date | None


@RESULTS.shelf("units counted").memo
def _build(toml: str) -> _Build:
    try:
        unit = unit_from_text(toml)
    except BadInput:
        return _Build({}, None)
    return _Build({block.name: block.kind for block in unit.blocks()}, made_day(unit))


def _counted(book: UnitOfWork) -> Iterator[CountedCall]:
    for known in book.truths.known():
        build = _build(known.toml)
        cause = _cause(build.kinds.get(known.part), known)
        since = known.installed or build.made
        if cause is not None and since is not None and since <= known.day:
            closed = ClosedCall(*cause, years(since, known.day), known.said)
            yield CountedCall(closed, known.day, since, known.closed_at)


def _cause(kind: PartKind | None, known: KnownCause) -> tuple[str, str] | None:
    """The kind of what was at fault and the mode; of a fault and what it caused, the first."""
    modes = [mode.name for mode in kind.modes] if kind else []
    first = fault_steps(known.suspect)[:1]
    told = "".join(step.mode for step in first if step.block == known.part)
    listed = [mode.name for mode in kind.modes if mode.known] if kind else []
    if not known.suspect and len(listed) == 1:
        told = listed[0]
    return (kind.name, told) if kind and told in modes else None


_YEAR = re.compile(r"\s*\d{4}\s*")


@dataclass(frozen=True, slots=True)
class StandingSince:
    """The day, and what it was made of: "" where that day itself is known."""

    day: dt.date
    rough: str = ""


def since(row: records.Unit, unit: WholeUnit, typed: str = "") -> StandingSince | None:
    """The day on which a unit was installed, None where nothing tells it.

    typed: what was entered as that day; a year alone stands for its middle. Where nobody entered
    any, the year or the month in which the nameplate says that it was made.
    """
    if row.installed:
        rough = f"installed in {typed.strip()}, no day is known" if _YEAR.fullmatch(typed) else ""
        return StandingSince(row.installed, rough)
    made = made_day(unit)
    told = unit.nameplate.get("made", "")
    rough = f"made {told} by its nameplate; nobody entered when it was installed"
    return StandingSince(made, rough) if made else None
