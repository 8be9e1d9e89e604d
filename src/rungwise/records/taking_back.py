"""Taking back what was entered last: what stood before is told again, and nothing is lost."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterator, Mapping
from typing import Any, NamedTuple, TypeVar

from sqlalchemy import ColumnElement, select

from rungwise.records.calls import Calls
from rungwise.records.endings import SignOffs, Truths
from rungwise.records.entries import keep
from rungwise.records.people import Persons, Shops
from rungwise.records.readings import Readings
from rungwise.records.repository import Repository
from rungwise.records.rows import (
    WITHDRAWN,
    Call,
    Entry,
    FittedPart,
    OfCall,
    Photo,
    Reading,
    Row,
    SentForm,
    SignOff,
    Statement,
    Step,
    TakenBack,
    Truth,
    Wires,
)
from rungwise.records.session import RecordSession
from rungwise.records.units import Units
from rungwise.records.work import Fittings, Steps, Wirings

PLACES: Mapping[type[Statement], tuple[str, ...]] = {
    Entry: ("subject", "subject_id", "field"),
    **{page.row: ("call_id", *page.place)
       for page in (Readings, Steps, Fittings, Wirings, Truths, SignOffs)},
}  # fmt: skip
"""The columns that say what a row tells of."""

BLANK: Mapping[type[Statement], Mapping[str, Any]] = {
    Reading: {"typed": "", "number": None, "choice": None, "refusal": "", "note": ""},
    Step: {"done": False, "typed": "", "reading": None, "unit": "", "refusal": ""},
    FittedPart: {"candidate": None, "typed": "", "refusal": "", "note": ""},
    Wires: {"toml": "", "refusal": ""},
    Truth: {"part": "", "suspect": "", "how": ""},
    SignOff: {"text": "", "received_by": "", "facts": WITHDRAWN},
    Entry: {"typed": "", "refusal": ""},
}
"""What a row tells where nothing was told before it."""

THINGS: Mapping[str, type[Repository[Any]]] = {
    page.row.__tablename__: page for page in (Calls, Units, Persons, Shops)
}
"""Whose fields are kept as entries."""

BEGUN_WITH = ("arrangement", "shaped")
"""Fields of a unit that say which circuit it was begun with."""

SIGNS = {"id", "person_id", "at", "zone", "kept_at", "version", "beside", "superseded_by_id", "was"}


Told = TypeVar("Told", bound=Statement)


class Scope(NamedTuple):
    """What the entries of one page are about.

    subject, subject_id: the table and the row. tables: where its entries are, and which of them.
    photos: whether the photos of a call are among them.
    """

    subject: str
    subject_id: int
    tables: tuple[tuple[type[Statement], tuple[ColumnElement[bool], ...]], ...]
    photos: bool = False

    @classmethod
    def of_call(cls, number: int, fields: Collection[str]) -> Scope:
        """What was seen, heard and measured on a call, its photos, and these fields of it."""
        kinds = ("symptom", "reading")
        told = (Reading.call_id == number, Reading.kind.in_(kinds))
        return cls("call", number, ((Reading, told), _entry("call", number, fields)), photos=True)

    @classmethod
    def of_wires(cls, number: int) -> Scope:
        """The wires of a call as they were found."""
        told = (Wires.call_id == number, Wires.stage == "as found")
        return cls("call", number, ((Wires, told),))

    @classmethod
    def of_report(cls, number: int) -> Scope:
        """The signature of a call, and the cause that the shop keeps."""
        signed, told = (SignOff.call_id == number,), (Truth.call_id == number,)
        return cls("call", number, ((SignOff, signed), (Truth, told)))

    @classmethod
    def of_fields(cls, number: int, fields: Collection[str]) -> Scope:
        """These fields of a call."""
        return cls("call", number, (_entry("call", number, fields),))

    @classmethod
    def of_stock(cls, subject: str, number: int) -> Scope:
        """The stock of a van; subject: "person" or "shop"."""
        return cls(subject, number, (_entry(subject, number, ("stock",)),))

    @classmethod
    def of_unit(cls, number: int) -> Scope:
        """All that was told of a unit; what it was begun with is not taken back."""
        table, there = _entry("unit", number)
        return cls("unit", number, ((table, (*there, Entry.field.not_in(BEGUN_WITH))),))


def _entry(
    subject: str, number: int, fields: Collection[str] | None = None
) -> tuple[type[Statement], tuple[ColumnElement[bool], ...]]:
    there = (Entry.subject == subject, Entry.subject_id == number)
    return Entry, there if fields is None else (*there, Entry.field.in_(fields))


class LastEntry(NamedTuple):
    """A row that stands, and the row that first told what it tells: another after an undo."""

    row: Statement | Photo
    first: Statement | Photo

    @property
    def when(self) -> tuple[dt.datetime, int]:
        """By which the last is found: when it was written down."""
        return self.first.kept_at or self.first.at, self.first.id


class TakingBack:
    """What was entered last, and what was taken back, by whom and when."""

    def __init__(self, hand: RecordSession) -> None:
        self.hand = hand

    def last(self, scope: Scope) -> list[LastEntry]:
        """What an undo takes back: all that one form told, or the one row that came last.

        After an undo it is what was entered before that.
        """
        found = list(self._entries(scope))
        if not found:
            return []
        newest = max(found, key=lambda each: each.when)
        sent = select(SentForm.id).where(SentForm.kept_at == newest.first.kept_at).limit(1)
        if self.hand.session.scalar(sent) is None:  # from a file: one by one
            return [newest]
        return [each for each in found if each.first.kept_at == newest.first.kept_at]

    def take_back(self, scope: Scope, text: str) -> TakenBack | None:
        """Tell again what stood before the last entry; None where there is none.

        text: what is taken back, as it was shown.
        """
        rows: dict[str, list[list[int]]] = {}
        for each in self.last(scope):
            rows.setdefault(each.row.__tablename__, []).append(self._told_before(each))
        return self.note(scope.subject, scope.subject_id, text, rows) if rows else None

    def note(
        self, subject: str, number: int, text: str, rows: Mapping[str, Any] | None = None
    ) -> TakenBack:
        """Keep that something was taken back; rows: those of it that stand otherwise now."""
        hand = self.hand
        made = TakenBack(
            subject=subject, subject_id=number, text=text, rows=dict(rows or {}),
            person_id=hand.person_id, at=hand.at, zone=hand.zone, kept_at=hand.kept_at,
        )  # fmt: skip
        return hand.add(made)

    def before(self, entry: LastEntry) -> Statement | None:
        """What stood before an entry in its place, None for nothing."""
        return None if isinstance(entry.first, Photo) else self._before(entry.first)

    def fitted_with(self, entry: LastEntry) -> int | None:
        """The call on which a part was fitted with an entry of a van's stock, None for none."""
        told = select(FittedPart.call_id).where(FittedPart.kept_at == entry.first.kept_at)
        return self.hand.session.scalar(told.limit(1))

    def history(self, subject: str, number: int) -> list[TakenBack]:
        """What was taken back of something, oldest first."""
        query = select(TakenBack).where(
            TakenBack.subject == subject, TakenBack.subject_id == number
        )
        return list(self.hand.session.scalars(query.order_by(TakenBack.id)))

    def _entries(self, scope: Scope) -> Iterator[LastEntry]:
        """What stands, and may be taken back; what nothing was told before is not."""
        again = self._said_again(scope)
        for table, conditions in scope.tables:
            query = select(table).where(
                table.superseded_by_id.is_(None), table.beside.is_(False), *conditions
            )
            for row in self.hand.session.scalars(query):
                first = again.get((table.__tablename__, row.id), row.id)
                if first:
                    yield LastEntry(row, row if first == row.id else self.hand.get(table, first))
        if scope.photos:
            there = select(Photo).where(Photo.call_id == scope.subject_id, ~Photo.removed)
            yield from (LastEntry(each, each) for each in self.hand.session.scalars(there))

    def _said_again(self, scope: Scope) -> dict[tuple[str, int], int]:
        """By table and number of a row that an undo wrote, the row that it says again, or 0."""
        return {
            (table, now): first
            for each in self.history(scope.subject, scope.subject_id)
            for table, told in each.rows.items()
            for _, now, first in told
        }

    def _told_before(self, each: LastEntry) -> list[int]:
        """Let what stood before a row stand again; the ids that `TakenBack` keeps."""
        first = each.first
        if isinstance(first, Photo):
            first.removed = True
            return [first.id, first.id, 0]
        before = self._before(first)
        place = {name: getattr(first, name) for name in PLACES[type(first)]}
        told = {**_told(before or first), **({} if before else BLANK[type(first)]), **place}
        if isinstance(first, Entry) and before is None:
            told["typed"] = first.was or ""
        signed = self.hand.signed(self._turned(first))
        now = keep(self.hand, type(first)(**told, **signed), place, None).row
        if isinstance(first, Entry):
            old = before if isinstance(before, Entry) else None
            THINGS[first.subject](self.hand).reset(first.subject_id, first, old)
        return [first.id, now.id, self._first_of(before) if before else 0]

    def _turned(self, row: Statement) -> int:
        """The version of the thing that a row tells of, one on."""
        if isinstance(row, Entry):
            turned = self.hand.turn(THINGS[row.subject].row, row.subject_id)
            return int(getattr(turned, "version", 0))
        return self.hand.turn(Call, _call_of(row)).version

    def _before(self, row: Told) -> Told | None:
        """What stood before a row in its place."""
        kind = type(row)
        query = select(kind).where(kind.superseded_by_id == row.id, kind.beside.is_(False))
        return self.hand.session.scalars(query.order_by(kind.id.desc()).limit(1)).first()

    def _first_of(self, row: Statement) -> int:
        """The row that first told what a row tells, 0 where that is nothing."""
        subject, number = (
            (row.subject, row.subject_id) if isinstance(row, Entry) else ("call", _call_of(row))
        )
        return self._said_again(Scope(subject, number, ())).get((row.__tablename__, row.id), row.id)


def _call_of(row: Statement) -> int:
    assert isinstance(row, OfCall)  # noqa: S101  # all but entries are told of a call
    return row.call_id


def _told(row: Row) -> dict[str, Any]:
    """The columns of a row that belong to what it tells."""
    return {each.key: getattr(row, each.key) for each in row.__table__.columns
            if each.key not in SIGNS}  # fmt: skip
