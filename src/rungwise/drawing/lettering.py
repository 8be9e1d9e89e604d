"""How wide a text is at most, in the fonts that a picture may be shown with.

A browser without the first font of `FONT` takes another; a picture is laid out for the widest.
"""

from __future__ import annotations

import re
from functools import lru_cache

from rungwise.wording import told

FONT = "'DejaVu Sans', Verdana, 'Noto Sans', 'Liberation Sans', Arial, sans-serif"
"""The fonts a picture asks for, widest first."""

SMALLEST = 11.0
"""Size in units of the smallest text: 11 px where a picture 390 units wide fills a phone."""

_GLYPHS = {
    0.30: "'i",
    0.35: 'jl"Ií',
    0.36: "Í",
    0.40: ",./:;|·’",
    0.45: "-f J",
    0.50: "!()[]rt°–¡",
    0.60: "?csz*_`¿",
    0.65: "Lx",
    0.70: "$0123456789EFTaekovyéáóÉ",
    0.75: "CPSYZbdghnpqu{}µñúü",
    0.80: "ABKRVXΔÁÚÓÑ",
    0.85: "#+<=>DGHNU^~×−≤≥",
    0.90: "&OQΩ",
    0.95: "w",
    1.00: "@M…",
    1.05: "%m½",
    1.15: "W",
}
"""Advance widths in shares of the size, rounded up from DejaVu Sans Bold as measured."""

KEPT = 4096
"""Texts at hand: a picture that is drawn anew has the words of the last one."""

_WORD = re.compile(r"[^\s-]+-?\s*|-\s*")
"""A word with the space after it; a hyphen ends one, so that a line may break there."""

_WIDTH = {glyph: width for width, glyphs in _GLYPHS.items() for glyph in glyphs}
_WIDEST = max(_WIDTH.values())


def text_width(text: str, size: float = SMALLEST) -> float:
    """Units that `text` takes at most at `size`, plain or bold, in the language of the picture."""
    return _width(told(text), size)


@lru_cache(maxsize=KEPT)
def _width(text: str, size: float) -> float:
    return size * sum(_WIDTH.get(glyph, _WIDEST) for glyph in text)


def line_height(size: float = SMALLEST) -> float:
    """Units from one line of text to the next."""
    return 1.2 * size


def wrapped(text: str, width: float, size: float = SMALLEST, most: int = 3) -> tuple[str, ...]:
    """`text` in at most `most` lines of `width` units; what does not fit ends in `…`."""
    return _wrapped(told(text), width, size, most)


@lru_cache(maxsize=KEPT)
def _wrapped(text: str, width: float, size: float, most: int) -> tuple[str, ...]:
    lines: list[str] = []
    for word in _WORD.findall(text):
        longer = f"{lines[-1]}{word}" if lines else word
        if lines and text_width(longer.rstrip(), size) <= width:
            lines[-1] = longer
        else:
            lines.append(word)
    if len(lines) > most:
        lines = [*lines[: most - 1], "".join(lines[most - 1 :])]
    return tuple(_cut(line.rstrip(), width, size) for line in lines)


def _cut(line: str, width: float, size: float) -> str:
    if text_width(line, size) <= width:
        return line
    while line and text_width(f"{line}…", size) > width:
        line = line[:-1]
    return f"{line.rstrip()}…"
