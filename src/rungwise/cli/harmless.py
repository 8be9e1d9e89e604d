"""Texts from files and hands, as a terminal may be given them."""

from __future__ import annotations

import re

_OBEYED = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")
"""What a terminal obeys instead of showing it: control signs, escapes, turns of the direction."""


def harmless(text: str) -> str:
    """The text with a replacement sign for whatever a terminal would obey."""
    return _OBEYED.sub("\N{REPLACEMENT CHARACTER}", text)
