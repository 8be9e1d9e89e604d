"""What a database refuses, in words that are true of it: held, full, damaged, out of reach."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy.exc import DataError, DBAPIError, IntegrityError
from sqlalchemy.exc import TimeoutError as NoneFree

from rungwise.errors import BadRecord, StoreError
from rungwise.wording import mark

_HELD = (
    "The records are held by somebody else just now.",
    "send it again in a moment; nothing of this was written",
)
_FULL = (
    "The disk that holds the records is full.",
    "make room on it, then send it again; nothing of this was written",
)
_DAMAGED = (
    "The database is damaged.",
    "stop writing, and load the newest archive into a new database",
)
_CLOSED = (
    "The database may not be written.",
    "give the program the right to write it, then send it again; nothing of this was written",
)
_AWAY = ("The database cannot be reached.", "send it again; nothing of this was written")

_BY_CODE = {
    sqlite3.SQLITE_BUSY: _HELD,
    sqlite3.SQLITE_LOCKED: _HELD,
    sqlite3.SQLITE_FULL: _FULL,
    sqlite3.SQLITE_CORRUPT: _DAMAGED,
    sqlite3.SQLITE_NOTADB: _DAMAGED,
    sqlite3.SQLITE_READONLY: _CLOSED,
}
_BY_STATE = {
    "55P03": _HELD,  # lock_not_available
    "57014": _HELD,  # query_canceled: over the time for one statement
    "40P01": _HELD,  # deadlock_detected
    "40001": _HELD,  # serialization_failure
    "53100": _FULL,  # disk_full
    "53300": _HELD,  # too_many_connections
    "XX001": _DAMAGED,  # data_corrupted
    "XX002": _DAMAGED,  # index_corrupted
    "25006": _CLOSED,  # read_only_sql_transaction
    "42501": _CLOSED,  # insufficient_privilege
}
"""By SQLSTATE (PostgreSQL 15 manual, appendix A)."""


@contextmanager
def told_in_words() -> Iterator[None]:
    """Let what the database refuses come out as an error of ours.

    Raises BadRecord for a row that it will not hold, StoreError when it cannot be used now.
    """
    try:
        yield
    except (IntegrityError, DataError) as fault:
        raise BadRecord(
            what=f"The records cannot hold this: {first_line(fault)}",
            next_step=mark("look at the page again: somebody may have written the same meanwhile"),
        ) from fault
    except NoneFree as fault:
        raise StoreError(_HELD[0], next_step=_HELD[1]) from fault
    except DBAPIError as fault:
        raise _unusable(fault) from fault


def _unusable(fault: DBAPIError) -> StoreError:
    what, step = known_words(fault) or _AWAY
    return StoreError(f"{what} ({first_line(fault)})", next_step=step)


def known_words(fault: Exception) -> tuple[str, str] | None:
    """What is the matter and what to do, None for a fault that says neither."""
    if not isinstance(fault, DBAPIError):
        return None
    code = getattr(fault.orig, "sqlite_errorcode", None)
    state = getattr(fault.orig, "sqlstate", None) or ""
    # The low byte is the sort of error, what is above it says more of the same sort.
    return _BY_STATE.get(state) if code is None else _BY_CODE.get(code & 0xFF)


def first_line(fault: Exception) -> str:
    """What the driver says, without the statement and its values."""
    told = str(getattr(fault, "orig", None) or fault).strip() or type(fault).__name__
    return told.splitlines()[0]
