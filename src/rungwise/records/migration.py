"""Bringing a database to the form that this program knows."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection, inspect, text

from rungwise.errors import StoreError
from rungwise.wording import mark

FOLDER = Path(__file__).parent / "migrations"
LOCK = 7_486_295_310
"""A number of our own, by which programs that open one PostgreSQL at once wait for each other."""


def configuration(connection: Connection | None = None) -> Config:
    """What Alembic needs to know, without a file of settings."""
    config = Config()
    config.set_main_option("script_location", str(FOLDER).replace("%", "%%"))
    config.attributes["connection"] = connection
    return config


def bring_up_to_date(connection: Connection) -> None:
    """Make the tables, or change them to the newest form, in the transaction given.

    Raises StoreError when the database was made by a newer Rungwise, or by another program.
    """
    if connection.dialect.name == "postgresql":
        connection.execute(text("SELECT pg_advisory_xact_lock(:number)"), {"number": LOCK})
    held = MigrationContext.configure(connection).get_current_revision()
    if held == newest_form():
        return
    _refuse_others(connection, held)
    command.upgrade(configuration(connection), "head")


@cache
def newest_form() -> str:
    """The name of the form that this program knows last; the files are read once."""
    return str(_scripts().get_current_head())


def _scripts() -> ScriptDirectory:
    return ScriptDirectory.from_config(configuration())


def _refuse_others(connection: Connection, held: str | None) -> None:
    known = {each.revision for each in _scripts().walk_revisions()}
    if held is not None and held not in known:
        raise StoreError(
            f"The database was made by a newer Rungwise: its form is {held}.",
            next_step=mark("use that version, or a newer one"),
        )
    if held is None and inspect(connection).get_table_names():
        raise StoreError(
            "The database holds tables of another program.",
            next_step=mark("name an empty one, or a file that is not there yet"),
        )
