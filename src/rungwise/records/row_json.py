"""A row as plain values of JSON, and back."""

from __future__ import annotations

import datetime as dt
import hashlib
import math
from collections.abc import Callable, Mapping
from typing import Any

from sqlalchemy import Boolean, Column, Date, Double, Integer, LargeBinary, Table
from sqlalchemy.types import TypeEngine

from rungwise.records.columns import Facts, UtcTime, Words


def digest_of(content: bytes) -> str:
    """SHA-256, in hexadecimal digits."""
    return hashlib.sha256(content).hexdigest()


def packed(table: Table, row: Mapping[Any, Any]) -> dict[str, Any]:
    """A row of `table` as JSON can hold it; bytes are told by their SHA-256."""
    return {each.name: _packed(each.type, row[each.name]) for each in table.columns}


def unpacked(table: Table, told: Mapping[str, Any], blob: Callable[[str], bytes]) -> dict[str, Any]:
    """The row again; blob: gives the bytes of a SHA-256.

    Raises ValueError, TypeError or KeyError when it is no row of this table.
    """
    if set(told) != set(table.columns.keys()):
        raise ValueError(f"not a row of {table.name}")
    return {each.name: _checked(each, told[each.name], blob) for each in table.columns}


def _packed(kind: TypeEngine[Any], value: Any) -> Any:
    if isinstance(value, bytes):
        return digest_of(value)
    if isinstance(value, dt.datetime | dt.date):
        return value.isoformat()
    if isinstance(kind, Double) and value is not None and not math.isfinite(value):
        return str(value)  # JSON has no sign for an open circuit
    return value


def _checked(column: Column[Any], told: Any, blob: Callable[[str], bytes]) -> Any:
    if told is None:
        if column.nullable:
            return None
        raise ValueError(f"{column.name} is missing")
    if isinstance(column.type, LargeBinary):
        return blob(told)
    read, kinds = _reader(column.type)
    if not isinstance(told, kinds) or (isinstance(told, bool) and kinds is not bool):
        raise TypeError(f"{column.name} is of another kind")
    return read(told)


def _reader(kind: TypeEngine[Any]) -> tuple[Callable[[Any], Any], Any]:
    """How a value of a column is read, and the kinds of JSON value that it may be."""
    for sort, read, kinds in _READERS:
        if isinstance(kind, sort):
            return read, kinds
    raise TypeError(f"a column of the kind {kind!r} cannot be archived")


def _same(told: Any) -> Any:
    return told


def _moment(told: str) -> dt.datetime:
    found = dt.datetime.fromisoformat(told)
    if found.tzinfo is None:
        raise ValueError("a time without its zone")
    return found


_READERS: tuple[tuple[type[Any], Callable[[Any], Any], Any], ...] = (
    (UtcTime, _moment, str),
    (Words, _same, str),
    (Facts, _same, dict),
    (Date, dt.date.fromisoformat, str),
    (Boolean, _same, bool),
    (Integer, _same, int),
    (Double, float, (float, int, str)),
)
