"""The connection to a database: SQLite in a file that is watched, or a shop's own PostgreSQL."""

from __future__ import annotations

import os
import sqlite3
import sys
import time
from pathlib import Path
from typing import Any

from sqlalchemy import URL, Connection, Engine, create_engine, event, make_url
from sqlalchemy.exc import ArgumentError, NoSuchModuleError

from rungwise.errors import StoreError
from rungwise.wording import mark

OWN_EYES = 0o600
"""Customers' names and addresses are nobody's but the owner's."""


class SqliteFile:
    """One file. It is made when it is not there yet, and must then stay the same file.

    Raises OSError where no file can be made.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        path.parent.mkdir(parents=True, exist_ok=True)
        if not path.exists():
            os.close(os.open(path, os.O_RDWR | os.O_CREAT, OWN_EYES))
        self._mark = self._found()

    def still_there(self, *_: object) -> None:
        """Raise StoreError when the file was taken away or another one lies in its place."""
        if self._found() != self._mark:
            raise StoreError(
                f"The file of the records is gone, or another lies in its place: {self.path.name}.",
                next_step=mark(
                    "put it back, then start the server again; nothing of this was written"
                ),
            )

    def _found(self) -> tuple[int, int] | None:
        try:
            told = self.path.stat()
        except OSError:
            return None
        return told.st_dev, told.st_ino


DATABASE = "RUNGWISE_DATABASE"
"""The variable of the environment that names the database."""

LOCK_WAIT_S = 5.0
"""How long a writer waits for another before it gives up, and is told to send it again."""

RETRY_S = 0.02
"""How soon what SQLite refuses at once is tried again."""

STATEMENT_S = 30.0
"""How long one statement may take on PostgreSQL."""

POOL = {"pool_size": 5, "max_overflow": 15, "pool_timeout": 1.0}
"""Of writers, and again of readers. Those who find no connection free leave after a second: who
waits holds a thread, and the threads are there for readers too."""

_POSTGRES = ("postgres", "postgresql", "postgresql+psycopg")


def chosen_url(url: str | None = None) -> URL:
    """The database to use: `url`, or the one the environment names, or a file of one's own.

    Raises StoreError for what is no address of a database, or of one that is not served.
    """
    asked = url or os.environ.get(DATABASE) or ""
    if not asked:
        return URL.create("sqlite", database=str(data_folder() / "rungwise.sqlite"))
    try:
        found = make_url(asked)
    except ArgumentError:
        raise _no_address() from None
    if found.drivername in _POSTGRES:
        return found.set(drivername="postgresql+psycopg")
    if found.drivername != "sqlite" or found.database in (None, "", ":memory:"):
        raise _no_address()
    return found


def _no_address() -> StoreError:
    # The address itself is not told: it may hold a password.
    return StoreError(
        "This is not the address of a database that Rungwise can use.",
        next_step=f"set {DATABASE} to sqlite:///FILE or postgresql://USER@HOST/NAME, or unset it",
    )


def data_folder() -> Path:
    """The folder for the data of programs, as the system has it, with one for ours in it."""
    home = Path.home()
    if sys.platform == "win32":
        base = Path(os.environ.get("LOCALAPPDATA") or home / "AppData" / "Local")
    elif sys.platform == "darwin":
        base = home / "Library" / "Application Support"
    else:
        base = Path(os.environ.get("XDG_DATA_HOME") or home / ".local" / "share")
    return base / "rungwise"


def connected(url: URL) -> tuple[Engine, Engine]:
    """Engines for writers and for readers. Raises StoreError when the driver is not installed."""
    if url.drivername == "sqlite":
        file = SqliteFile(Path(str(url.database)).absolute())
        return _sqlite(url, file), _sqlite(url, file)
    try:
        return _postgres(url), _postgres(url)
    except (NoSuchModuleError, ModuleNotFoundError) as fault:
        raise StoreError(
            "The driver for PostgreSQL is not installed.",
            next_step=mark('install Rungwise with it: pip install "rungwise[postgres]"'),
        ) from fault


def _postgres(url: URL) -> Engine:
    limits = {"lock_timeout": LOCK_WAIT_S, "statement_timeout": STATEMENT_S}
    options = " ".join(f"-c {name}={1000 * seconds:.0f}" for name, seconds in limits.items())
    given = url.query.get("options")
    told = {"options": f"{options} {given}" if isinstance(given, str) else options}
    return create_engine(url, pool_pre_ping=True, connect_args=told, **POOL)


def wait_for_others(connection: Connection) -> None:
    """Let this one transaction take its time: another program may be making the same tables."""
    if connection.dialect.name == "postgresql":
        for name in ("lock_timeout", "statement_timeout"):
            connection.exec_driver_sql(f"SET LOCAL {name} = 0")


def _sqlite(url: URL, file: SqliteFile) -> Engine:
    engine = create_engine(url, connect_args={"timeout": LOCK_WAIT_S}, **POOL)
    # Before a connection, since the driver would make a new and empty file; and before anything
    # is written, since what goes into a file without a name is lost.
    for moment in ("do_connect", "begin", "commit"):
        event.listen(engine, moment, file.still_there)
    event.listen(engine, "connect", _prepare_sqlite)
    event.listen(engine, "begin", _begin_sqlite)
    return engine


def _prepare_sqlite(connection: Any, record: object) -> None:
    """Readers beside a writer, references that hold, and nothing lost when the power goes."""
    del record
    connection.isolation_level = None  # the driver would begin transactions of its own
    _write_ahead(connection)
    for pragma in ("synchronous=FULL", "foreign_keys=ON"):
        connection.execute(f"PRAGMA {pragma}")


def _write_ahead(connection: Any) -> None:
    """Change a new file to a log that is written ahead, when whoever else does it has done so.

    SQLite refuses a second change of this mode at once: its own wait for locks is for statements
    on rows, not for this one.
    """
    until = time.monotonic() + LOCK_WAIT_S
    while True:
        try:
            connection.execute("PRAGMA journal_mode=WAL")
        except sqlite3.OperationalError as fault:
            busy = fault.sqlite_errorcode & 0xFF == sqlite3.SQLITE_BUSY  # without its finer code
            if not busy or time.monotonic() > until:
                raise
            time.sleep(RETRY_S)
        else:
            return


def _begin_sqlite(connection: Connection) -> None:
    """A writer takes its place at once: a reader that turns writer may be refused half way."""
    writes = connection.get_execution_options().get("writes", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")
