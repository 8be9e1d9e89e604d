"""Column types that hold the same on SQLite and on PostgreSQL."""

from __future__ import annotations

import datetime as dt
import json
import re
from typing import Any

from sqlalchemy import DateTime, Dialect, Text, TypeDecorator

from rungwise.wording import restored, stored

_UNSTORABLE = re.compile("[\x00\ud800-\udfff]")


def storable(text: str) -> str:
    """`text` with the replacement sign for what no database takes: a NUL, half of a surrogate pair.

    So the rest of what was typed is kept.
    """
    return _UNSTORABLE.sub("\N{REPLACEMENT CHARACTER}", text)


class Words(TypeDecorator[str]):
    """Text of any length."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: str | None, dialect: Dialect) -> str | None:
        """The text as both engines take it."""
        del dialect
        return None if value is None else storable(value)


class Reason(Words):
    """Why something cannot be used: told again in the language of whoever reads it."""

    cache_ok = True

    def process_bind_param(self, value: str | None, dialect: Dialect) -> str | None:
        """With its message, where it knows that."""
        return super().process_bind_param(None if value is None else stored(value), dialect)

    def process_result_value(self, value: str | None, dialect: Dialect) -> str | None:
        """The text, which knows its message again."""
        del dialect
        return None if value is None else restored(value)


class UtcTime(TypeDecorator[dt.datetime]):
    """A moment, kept in UTC. A time without a zone is refused: nobody knows when it was."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: dt.datetime | None, dialect: Dialect) -> dt.datetime | None:
        """In UTC; SQLite has no zones, so there the zone is left off.

        Raises ValueError for a time without its zone.
        """
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError("a time to be stored needs its zone")
        moment = value.astimezone(dt.UTC)
        return moment.replace(tzinfo=None) if dialect.name == "sqlite" else moment

    def process_result_value(
        self, value: dt.datetime | None, dialect: Dialect
    ) -> dt.datetime | None:
        """With its zone, UTC."""
        del dialect
        if value is None:
            return None
        return value.replace(tzinfo=dt.UTC) if value.tzinfo is None else value.astimezone(dt.UTC)


class Facts(TypeDecorator[dict[str, Any]]):
    """A table of plain values, kept as JSON text: both engines then give back the same."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: dict[str, Any] | None, dialect: Dialect) -> str | None:
        """As JSON text."""
        del dialect
        return None if value is None else storable(json.dumps(value, ensure_ascii=False))

    def process_result_value(self, value: str | None, dialect: Dialect) -> dict[str, Any] | None:
        """As plain values."""
        del dialect
        if value is None:
            return None
        read: dict[str, Any] = json.loads(value)
        return read
