"""What closed calls left behind, read in bulk: upkeep looks at all of them at once."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar
from zoneinfo import ZoneInfo

from sqlalchemy import ColumnElement, and_, func, or_, select

from rungwise.records.rows import (
    Call,
    Entry,
    FittedPart,
    OfCall,
    Person,
    Reading,
    Shop,
    Truth,
    Unit,
    Visit,
)
from rungwise.records.session import RecordSession

Line = TypeVar("Line", bound=OfCall)


@dataclass(frozen=True)
class PastCall:
    """One call with what stands of it and can be used. truth: what was at fault, where it is known.

    days: on which somebody was there. readings: taken to find the cause. proofs: taken after the
    repair.
    """

    call: Call
    days: Sequence[dt.date]
    readings: Sequence[Reading]
    proofs: Sequence[Reading]
    fitted: Sequence[FittedPart]
    truth: Truth | None


class PastCalls:
    """Closed service calls. Practice is not among them."""

    def __init__(self, hand: RecordSession) -> None:
        self.hand = hand

    def calls(
        self, *, until: dt.date | None = None, also: int | None = None
    ) -> dict[int, list[PastCall]]:
        """By the number of the unit, in the order of their days.

        until: the last day that counts. also: a call that counts though it is still open.
        """
        held = _counted(until, also)
        readings, fitted = self._lines(Reading, held), self._lines(FittedPart, held)
        truths, days = self._lines(Truth, held), self._days(held)
        found: dict[int, list[PastCall]] = defaultdict(list)
        query = select(Call).where(*held).order_by(Call.day, Call.id)
        for call in self.hand.session.scalars(query):
            used = [each for each in readings[call.id] if each.counts]
            past = PastCall(
                call,
                sorted({call.day, *days[call.id]}),
                [each for each in used if each.kind == "reading"],
                [each for each in used if each.kind == "proof"],
                [each for each in fitted[call.id] if each.candidate is not None],
                next((each for each in reversed(truths[call.id]) if each.part), None),
            )
            found[call.unit_id or 0].append(past)
        return found

    def checks_told(self) -> dict[int, set[str]]:
        """Which checks were ever answered on a unit's calls, by the number of the unit."""
        query = select(Call.unit_id, Reading.check).distinct()
        found: dict[int, set[str]] = defaultdict(set)
        for unit, check in self.hand.session.execute(query.where(*_TOLD)):
            found[int(unit or 0)].add(check)
        return found

    def told_of(
        self, checks: Mapping[int, Collection[str]], most: int
    ) -> list[tuple[Reading, Call]]:
        """The newest answers to these checks, by the number of the unit, each with its call."""
        found: list[tuple[Reading, Call]] = []
        for unit, names in checks.items():
            there = (*_TOLD, Call.unit_id == unit, Reading.check.in_(names))
            query = select(Reading, Call).where(*there).order_by(Reading.id.desc())
            rows = self.hand.session.execute(query.limit(most))
            found += [(reading, call) for reading, call in rows]
        return sorted(found, key=lambda each: (each[1].day, each[0].id), reverse=True)[:most]

    def installed_as_typed(self) -> dict[int, str]:
        """What stands in the field for the day of installing, by the number of the unit."""
        query = select(Entry.subject_id, Entry.typed).where(
            Entry.subject == Unit.__tablename__,
            Entry.field == "installed",
            Entry.superseded_by_id.is_(None),
            ~Entry.beside,
            Entry.refusal == "",
        )
        return {row.subject_id: row.typed for row in self.hand.session.execute(query)}

    def zone(self) -> ZoneInfo:
        """Where the shop's clock hangs."""
        found = self.hand.session.scalar(select(Shop.zone).order_by(Shop.id).limit(1))
        return ZoneInfo(found or "UTC")

    def today(self) -> dt.date:
        """What day it is for the shop, whoever asks."""
        return self.hand.at.astimezone(self.zone()).date()

    def mark(self, also: int | None = None) -> str:
        """Changes whenever anything that counts here does; cheap to ask for.

        also: a call that counts though it is still open.
        """
        told = [
            self.hand.session.execute(
                select(func.count(), func.coalesce(func.sum(table.version), 0)).where(*held)
            ).one()
            for table, held in (
                (Call, _counted(None, also)), (Unit, ()), (Shop, ()), (Person, ()),
            )
        ]  # fmt: skip
        return " ".join(f"{count}:{versions}" for count, versions in told)

    def _lines(self, row: type[Line], held: Sequence[ColumnElement[bool]]) -> dict[int, list[Line]]:
        """What stands, by the number of the call."""
        query = (
            select(row)
            .join(Call, row.call_id == Call.id)
            .where(*held, row.superseded_by_id.is_(None), ~row.beside)
            .order_by(row.id)
        )
        found: dict[int, list[Line]] = defaultdict(list)
        for each in self.hand.session.scalars(query).unique():
            found[each.call_id].append(each)
        return found

    def _days(self, held: Sequence[ColumnElement[bool]]) -> dict[int, list[dt.date]]:
        """The days of the visits, by the number of the call."""
        found: dict[int, list[dt.date]] = defaultdict(list)
        for each in self.hand.session.scalars(
            select(Visit).join(Call, Visit.call_id == Call.id).where(*held)
        ):
            found[each.call_id].append(each.arrived_at.astimezone(ZoneInfo(each.zone)).date())
        return found


_TOLD = (
    Reading.call_id == Call.id,
    Call.kind == "service",
    Call.unit_id.is_not(None),
    Reading.superseded_by_id.is_(None),
    Reading.beside.is_(False),
    Reading.typed != "",
)
"""Every answer that stands on a service call, closed or not, with its call."""


def _counted(until: dt.date | None, also: int | None) -> tuple[ColumnElement[bool], ...]:
    closed = Call.state == "closed"
    if until is not None:
        closed = and_(closed, Call.day <= until)
    counts = closed if also is None else or_(closed, Call.id == also)
    return Call.kind == "service", Call.unit_id.is_not(None), counts
