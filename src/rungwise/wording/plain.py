"""Texts as plain values, for a file, and back."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rungwise.wording.dates import Moment
from rungwise.wording.said import Said

_KEYS = frozenset({"message", "values", "is_name"})


def as_plain(held: Any) -> Any:
    """Lists and mappings with each text that knows its message as a mapping of what it is made of.

    One that was shaped goes in as its English text.
    """
    if isinstance(held, Moment):
        return str(held)
    if isinstance(held, Said):
        values = {name: as_plain(each) for name, each in held.values.items()}
        whole = {"message": held.message, "values": values, "is_name": held.is_name}
        return str(held) if held.shape else whole
    if isinstance(held, Mapping):
        return {key: as_plain(each) for key, each in held.items()}
    if isinstance(held, (list, tuple)):
        return [as_plain(each) for each in held]
    return held


def from_plain(held: Any) -> Any:
    """What `as_plain` was given, tuples as lists. Raises KeyError, ValueError for another form."""
    if isinstance(held, Mapping):
        values = {key: from_plain(each) for key, each in held.items()}
        if values.keys() == _KEYS:
            return Said(values["message"], values["values"], is_name=values["is_name"])
        return values
    return [from_plain(each) for each in held] if isinstance(held, list) else held
