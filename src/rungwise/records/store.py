"""A store of records: one database, brought up to date when it is opened."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from typing import Self

from sqlalchemy import Connection, Engine
from sqlalchemy.exc import DBAPIError
from sqlalchemy.orm import Session

from rungwise.errors import StoreError
from rungwise.records.database_errors import first_line, known_words, told_in_words
from rungwise.records.engine import chosen_url, connected, wait_for_others
from rungwise.records.migration import bring_up_to_date
from rungwise.records.past_calls import PastCalls
from rungwise.records.rows import Person
from rungwise.records.session import RecordSession
from rungwise.records.unit_of_work import UnitOfWork

CANNOT_BE_OPENED = "see that it is there, that it may be written, and that nothing holds it"


def utc_now() -> dt.datetime:
    """This moment, in UTC."""
    return dt.datetime.now(dt.UTC)


class Store:
    """All records of a shop. Threads may share one store; each `with` has a book of its own."""

    def __init__(
        self, engine: Engine, readers: Engine, now: Callable[[], dt.datetime] = utc_now
    ) -> None:
        self.engine = engine
        self.readers = readers
        """The same database through connections of their own: no reader waits behind writers."""
        self.now = now

    @classmethod
    def open(cls, url: str | None = None, *, now: Callable[[], dt.datetime] = utc_now) -> Self:
        """The store in the database at `url`, with its tables made or brought up to date.

        url: `sqlite:///FILE` or `postgresql://...`; None is what the environment's
        RUNGWISE_DATABASE names, or else a file in the user's data folder. now: the clock.
        Raises StoreError when the database cannot be reached, or is newer than this program.
        """
        chosen = chosen_url(url)
        try:
            store = cls(*connected(chosen), now)
            store._bring_up_to_date()
        except (DBAPIError, OSError) as fault:
            shown = chosen.render_as_string(hide_password=True)
            what, step = known_words(fault) or ("", CANNOT_BE_OPENED)
            raise StoreError(
                f"The database {shown} cannot be used: {first_line(fault)}. {what}".strip(),
                next_step=step,
            ) from fault
        return store

    def _bring_up_to_date(self) -> None:
        try:
            with self._transaction(writes=True) as connection:
                wait_for_others(connection)
                bring_up_to_date(connection)
        except BaseException:
            self.close()
            raise

    @contextmanager
    def connection(self, *, writes: bool) -> Iterator[Connection]:
        """A transaction on the database itself, written at its end if it ends well.

        Raises StoreError when the database cannot be used now, BadRecord when it refuses a row.
        """
        with told_in_words(), self._transaction(writes=writes) as connection:
            yield connection

    @contextmanager
    def _transaction(self, *, writes: bool) -> Iterator[Connection]:
        level = "READ COMMITTED" if writes else "REPEATABLE READ"
        options = {} if self.is_sqlite else {"isolation_level": level}
        with (self.engine if writes else self.readers).connect() as connection:
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
        self,
        person: Person | int | None = None,
        *,
        at: dt.datetime | None = None,
        zone: str = "",
    ) -> Iterator[UnitOfWork]:
        """A book to write in. All of it is kept at the end, or nothing when an error gets out.

        person: who writes. at: when it was told, for what is written down later; now if None.
        zone: of whoever writes, where the records know no other than UTC.
        Raises UnknownName for a person who is not there.
        """
        with self._book(person, at, zone, writes=True) as book:
            yield book

    @contextmanager
    def reading(
        self, person: Person | int | None = None, *, zone: str = ""
    ) -> Iterator[UnitOfWork]:
        """A book to read in: it shows one moment, whatever others write meanwhile.

        zone: as for `writing`.
        """
        with self._book(person, None, zone, writes=False) as book:
            yield book

    @contextmanager
    def _book(
        self, person: Person | int | None, at: dt.datetime | None, zone: str, *, writes: bool
    ) -> Iterator[UnitOfWork]:
        number = person.id if isinstance(person, Person) else person
        with (
            self.connection(writes=writes) as connection,
            Session(connection, expire_on_commit=False) as session,
        ):
            now = self.now()
            hand = RecordSession(session, None, "UTC", at or now, now, writes)
            if number is not None:
                who = hand.get(Person, number)
                hand = replace(hand, person_id=who.id, zone=who.zone)
            else:  # whose day it is, nobody said: the shop's
                hand = replace(hand, zone=PastCalls(hand).zone().key)
            if zone and hand.zone == "UTC":  # which stands where nobody chose one
                hand = replace(hand, zone=zone)
            yield UnitOfWork(hand)
            session.flush()

    def close(self) -> None:
        """Let go of the database."""
        self.engine.dispose()
        self.readers.dispose()
