"""Small windows on a ladder, one or a few side by side, that show every lead at a legible size."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import reduce
from html import unescape

from rungwise.drawing import SMALLEST, text_width

WIDE_PX, HIGH_PX = 342.0, 108.0
"""What the frame of a picture on a card shows at the least, on a screen 390 wide."""

LETTER_PX = 14.1
"""Letters are shown this large at the least: the 14 of every text, and what rounding takes."""

DIVIDED_PX = 3.0
"""The line between two panes, which one of them gives way to."""

LEAD = 10.0
"""How far the mark of a lead reaches from its terminal, in units."""

MARGIN = 2.0
"""Units left free around what is shown."""

INSIDE = "inside"
"""What the drawn things of a picture are called together, after its own name."""

_HEADED = re.compile(r'<svg\b[^>]*\bid="([\w-]+)"[^>]*>')
_TAG = re.compile(
    r'<g(?=[ >])[^>]*>|</g>|<circle cx="(?P<cx>-?[\d.]+)" cy="(?P<cy>-?[\d.]+)"'
    r"|"
    r'<text x="(?P<x>-?[\d.]+)" y="(?P<y>-?[\d.]+)"'
    r' font-size="(?P<size>[\d.]+)"(?: text-anchor="(?P<anchor>\w+)")?[^>]*>(?P<words>[^<]*)'
)
_MOVED = re.compile(r'transform="translate\((-?[\d.]+) (-?[\d.]+)\)')
_TERMINAL = re.compile(r'data-terminal="([^"]+)"')


@dataclass(frozen=True, slots=True)
class Box:
    """From left to right and from top to bottom, in units of the picture."""

    left: float
    top: float
    right: float
    bottom: float

    def with_(self, other: Box) -> Box:
        """The least that holds both."""
        return Box(
            min(self.left, other.left), min(self.top, other.top),
            max(self.right, other.right), max(self.bottom, other.bottom),
        )  # fmt: skip

    def away(self, other: Box) -> float:
        """How far apart the two are, along and across."""
        across = max(0.0, self.left - other.right, other.left - self.right)
        return across + max(0.0, self.top - other.bottom, other.top - self.bottom)

    def fits(self, wide: float, high: float) -> bool:
        """Whether a window of that size shows it whole."""
        return self.right - self.left <= wide and self.bottom - self.top <= high


def grouped(svg: str) -> str:
    """`svg` with all that it draws in one group, which a pane can then show part of."""
    head = _HEADED.match(svg)
    if head is None:
        return svg
    inside, end, rest = svg[head.end() :].rpartition("</svg>")
    return f'{head[0]}<g id="{head[1]}-{INSIDE}">{inside}</g>{end}{rest}'


def panes(svg: str, terminals: Sequence[str]) -> list[str]:
    """The viewBox of each pane, as few as show every one of the terminals that are drawn."""
    places, labels = _drawn(svg)
    found = [places[each] for each in dict.fromkeys(terminals) if each in places]
    if not found:
        return []
    groups = _groups(found)
    wide, high = _size(len(groups))
    return [_window(each, labels, wide, high) for each in groups]


def _size(panes: int) -> tuple[float, float]:
    """How much of a picture each of so many panes shows, its smallest letters legible."""
    scale = LETTER_PX / SMALLEST
    divided = DIVIDED_PX if panes > 1 else 0.0
    return (WIDE_PX / panes - divided) / scale, HIGH_PX / scale


def _groups(found: Sequence[Box]) -> list[list[Box]]:
    """The leads that stand in one pane each time: all, else two halves, else each alone."""
    if _together(found, 1):
        return [list(found)]
    order = sorted(found, key=lambda each: (each.top, each.left))
    for cut in range(1, len(order)):
        halves = [order[:cut], order[cut:]]
        if all(_together(each, 2) for each in halves):
            return sorted(halves, key=lambda each: found[0] not in each)  # the red lead first
    return [[each] for each in found]


def _together(group: Sequence[Box], panes: int) -> bool:
    wide, high = _size(panes)
    return reduce(Box.with_, group).fits(wide - 2 * MARGIN, high - 2 * MARGIN)


def _window(group: Sequence[Box], labels: Sequence[Box], wide: float, high: float) -> str:
    """The pane around a group, with the labels nearest to it whole for as long as they fit."""
    shown = reduce(Box.with_, group)
    for each in sorted(labels, key=lambda label: min(label.away(lead) for lead in group)):
        more = shown.with_(each)
        if more.fits(wide - 2 * MARGIN, high - 2 * MARGIN):
            shown = more
    left = (shown.left + shown.right - wide) / 2
    top = (shown.top + shown.bottom - high) / 2
    return f"{left:.1f} {top:.1f} {wide:.1f} {high:.1f}"


def _drawn(svg: str) -> tuple[dict[str, Box], list[Box]]:
    """Where each terminal stands and each text; groups may be moved, never turned."""
    places: dict[str, Box] = {}
    labels = []
    for name, moved, found in _walked(svg):
        if found["words"] is not None:
            labels.append(_label(found, *moved))
        elif name and name not in places:
            x, y = moved[0] + float(found["cx"]), moved[1] + float(found["cy"])
            places[name] = Box(x - LEAD, y - LEAD, x + LEAD, y + LEAD)
    return places, labels


def _walked(svg: str) -> Iterator[tuple[str, tuple[float, float], re.Match[str]]]:
    """Every mark and text with the terminal that it belongs to, and how far it is moved."""
    inside = [("", (0.0, 0.0))]
    for found in _TAG.finditer(svg):
        name, (x, y) = inside[-1]
        if found[0] == "</g>":
            inside.pop()
        elif found[0].startswith("<g"):
            by, terminal = _MOVED.search(found[0]), _TERMINAL.search(found[0])
            moved = (x + float(by[1]), y + float(by[2])) if by else (x, y)
            inside.append((unescape(terminal[1]) if terminal else name, moved))
        else:
            yield name, (x, y), found


def _label(found: re.Match[str], x: float, y: float) -> Box:
    size = float(found["size"])
    wide = text_width(unescape(found["words"]), size)
    share = {None: 0.0, "middle": 0.5, "end": 1.0}[found["anchor"]]
    left, base = x + float(found["x"]) - share * wide, y + float(found["y"])
    return Box(left, base - size, left + wide, base + 0.35 * size)
