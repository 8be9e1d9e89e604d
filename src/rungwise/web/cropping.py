"""The part of a picture that matters now: what lies around the leads, at the size of the whole."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

__all__ = ["cropped"]

AROUND = 120.0
"""Units shown above the upper and below the lower lead: three or four rows of a ladder."""

WORTH = 0.7
"""A crop that would show more than this of the picture is none."""

_BOX = re.compile(r'viewBox="0 0 ([\d.]+) ([\d.]+)"')
_SIZE = re.compile(r'(\sheight=")[\d.]+"')
_HEIGHT = re.compile(r'(?:\bc|\b)y="(-?[\d.]+)"')


def cropped(svg: str, terminals: Iterable[str]) -> str:
    """`svg` with a viewBox around the terminals; as it is when they are far apart, or not in it."""
    heights = list(_heights(svg, terminals))
    box = _BOX.search(svg)
    if not heights or box is None:
        return svg
    wide, high = float(box[1]), float(box[2])
    top = max(0.0, min(heights) - AROUND)
    bottom = min(high, max(heights) + AROUND)
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
