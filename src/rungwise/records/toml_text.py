"""What the files of a store are written with: quoted text, lines of keys, comments."""

from __future__ import annotations

import datetime as dt
import json
import re
from collections.abc import Iterator, Mapping
from typing import Any

_BARE = re.compile(r"[A-Za-z0-9_-]+")
_CONTROL = re.compile(r"[\x00-\x08\x0a-\x1f\x7f]")


def lines(told: Mapping[str, Any]) -> Iterator[str]:
    """One line for each that says something: a text, a day, true or false, or a list of texts."""
    for key, value in told.items():
        if value is not None and value != [] and str(value).strip():
            yield f"{key if _BARE.fullmatch(key) else quoted(key)} = {_written(value)}"


def _written(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dt.date):
        return value.isoformat()
    if isinstance(value, list):
        return f"[{', '.join(quoted(each) for each in value)}]"
    return quoted(value)


def comment(text: str) -> list[str]:
    """Text as comments; signs that a comment cannot hold are left out."""
    return [f"# {_CONTROL.sub('', line)}".rstrip() for line in text.splitlines()]


def quoted(text: str) -> str:
    """A text as TOML has it between quotes: JSON's way, and the one sign that JSON lets pass."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
