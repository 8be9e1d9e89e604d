"""Whoever holds the pen: the session, the person, and the clock."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Any, TypeVar
from zoneinfo import ZoneInfo

from sqlalchemy.orm import Session

from rungwise.errors import UnknownName
from rungwise.records.rows import Row, Versioned
from rungwise.wording import mark, say

NUMBERS = range(1, 2**31)
"""What PostgreSQL takes for a row's number; a page's address may bring any other."""

Found = TypeVar("Found", bound=Row)


@dataclass(frozen=True)
class RecordSession:
    """What every page of the book needs to read and write.

    person_id: who writes, None where nobody is known yet. zone: that person's. at: when, UTC;
    one moment for all that is written together; kept_at: when that is written down. writes: whether
    this book may be written in.
    """

    session: Session
    person_id: int | None
    zone: str
    at: dt.datetime
    kept_at: dt.datetime
    writes: bool

    @property
    def clock(self) -> ZoneInfo:
        """The zone of whoever writes or reads."""
        return ZoneInfo(self.zone)

    def get(self, row: type[Found], number: int) -> Found:
        """The row of that number. Raises UnknownName when there is none."""
        found = self.session.get(row, number) if number in NUMBERS else None
        return _there(row, number, found)

    def locked(self, row: type[Found], number: int) -> Found:
        """The row as it is now, locked against other writers until the book is closed.

        Raises UnknownName when there is none.
        """
        self.may_write()
        self.session.flush()
        if number not in NUMBERS:
            return _there(row, number, None)
        found = self.session.get(row, number, with_for_update=True, populate_existing=True)
        return _there(row, number, found)

    def turn(self, row: type[Found], number: int) -> Found:
        """The row, locked, and one version on. Raises UnknownName when there is none."""
        turned = self.locked(row, number)
        if isinstance(turned, Versioned):
            turned.version += 1
        return turned

    def add(self, row: Found) -> Found:
        """Write a new row; it then has its number."""
        self.may_write()
        self.session.add(row)
        self.session.flush()
        return row

    def may_write(self) -> None:
        """Raise RuntimeError in a book that was opened for reading."""
        if not self.writes:
            raise RuntimeError("this book was opened for reading; use store.writing()")

    def signed(self, version: int) -> dict[str, Any]:
        """The columns that say who and when, and on which version."""
        return {
            "person_id": self.person_id,
            "zone": self.zone,
            "at": self.at,
            "kept_at": self.kept_at,
            "version": version,
        }


def _there(row: type[Found], number: int, found: Found | None) -> Found:
    if found is None:
        noun = row.__tablename__.replace("_", " ")
        raise UnknownName(
            what=say("There is no {noun} {number} in the records.", noun=mark(noun), number=number),
            value=str(number),
            next_step=mark("go back to the list; it may have come from another database"),
        )
    return found
