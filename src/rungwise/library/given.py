"""Tables given as plain dicts, read by the very code that reads the files."""

from __future__ import annotations

import os
import tomllib
from collections.abc import Iterable, Mapping
from typing import Any, SupportsFloat

import tomlkit

from rungwise.errors import BadInput
from rungwise.files import Document

GivenTable = Mapping[str, Any] | str | os.PathLike[str]
"""The keys of a file as a dict, or the file itself."""

GivenReadings = Mapping[str, float | str] | Iterable[tuple[str, float | str]]
"""Readings by check id: a number in the check's unit, or a text such as "27 V" or "OL"."""


def document_of(given: GivenTable, error: type[BadInput]) -> Document:
    """The document of a file, or of a dict with the same keys.

    Raises `error` for a file that cannot be read, and for a dict whose values no file could hold.
    """
    if not isinstance(given, Mapping):
        return Document.read(given, error=error)
    try:
        values = tomllib.loads(tomlkit.dumps(given))
    except (TypeError, ValueError) as wrong:
        raise error(
            what=f"This table holds a value that no file could hold: {wrong}.",
            allowed="texts, numbers, true or false, dates, lists and dicts of them",
            next_step="turn arrays and objects into plain numbers and texts",
        ) from wrong
    return Document.of_values(values, file="the table given", error=error)


def reading_rows(given: GivenReadings) -> list[dict[str, float | str]]:
    """The rows of a file's `[[readings]]`."""
    pairs = given.items() if isinstance(given, Mapping) else given
    return [{"check": check, "value": _plain(value)} for check, value in pairs]


def _plain(value: float | str) -> float | str:
    """A number of any library as Python's own; anything else stays, for the reader to refuse."""
    if isinstance(value, bool) or not isinstance(value, SupportsFloat):
        return value
    return float(value)
