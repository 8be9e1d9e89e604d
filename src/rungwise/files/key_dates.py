"""Days under a key of a file, one or a list of them."""

# ruff: noqa: D102  # the four methods of a key are told once, at `Key`
from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Any

from rungwise.files.keys import Key, Schema
from rungwise.files.table import Table


@dataclass(frozen=True)
class Date(Key):
    """A day, as TOML has it or as a text; a day with a time counts as that day.

    noun: what an error calls it.
    """

    noun: str = "date"

    def read(self, table: Table, name: str) -> Any:
        raw = table.value(name, **self._default())
        return None if raw is None else self.day(table, name, raw)

    def day(self, table: Table, name: str, raw: Any) -> dt.date:
        """A value as a day; raises the document's error where it is none."""
        day = raw.date() if isinstance(raw, dt.datetime) else raw
        if isinstance(day, str):
            try:
                day = dt.date.fromisoformat(day.strip())
            except ValueError:
                day = None
        if isinstance(day, dt.date):
            return day
        raise table.bad(
            name, what=f"This is not a {self.noun}.", value=str(raw), allowed="year-month-day",
            next_step=f"write it like {name} = 2025-07-14",
        )  # fmt: skip

    def form(self) -> Schema:
        # TOML has dates of its own; a validator meets them as text.
        return {"type": "string", "format": "date"}

    def told(self) -> str:
        return "a date: 2025-07-14"


@dataclass(frozen=True)
class Dates(Date):
    """A list of days."""

    missing: Any = ()

    def read(self, table: Table, name: str) -> Any:
        """Raises the file's error for what is no list."""
        raw = table.value(name, default=[])
        if not isinstance(raw, list):
            like = f"write them like {name} = [2024-04-10, 2025-04-12]"
            what = f"{name.capitalize()} are a list of days."
            raise table.bad(name, what=what, value=str(raw), next_step=like)
        return tuple(self.day(table, name, each) for each in raw)

    def form(self) -> Schema:
        return {"type": "array", "items": super().form()}

    def told(self) -> str:
        return "list of dates: [2024-04-10, 2025-04-12]"
