"""Small things that templates say the same way everywhere."""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType
from urllib.parse import urlencode

from markupsafe import escape

from rungwise.parts import end_mark, terminal_of
from rungwise.wording import mark, say, shaped, told

UNITS = (
    "%", "V", "mV", "Ω", "kΩ", "MΩ", "GΩ", "A", "mA", "µF", "W", "kW", "VA", "Hz", "°F", "°C", "K",
    "psi", "kPa", "cfm", "m³/h", "ft", "m", "mm", "lb", "oz", "s", "min", "minutes", "minute",
    "h", "hours", "years", "tons", "points", "bits",
)  # fmt: skip
"""What may stand behind a number."""

_FIRM = "\u00a0"
_ANY_UNIT = "|".join(sorted(map(re.escape, UNITS), key=len, reverse=True))
_TAG = re.compile(r"(<[^<>]*>)")
_KEPT = re.compile(r"(<svg\b.*?</svg>|<(?:textarea|option|title)\b[^>]*>[^<]*)", re.DOTALL)
_APART = re.compile(
    # The number is looked for behind the space: so the search can leap from one to the next.
    rf"(?: (?<=[0-9] )(?=(?:{_ANY_UNIT})(?![\w/]))"
    r"|[ >][a-z]\w*\.\w+\b| \(\w+\))"
    r"(?![^<>]*>)"  # and not inside a tag: few are found, so few need this look
)


def amount(count: int, one: str, many: str = "") -> str:
    """How many of something: "1 reading", "3 readings", "no reading"."""
    if count == 0:
        return say("no {thing}", thing=mark(one))
    thing = mark(one if count == 1 else many or f"{one}s")
    return say("{count} {things}", count=count, things=thing)


def anchor(text: str) -> str:
    """`text` as an id in the page, the same each time."""
    return re.sub(r"[^A-Za-z0-9_-]+", "-", text).strip("-")


def asked(title: str) -> str:
    """A check's title with what was read behind it: "volts on the coil:", or its question."""
    return shaped(title, _asked)


def terminal(name: str) -> str:
    """A terminal as it is marked on its part: `contactor.T1` is T1, `contactor.coil1` is coil 1."""
    return end_mark(terminal_of(name) or name)


def together(
    html: str,
    names: Mapping[str, str] = MappingProxyType({}),
) -> str:
    """A page whose numbers keep their units on their line, in all that is read of it.

    names: what a person calls a terminal or a wire, by its name in the unit's file; plain text,
    which a unit file from anywhere may have brought.

    What goes back as it stands, in tags, options and fields of text, is left alone, and so are
    drawings, which break no line.
    """

    def put(found: re.Match[str]) -> str:
        if found[0] == " ":
            return _FIRM
        before, name = found[0][0], found[0][1:]
        return f"{before}{escape(told(names[name])) if name in names else name}"

    pieces = _KEPT.split(html)
    pieces[::2] = [_APART.sub(put, each) for each in pieces[::2]]
    return "".join(pieces)


def _asked(title: str) -> str:
    return title if "?" in title else f"{title}:"


def skipping(check: str) -> str:
    """A check that is skipped, as a piece of an address."""
    return urlencode({"skip": check})
