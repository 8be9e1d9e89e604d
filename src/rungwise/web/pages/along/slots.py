"""Places in carried pieces that the phone fills with its own words and numbers."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence
from difflib import SequenceMatcher

SIGN = "\N{OBJECT REPLACEMENT CHARACTER}"


def slot(name: str) -> str:
    """A named place."""
    return f"{SIGN}{name}{SIGN}"


def ms_of(at: dt.datetime) -> float:
    """A moment as script counts it."""
    return at.timestamp() * 1000.0


_TOKEN = re.compile(r"<[^>]*>|[^<]+")


def tokens_of(drawing: str) -> list[str]:
    """Tags of a drawing, and the texts between them."""
    return _TOKEN.findall(drawing)


def patch(old: Sequence[str], new: Sequence[str]) -> list[tuple[int, int, str]]:
    """From which token to which one the old ones give way, and to what."""
    steps = SequenceMatcher(None, old, new, autojunk=False).get_opcodes()
    return [(a, b, "".join(new[c:d])) for tag, a, b, c, d in steps if tag != "equal"]
