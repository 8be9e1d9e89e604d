"""Colours, line styles and the letter codes of wire colours.

Every colour is a CSS custom property with a fallback: a page's style restyles a picture for light,
dark and print, and alone it is dark ink on white paper.  No state is told by colour alone.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from rungwise.wording import mark

INK = "var(--ink, #1b1f24)"
PAPER = "var(--paper, #ffffff)"
QUIET = "var(--quiet, #5a6270)"
"""Words beside the matter: part names, legends."""

FAINT = "var(--faint, #c9ced6)"
"""Frames and rules; nothing that has to be read."""

LIVE = "var(--live, #e8590c)"
LEFTOVER = "var(--leftover, #7048c8)"
SUSPECT = "var(--suspect, #b35c00)"
LEAD_RED = "var(--lead-red, #c4121a)"
LEAD_BLACK = "var(--lead-black, #101418)"
CHANGED = "var(--changed, #0b7285)"


Volts = Literal["", "live", "leftover"]


@dataclass(frozen=True, slots=True)
class LineStyle:
    """How the band behind a wire tells its state: colour, width, dashes; None where it has none."""

    colour: str
    width: float
    dash: str | None
    words: str


STATES: dict[Volts, LineStyle] = {
    "live": LineStyle(LIVE, 8.0, None, mark("energized: solid band")),
    "leftover": LineStyle(LEFTOVER, 8.0, "3 3", mark("live by a leftover path: barred band")),
}
"""The states that a wire or terminal may be in besides without volts, which has no band."""


@dataclass(frozen=True, slots=True)
class WireInk:
    """What a wire is drawn with: its base colour, its stripe or None, its letter code."""

    base: str
    stripe: str | None
    code: str


_COLOURS = {
    "black": ("BK", "#23262b"),
    "brown": ("BN", "#7b4a21"),
    "red": ("RD", "#d0202a"),
    "orange": ("OG", "#f08a00"),
    "yellow": ("YE", "#f5cf00"),
    "green": ("GN", "#1f9d45"),
    "blue": ("BU", "#1f6fd6"),
    "violet": ("VT", "#8a3fb8"),
    "purple": ("VT", "#8a3fb8"),
    "grey": ("GY", "#8b929c"),
    "gray": ("GY", "#8b929c"),
    "white": ("WH", "#ffffff"),
    "pink": ("PK", "#f08fb4"),
    "turquoise": ("TQ", "#17a5a5"),
}
"""Letter codes: IEC 60757:2021 (from memory); the shades are our own."""

_CSS_NAME = {"purple": "violet", "grey": "gray"}
_VAR = re.compile(r"var\(\s*--[\w-]+\s*,\s*([^()]+?)\s*\)")


def colour_code(colour: str) -> str:
    """The letter code of a wire colour, stripe after base: `YEBK`; an unknown word as it is."""
    return "".join(_COLOURS[each][0] if each in _COLOURS else each for each in _words(colour))


def wire_ink(colour: str) -> WireInk:
    """The ink of a wire of this colour, such as `red` or `yellow/black`."""
    inks = [_css(each) for each in _words(colour)] or [INK]
    return WireInk(inks[0], inks[1] if len(inks) > 1 else None, colour_code(colour))


def colour_words(colours: Iterable[str]) -> tuple[tuple[str, str], ...]:
    """The legend of these wires' colours: letter code and word, one a single colour, sorted."""
    single = {each for colour in colours for each in _words(colour)}
    named = {_CSS_NAME.get(each, each) for each in single}
    return tuple(sorted((colour_code(each), each) for each in named if each in _COLOURS))


def plain(svg: str) -> str:
    """The picture with every custom property replaced by its fallback, for paper."""
    return _VAR.sub(r"\1", svg)


def _words(colour: str) -> tuple[str, ...]:
    return tuple(each for each in re.split(r"[/\s_-]+", colour.casefold().strip()) if each)


def _css(word: str) -> str:
    if word not in _COLOURS:
        return QUIET
    return f"var(--wire-{_CSS_NAME.get(word, word)}, {_COLOURS[word][1]})"
