"""Taking back what was entered last, as a page offers it, and what was taken back before."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping, Sequence

from pydantic import Field

from rungwise import records
from rungwise.diagnosis import full_id
from rungwise.errors import BadRecord
from rungwise.records import LastEntry, Scope, UnitOfWork
from rungwise.web.filters import asked
from rungwise.web.shown import Shown
from rungwise.wording import mark, moment_told, named, say, time_told

CALL_FIELDS: dict[str, str] = {
    "title": mark("Customer complaint"),
    "suspected": mark("The part that somebody suspects"),
    "note": mark("Note"),
    "complaint": mark("Customer complaint"),
    "day": mark("Day"),
    "unit": mark("Which unit"),
}
"""The fields of a call that its own page keeps, and what they are called."""

OF_OPEN_CALLS = ("", "lost")
"""Pages of a call whose entries stay as they are once it is closed; a bill is still written."""

Names = Callable[[records.Statement | records.Photo], str]
"""What a person calls an entry."""

LONGEST = 60
LISTED = 12


class TakenLine(Shown):
    """Something that was taken back, by whom and when."""

    text: str
    who: str
    at: str


class UndoLine(Shown):
    """The last entry of a page, to be taken back, and what was taken back of the same thing.

    action: where that is sent. page: whose last entry. shown: tells this entry from a later one.
    what: what it is, "" where there is none.
    """

    action: str
    page: str
    shown: str = ""
    what: str = ""
    who: str = ""
    at: str = ""
    taken: list[TakenLine] = Field(default_factory=list)


def undo_of(  # what a page knows of itself
    book: UnitOfWork, scope: Scope, action: str, names: Names, page: str = ""
) -> UndoLine:
    """What a page offers to take back; scope: what its entries are about."""
    found = book.undo.last(scope)
    line = UndoLine(action=action, page=page, taken=_taken(book, scope.subject, scope.subject_id))
    if found and not (page in OF_OPEN_CALLS and _is_closed(book, scope)):
        first = found[0].first
        line.shown, line.what = _mark(found), name_of(found, names)
        line.who, line.at = _who(first.person_id, book), _at(first.at, book)
    return line


def take_back(book: UnitOfWork, scope: Scope, shown: str, names: Names) -> list[LastEntry]:
    """Take back the last entry. shown: the one that the page showed.

    Raises BadRecord where another came after it, so that nobody takes back what nobody saw.
    """
    found = book.undo.last(scope)
    if not found or _mark(found) != shown:
        raise BadRecord(
            what=mark("Something was entered since this page was made; nothing was taken back."),
            next_step=mark("look at the page again, and take it back from there"),
        )
    book.undo.take_back(scope, name_of(found, names))
    return found


def refuse_closed(book: UnitOfWork, scope: Scope) -> None:
    """Raises BadRecord where the call was signed and closed: what was signed stays as it was."""
    if _is_closed(book, scope):
        raise BadRecord(
            what=mark("This call is closed; nothing was taken back."),
            next_step=mark("reopen the call first, then take it back"),
        )


def _is_closed(book: UnitOfWork, scope: Scope) -> bool:
    return scope.subject == "call" and book.calls.get(scope.subject_id).state == "closed"


def told_back(book: UnitOfWork, call: int) -> UndoLine:
    """What was taken back of a call, for a page that has an undo of its own."""
    return UndoLine(action="", page="", taken=_taken(book, "call", call))


def name_of(found: Sequence[LastEntry], names: Names) -> str:
    """What was entered, in a few words."""
    told = list(dict.fromkeys(filter(None, (names(each.first) for each in found))))
    if len(told) <= 1:
        return told[0] if told else mark("the last entry")
    return say("{what} and {count} more", what=told[0], count=str(len(told) - 1))


def call_names(titles: Mapping[str, str]) -> Names:
    """What the entries of a call's page are called; titles: of the unit's checks, by id."""

    def name(row: records.Statement | records.Photo) -> str:
        if isinstance(row, records.Photo):
            return mark("Photo")
        if isinstance(row, records.Reading):
            title = titles.get(full_id(row.check, titles), row.check)
            return _told(title, named(row.typed))
        return field_names(CALL_FIELDS)(row)

    return name


def wires_names(row: records.Statement | records.Photo) -> str:
    """What a text of the wires is called."""
    del row
    return mark("Wires as found")


def report_names(row: records.Statement | records.Photo) -> str:
    """What a signature, and the cause that was kept with it, are called."""
    if isinstance(row, records.SignOff):
        return _told(mark("Signature"), row.received_by)
    return mark("Cause, for the shop")


def field_names(titles: Mapping[str, str]) -> Names:
    """What an entry in a field is called; titles: of the fields, by name."""

    def name(row: records.Statement | records.Photo) -> str:
        if not isinstance(row, records.Entry) or row.field not in titles:
            return ""
        return _told(titles[row.field], row.typed)

    return name


def _told(title: str, typed: str) -> str:
    return say("{what} {value}", what=asked(title), value=short(typed)) if typed.strip() else title


def short(text: str) -> str:
    """A text of which the beginning is enough."""
    line = " ".join(text.split())
    if len(line) <= LONGEST:
        return text if line == text else line
    return f"{line[:LONGEST].rstrip()}..."


def _mark(found: Sequence[LastEntry]) -> str:
    return " ".join(f"{each.row.__tablename__}.{each.row.id}" for each in found)


def _taken(book: UnitOfWork, subject: str, number: int) -> list[TakenLine]:
    rows = book.undo.history(subject, number)
    return [
        TakenLine(text=each.text, who=_who(each.person_id, book), at=_at(each.at, book))
        for each in reversed(rows[-LISTED:])
    ]


def _who(person_id: int | None, book: UnitOfWork) -> str:
    return book.persons.get(person_id).name if person_id is not None else mark("somebody")


def _at(moment: dt.datetime, book: UnitOfWork) -> str:
    local = moment.astimezone(book.hand.clock)
    today = local.date() == book.calls.today()
    return time_told(local) if today else moment_told(local)
