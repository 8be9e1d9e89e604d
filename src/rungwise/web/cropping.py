"""The part of a picture that matters now: what lies around the leads, at the size of the whole."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence

OVER, UNDER = 55.0, 120.0
"""Units shown above the upper and below the lower lead: a row or two of a ladder, and three."""

LEAST_AROUND = 40.0
"""Units that are shown at the least, where an edge gives way to a label."""

WORTH = 0.7
"""A crop that would show more than this of the picture is none."""

ABOVE, BELOW = 1.0, 0.35
"""How far a text reaches above and below its baseline, in shares of its size, frame included."""

SAME_LABEL = 2.5
"""Lines of text at one x with less than this between them, in units, are one label."""

_BOX = re.compile(r'viewBox="0 0 ([\d.]+) ([\d.]+)"')
_SIZE = re.compile(r'(\sheight=")[\d.]+"')
_HEIGHT = re.compile(r'(?:\bc|\b)y="(-?[\d.]+)"')
_TAG = re.compile(
    r"<g(?=[ >])[^>]*>|</g>"
    r'|<text x="(?P<x>-?[\d.]+)" y="(?P<y>-?[\d.]+)" font-size="(?P<size>[\d.]+)"'
)
_MOVED = re.compile(r'transform="translate\((-?[\d.]+) (-?[\d.]+)\)')

Span = tuple[float, float]
"""From which height to which something stands."""


def cropped(svg: str, terminals: Iterable[str]) -> str:
    """`svg` with a viewBox around the terminals; as it is when they are far apart, or not in it.

    Its edges go between the labels and through none.
    """
    heights = list(_heights(svg, terminals))
    box = _BOX.search(svg)
    if not heights or box is None:
        return svg
    wide, high = float(box[1]), float(box[2])
    labels = _labels(svg)
    top = max(0.0, _edge(labels, min(heights), -1.0))
    bottom = min(high, _edge(labels, max(heights), 1.0))
    if bottom - top > WORTH * high:
        return svg
    around = f'viewBox="0 {top:g} {wide:g} {bottom - top:g}"'
    head, end, rest = svg.partition(">")
    return _SIZE.sub(f'\\g<1>{bottom - top:g}"', _BOX.sub(around, head)) + end + rest


def _heights(svg: str, terminals: Iterable[str]) -> Iterator[float]:
    """How far down the first thing drawn at each terminal stands."""
    for name in terminals:
        at = svg.find(f'data-terminal="{name}"')
        found = _HEIGHT.search(svg, at) if at >= 0 else None
        if found:
            yield float(found[1])


def _labels(svg: str) -> list[Span]:
    """Where the labels stand, the lines of one label together."""
    columns: dict[float, list[Span]] = {}
    for x, top, bottom in sorted(_texts(svg), key=lambda each: each[1]):
        column = columns.setdefault(x, [])
        goes_on = bool(column) and top - column[-1][1] < SAME_LABEL
        column.append((column.pop()[0] if goes_on else top, bottom))
    return [span for column in columns.values() for span in column]


def _texts(svg: str) -> Iterator[tuple[float, float, float]]:
    """Where each text begins from the left, its top and its bottom; groups may be moved."""
    moved = [(0.0, 0.0)]
    for found in _TAG.finditer(svg):
        x, y = moved[-1]
        if found["x"]:
            base, size = y + float(found["y"]), float(found["size"])
            yield x + float(found["x"]), base - ABOVE * size, base + BELOW * size
        elif found[0] == "</g>":
            moved.pop()
        else:
            by = _MOVED.search(found[0])
            moved.append((x + float(by[1]), y + float(by[2])) if by else (x, y))


def _edge(labels: Sequence[Span], lead: float, way: float) -> float:
    """The height nearest to `OVER` or `UNDER` a lead where no label stands. way: -1 up, 1 down."""
    wanted = lead + (UNDER if way > 0 else -OVER)
    ends = [wanted, *(end for span in labels for end in span)]
    for each in sorted(ends, key=lambda end: abs(end - wanted)):
        near = way * (each - lead) < LEAST_AROUND
        if not near and not any(low < each < high for low, high in labels):
            return each
    return wanted
