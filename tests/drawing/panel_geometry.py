"""The panel picture read back from its SVG, by another way than it was drawn."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from xml.etree import ElementTree as ET

from rungwise.drawing.picture import LabelBox, Picture

__all__ = ["Line", "Seen", "crossing_count", "seen"]

SVG = "{http://www.w3.org/2000/svg}"
CASING = 4.8


@dataclass(frozen=True)
class Line:
    """One straight piece of a wire."""

    wire: str
    x1: float
    y1: float
    x2: float
    y2: float

    @property
    def across(self) -> bool:
        return self.y1 == self.y2

    def box(self, half: float = CASING / 2) -> LabelBox:
        """A box around it, `half` on every side; half 0 is widened to be more than a line."""
        half = max(half, 0.02)
        left, top = min(self.x1, self.x2) - half, min(self.y1, self.y2) - half
        w, h = abs(self.x1 - self.x2) + 2 * half, abs(self.y1 - self.y2) + 2 * half
        return LabelBox(self.wire, left, top, w, h)

    def cased(self) -> LabelBox:
        """What its casing covers; it has no caps, so nothing beyond its ends."""
        half = CASING / 2
        left, top = min(self.x1, self.x2), min(self.y1, self.y2)
        if self.across:
            return LabelBox(self.wire, left, top - half, abs(self.x1 - self.x2), CASING)
        return LabelBox(self.wire, left - half, top, CASING, abs(self.y1 - self.y2))

    def tips(self) -> tuple[LabelBox, LabelBox]:
        """Small boxes around its two ends."""
        ends = (self.x1, self.y1), (self.x2, self.y2)
        first, last = (LabelBox(self.wire, x - 0.1, y - 0.1, 0.2, 0.2) for x, y in ends)
        return first, last


@dataclass(frozen=True)
class Seen:
    """Wires, terminals' plates and every id and title of a picture."""

    lines: tuple[Line, ...]
    plates: tuple[LabelBox, ...]
    titles: dict[str, str]


def seen(picture: Picture) -> Seen:
    root = ET.fromstring(picture.svg)  # noqa: S314 - our own picture
    lines: list[Line] = []
    plates: list[LabelBox] = []
    titles: dict[str, str] = {}
    for group in root.iter(f"{SVG}g"):
        title = group.find(f"{SVG}title")
        name = group.get("id")
        if name is None:
            continue
        titles[name] = title.text or "" if title is not None else ""
        if wire := group.get("data-wire"):
            lines += _lines(wire, group)
        if terminal := group.get("data-terminal"):
            plates += _plates(terminal, group)
    return Seen(tuple(lines), tuple(plates), titles)


def _lines(wire: str, group: ET.Element) -> list[Line]:
    drawn = [p for p in group.iter(f"{SVG}polyline") if p.get("stroke-width") == str(CASING)]
    (casing,) = drawn
    points = [tuple(map(float, pair.split(","))) for pair in (casing.get("points") or "").split()]
    return [Line(wire, a[0], a[1], b[0], b[1]) for a, b in pairwise(points)]


def _plates(terminal: str, group: ET.Element) -> list[LabelBox]:
    rects = [r for r in group.iter(f"{SVG}rect") if (r.get("fill") or "").startswith("var(--paper")]
    size = ("x", "y", "width", "height")
    return [LabelBox(terminal, *(float(r.get(key) or 0) for key in size)) for r in rects]


def crossing_count(lines: tuple[Line, ...]) -> int:
    """Crossings counted exactly: a piece across and a piece along that meet inside of both."""
    flat = [line for line in lines if line.across]
    upright = [line for line in lines if not line.across]
    return sum(1 for one in flat for two in upright if one.wire != two.wire and _meet(one, two))


def _meet(flat: Line, upright: Line) -> bool:
    inside_x = min(flat.x1, flat.x2) < upright.x1 < max(flat.x1, flat.x2)
    return inside_x and min(upright.y1, upright.y2) < flat.y1 < max(upright.y1, upright.y2)
