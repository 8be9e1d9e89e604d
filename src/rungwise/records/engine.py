"""The connection to a database: SQLite in a file, or a shop's own PostgreSQL."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import Any

from sqlalchemy import URL, Connection, Engine, create_engine, event, make_url
from sqlalchemy.exc import ArgumentError, NoSuchModuleError

from rungwise.errors import StoreError

__all__ = ["DATABASE", "SQLITE_WAIT_S", "chosen_url", "connected", "data_folder"]

DATABASE = "RUNGWISE_DATABASE"
"""The variable of the environment that names the database."""

SQLITE_WAIT_S = 30.0
"""How long a writer waits for another before it gives up."""

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


def connected(url: URL) -> Engine:
    """An engine for it. Raises StoreError when the driver is not installed."""
    if url.drivername == "sqlite":
        return _sqlite(url)
    try:
        return create_engine(url, pool_pre_ping=True)
    except (NoSuchModuleError, ModuleNotFoundError) as fault:
        raise StoreError(
            "The driver for PostgreSQL is not installed.",
            next_step='install Rungwise with it: pip install "rungwise[postgres]"',
        ) from fault


def _sqlite(url: URL) -> Engine:
    Path(str(url.database)).absolute().parent.mkdir(parents=True, exist_ok=True)
    engine = create_engine(url, connect_args={"timeout": SQLITE_WAIT_S})
    event.listen(engine, "connect", _prepare_sqlite)
    event.listen(engine, "begin", _begin_sqlite)
    return engine


def _prepare_sqlite(connection: Any, record: object) -> None:
    """Readers beside a writer, references that hold, and nothing lost when the power goes."""
    del record
    connection.isolation_level = None  # the driver would begin transactions of its own
    for pragma in ("journal_mode=WAL", "synchronous=FULL", "foreign_keys=ON"):
        connection.execute(f"PRAGMA {pragma}")


def _begin_sqlite(connection: Connection) -> None:
    """A writer takes its place at once: a reader that turns writer may be refused half way."""
    writes = connection.get_execution_options().get("writes", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")
