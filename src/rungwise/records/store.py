"""A store of records: one database, brought up to date when it is opened."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Self

from sqlalchemy import Connection, Engine
from sqlalchemy.exc import DataError, DBAPIError, IntegrityError, OperationalError
from sqlalchemy.orm import Session

from rungwise.errors import BadRecord, StoreError
from rungwise.records.book import Book
from rungwise.records.engine import chosen_url, connected
from rungwise.records.hand import Hand
from rungwise.records.migrating import bring_up_to_date
from rungwise.records.past import Past
from rungwise.records.rows import Person

__all__ = ["Store", "utc_now"]


def utc_now() -> dt.datetime:
    """This moment, in UTC."""
    return dt.datetime.now(dt.UTC)


class Store:
    """All records of a shop. Threads may share one store; each `with` has a book of its own."""

    def __init__(self, engine: Engine, now: Callable[[], dt.datetime] = utc_now) -> None:
        self.engine = engine
        self.now = now

    @classmethod
    def open(cls, url: str | None = None, *, now: Callable[[], dt.datetime] = utc_now) -> Self:
        """The store in the database at `url`, with its tables made or brought up to date.

        url: ``sqlite:///FILE`` or ``postgresql://...``; None is what the environment's
        RUNGWISE_DATABASE names, or else a file in the user's data folder. now: the clock.
        Raises StoreError when the database cannot be reached, or is newer than this program.
        """
        chosen = chosen_url(url)
        try:
            store = cls(connected(chosen), now)
            store._bring_up_to_date()
        except (DBAPIError, OSError) as fault:
            shown = chosen.render_as_string(hide_password=True)
            raise StoreError(
                f"The database {shown} cannot be used: {_first_line(fault)}",
                next_step="see that it is there, that it may be written, and that nothing holds it",
            ) from fault
        return store

    def _bring_up_to_date(self) -> None:
        try:
            with self._transaction(writes=True) as connection:
                bring_up_to_date(connection)
        except BaseException:
            self.close()
            raise

    @contextmanager
    def connection(self, *, writes: bool) -> Iterator[Connection]:
        """A transaction on the database itself, written at its end if it ends well.

        Raises StoreError when the database cannot be used now, BadRecord when it refuses a row.
        """
        with _told_in_words(), self._transaction(writes=writes) as connection:
            yield connection

    @contextmanager
    def _transaction(self, *, writes: bool) -> Iterator[Connection]:
        level = "READ COMMITTED" if writes else "REPEATABLE READ"
        options = {} if self.is_sqlite else {"isolation_level": level}
        with self.engine.connect() as connection:
            chosen = connection.execution_options(writes=writes, **options)
            with chosen.begin() as transaction:
                yield chosen
                if not writes:
                    transaction.rollback()

    @property
    def address(self) -> str:
        """Where it is, as `open` takes it; a password stands in it."""
        return self.engine.url.render_as_string(hide_password=False)

    @property
    def is_sqlite(self) -> bool:
        """Whether it is a file of one's own."""
        return self.engine.dialect.name == "sqlite"

    @contextmanager
    def writing(
        self, person: Person | int | None = None, *, at: dt.datetime | None = None
    ) -> Iterator[Book]:
        """A book to write in. All of it is kept at the end, or nothing when an error gets out.

        person: who writes. at: when it was told, for what is written down later; now if None.
        Raises UnknownName for a person who is not there.
        """
        with self._book(person, at, writes=True) as book:
            yield book

    @contextmanager
    def reading(self, person: Person | int | None = None) -> Iterator[Book]:
        """A book to read in: it shows one moment, whatever others write meanwhile."""
        with self._book(person, None, writes=False) as book:
            yield book

    @contextmanager
    def _book(
        self, person: Person | int | None, at: dt.datetime | None, *, writes: bool
    ) -> Iterator[Book]:
        number = person.id if isinstance(person, Person) else person
        with (
            self.connection(writes=writes) as connection,
            Session(connection, expire_on_commit=False) as session,
        ):
            hand = Hand(session, None, "UTC", at or self.now(), writes)
            if number is not None:
                who = hand.get(Person, number)
                hand = Hand(session, who.id, who.zone, hand.at, writes)
            else:  # whose day it is, nobody said: the shop's
                hand = Hand(session, None, Past(hand).zone().key, hand.at, writes)
            yield Book(hand)
            session.flush()

    def close(self) -> None:
        """Let go of the database."""
        self.engine.dispose()


@contextmanager
def _told_in_words() -> Iterator[None]:
    """What the database refuses, as an error of ours."""
    try:
        yield
    except (IntegrityError, DataError) as fault:
        raise BadRecord(
            what=f"The records cannot hold this: {_first_line(fault)}",
            next_step="look at the page again: somebody may have written the same meanwhile",
        ) from fault
    except OperationalError as fault:
        raise StoreError(
            f"The records cannot be used now: {_first_line(fault)}",
            next_step="try again; nothing of this was written",
        ) from fault


def _first_line(fault: Exception) -> str:
    told = str(getattr(fault, "orig", None) or fault).strip() or type(fault).__name__
    return told.splitlines()[0]
