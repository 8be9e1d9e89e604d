"""What the pages for things have in common: shop, persons, customers, sites, units, calls."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping
from typing import Any, ClassVar, Generic, TypeVar
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from sqlalchemy import select

from rungwise.errors import BadInput, BadRecord, close_matches
from rungwise.records.entries import EntryResult, dismiss, keep, stand
from rungwise.records.rows import Entry, Row
from rungwise.records.session import RecordSession
from rungwise.wording import mark

Thing = TypeVar("Thing", bound=Row)
Reader = Callable[[str], Any]


class Repository(Generic[Thing]):
    """One sort of thing, and the fields of it that people type.

    row: its table. fields: the columns that a typed text goes into, each with its reader, which
    raises BadInput for what it cannot take.
    """

    row: type[Thing]
    fields: ClassVar[Mapping[str, Reader]] = {}

    def __init__(self, hand: RecordSession) -> None:
        self.hand = hand

    def get(self, number: int) -> Thing:
        """The one of that number. Raises UnknownName when there is none."""
        return self.hand.get(self.row, number)

    def all(self) -> list[Thing]:
        """All of them, in the order in which they were added."""
        return list(self.hand.session.scalars(select(self.row).order_by(self.row.id)))

    def leave(  # the fields of a form, by name
        self,
        number: int,
        field: str,
        typed: str,
        *,
        refusal: str = "",
        seen: int | None = None,
        was: str | None = None,
    ) -> EntryResult[Entry]:
        """Keep a field as it was left, and take it over where it can be used.

        field: a column's name; any other name is kept too and changes no column.
        refusal: why the caller cannot use it, "" when it can. A column's own reader may refuse
        too; the reason then stands in the entry that comes back. Nothing is raised for that.
        seen: the version of the thing that the form showed. was: what the field held before, where
        it is no column and no entry tells it.
        Raises UnknownName when there is no such thing.
        """
        thing = self.hand.turn(self.row, number)
        why = refusal or self._unusable(number, field, typed)
        value, why = (None, why) if why else self._read(field, typed)
        entry = Entry(
            subject=self.row.__tablename__, subject_id=number, field=field, typed=typed,
            refusal=why, was=self._was(thing, field) if was is None else was,
            **self.hand.signed(getattr(thing, "version", 0)),
        )  # fmt: skip
        left = keep(self.hand, entry, self._place(number, field), seen)
        if left.row.stands and not why and field in self.fields:
            setattr(thing, field, value)
        return left

    def _unusable(self, number: int, field: str, typed: str) -> str:  # noqa: ARG002  # by the thing
        """Why a thing cannot be told so beside the others, "" where it can."""
        return ""

    def reset(self, number: int, entry: Entry, before: Entry | None) -> None:
        """Let a column hold what it held before an entry; before: the one that it replaced."""
        told = entry.was if entry.was is not None or before is None else before.typed
        value, why = self._read(entry.field, told or "")
        if entry.field in self.fields and not why:
            setattr(self.get(number), entry.field, value)

    def choose(self, number: int, entry_id: int) -> Entry:
        """Of a field's entry that stands and those kept beside it, let this one stand.

        Raises BadRecord for an entry of another thing, and for one that a newer one has replaced.
        """
        entry = next((each for each in self._entries(number) if each.id == entry_id), None)
        if entry is None:
            raise BadRecord(
                what=mark("This is not among the answers to choose from any more."),
                value=str(entry_id),
                next_step=mark("look at the page again"),
            )
        if entry.beside:
            return self.stand(number, entry_id)
        self.hand.turn(self.row, number)
        for each in self.beside(number):
            if each.field == entry.field:
                dismiss(self.hand, each, entry)
        return entry

    def stand(self, number: int, entry_id: int) -> Entry:
        """Choose an entry that was kept beside another: it stands from now on."""
        thing = self.hand.turn(self.row, number)
        entry = self.hand.get(Entry, entry_id)
        value, why = self._read(entry.field, entry.typed)
        if not (entry.refusal or why) and entry.field in self.fields:
            setattr(thing, entry.field, value)
        return stand(self.hand, entry, self._place(number, entry.field))

    def entries(self, number: int) -> dict[str, Entry]:
        """The fields of one thing as they stand, by name, refused ones among them."""
        return {each.field: each for each in self._entries(number) if each.stands}

    def beside(self, number: int) -> list[Entry]:
        """What was left on stale forms, and waits for somebody to choose."""
        return [each for each in self._entries(number) if each.beside]

    def history(self, number: int, field: str) -> list[Entry]:
        """Everything ever left in a field, oldest first."""
        there = [getattr(Entry, key) == value for key, value in self._place(number, field).items()]
        return list(self.hand.session.scalars(select(Entry).where(*there).order_by(Entry.id)))

    def _entries(self, number: int) -> list[Entry]:
        query = select(Entry).where(
            Entry.subject == self.row.__tablename__,
            Entry.subject_id == number,
            Entry.superseded_by_id.is_(None),
        )
        return list(self.hand.session.scalars(query.order_by(Entry.id)))

    def _was(self, thing: Thing, field: str) -> str | None:
        """What a column holds, None where the entry that stands for it tells the same."""
        if field not in self.fields:
            return None
        held = getattr(thing, field)
        text_of = "" if held is None else str(held)
        last = next((each for each in reversed(self.history(thing.id, field)) if each.stands), None)
        return None if last is not None and last.typed == text_of else text_of

    def _place(self, number: int, field: str) -> dict[str, Any]:
        return {"subject": self.row.__tablename__, "subject_id": number, "field": field}

    def _read(self, field: str, typed: str) -> tuple[Any, str]:
        """The column's value, and why there is none."""
        try:
            return self.fields.get(field, text)(typed), ""
        except BadInput as error:
            return None, str(error)


def text(typed: str) -> str:
    """What was typed, without the blanks around it."""
    return typed.strip()


def needed(what: str) -> Reader:
    """A reader for a text that must not be empty; what: what is asked for."""

    def read(typed: str) -> str:
        found = typed.strip()
        if not found:
            raise BadRecord(what=f"The {what} is empty.", next_step=f"write the {what}")
        return found

    return read


def one_of(what: str, choices: tuple[str, ...]) -> Reader:
    """A reader for one of a few words."""

    def read(typed: str) -> str:
        found = typed.strip().casefold()
        if found not in choices:
            raise BadRecord(
                what=f"This is no {what}.", value=typed, allowed=", ".join(choices),
                next_step=mark("choose one of them"),
            )  # fmt: skip
        return found

    return read


def zone_name(typed: str) -> str:
    """A time zone by its name, such as America/Chicago. Raises BadRecord for any other text."""
    name = typed.strip()
    try:
        return ZoneInfo(name).key
    except (ZoneInfoNotFoundError, ValueError, OSError):
        from zoneinfo import available_timezones  # noqa: PLC0415  # reads a folder of files

        near = close_matches(name, available_timezones())
        raise BadRecord(
            what=mark("This is not the name of a time zone."),
            value=typed,
            allowed="a name such as America/Chicago",
            next_step=f"did you mean {' or '.join(near)}?"
            if near
            else mark("choose one from the list"),
        ) from None


FIRST_DAY, LAST_DAY = dt.date(1900, 1, 1), dt.date(2199, 12, 31)
"""Of what records can tell. Outside of them a slip of the hand is likelier than a day."""


def day(typed: str) -> dt.date | None:
    """A day written as year-month-day; None for an empty text. Raises BadRecord for others."""
    written = typed.strip()
    try:
        found = dt.date.fromisoformat(written) if written else None
    except ValueError:
        found = dt.date.min
    if found is not None and not FIRST_DAY <= found <= LAST_DAY:
        raise BadRecord(
            what=mark("This is not a day."), value=typed,
            allowed=f"year-month-day, {FIRST_DAY} to {LAST_DAY}",
            next_step=mark("write it like 2026-07-14"),
        )  # fmt: skip
    return found
