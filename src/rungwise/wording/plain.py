"""Texts as plain values, for a file or a column of text, and back."""

from __future__ import annotations

import importlib
import json
from collections.abc import Mapping
from typing import Any

from rungwise.wording.dates import Moment
from rungwise.wording.measures import Quantity
from rungwise.wording.said import Said, Shape

_KEYS = frozenset({"message", "values", "is_name"})
_QUANTITY = frozenset({"written", "us", "si"})
_SHAPED = _KEYS | {"shape", "english"}

_MARK = "\x1e"
"""First of a stored text that knows its message: nobody can type it."""


def as_plain(held: Any) -> Any:
    """Lists and mappings with each text that knows its message as a mapping of what it is made of.

    One that is shaped has the name of its shape in it, and its English text.
    """
    if isinstance(held, (Moment, Quantity)):
        return held.as_plain()
    if isinstance(held, Said):
        values = {name: as_plain(each) for name, each in held.values.items()}
        whole = {"message": held.message, "values": values, "is_name": held.is_name}
        if held.shape is None:
            return whole
        shape = f"{held.shape.__module__}:{held.shape.__qualname__}"
        return {**whole, "shape": shape, "english": str.__str__(held)}
    if isinstance(held, Mapping):
        return {key: as_plain(each) for key, each in held.items()}
    if isinstance(held, (list, tuple)):
        return [as_plain(each) for each in held]
    return held


def from_plain(held: Any) -> Any:
    """What `as_plain` was given, tuples as lists. Raises KeyError, ValueError for another form.

    What was shaped by a function that is gone since is its English text.
    """
    if isinstance(held, Mapping):
        values = {key: from_plain(each) for key, each in held.items()}
        if values.keys() == _KEYS:
            return Said(values["message"], values["values"], is_name=values["is_name"])
        if values.keys() == _QUANTITY:
            return Quantity(**values)
        return _shaped(values) if values.keys() == _SHAPED else values
    return [from_plain(each) for each in held] if isinstance(held, list) else held


def stored(text: str) -> str:
    """A text as a column holds it: a plain one as it is, else with all that it is made of."""
    if not isinstance(text, Said) or not text:
        return str.__str__(text)
    return _MARK + json.dumps(as_plain(text), ensure_ascii=False)


def restored(kept: str) -> str:
    """What `stored` was given."""
    if not kept.startswith(_MARK):
        return kept
    text: str = from_plain(json.loads(kept[1:]))
    return text


def _shaped(told: Mapping[str, Any]) -> str:
    english: str = told["english"]
    try:
        shape = _shape(told["shape"])
    except (ImportError, AttributeError):
        return english
    return Said(told["message"], told["values"], shape, is_name=told["is_name"])


def _shape(name: str) -> Shape:
    """The function of this name; raises ImportError or AttributeError where there is none."""
    module, _, function = name.partition(":")
    if not module.startswith("rungwise."):
        raise ImportError(module)
    found: Shape = getattr(importlib.import_module(module), function)
    return found
