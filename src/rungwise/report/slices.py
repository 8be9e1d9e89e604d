"""A tall picture cut into pieces for a page, between its words and symbols where that can be."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from rungwise.drawing import LabelBox, Picture
from rungwise.drawing.ink import plain
from rungwise.unit.element import FloatArray

__all__ = ["TALLEST", "slices"]

TALLEST = 900.0
"""Units of height of one piece: two pieces side by side fill a page at a size that can be read."""

SEARCH = 90.0
"""How far from even a cut may be moved to spare a word."""

_SVG = "{http://www.w3.org/2000/svg}"
_MOVE = re.compile(r"(translate|rotate)\(([^)]*)\)")


def slices(picture: Picture) -> tuple[str, ...]:
    """The picture for paper, as one SVG for each piece, from the top."""
    cuts = [0.0, *_cuts(picture), picture.height]
    ET.register_namespace("", _SVG[1:-1])
    return tuple(
        _piece(plain(picture.svg), picture.width, top, bottom) for top, bottom in pairwise(cuts)
    )


def _cuts(picture: Picture) -> Iterator[float]:
    count = math.ceil(picture.height / TALLEST)
    for at in range(1, count):
        even = picture.height * at / count
        yield min((*_harm(picture, y), abs(y - even), y) for y in _near(even))[-1]


def _near(even: float) -> list[float]:
    return [even + float(step) for step in np.arange(-SEARCH, SEARCH + 1.0, 2.0)]


def _harm(picture: Picture, y: float) -> tuple[int, int]:
    """How many words, and how many symbols, a cut at this height goes through."""
    return _cut(picture.labels, y), _cut(picture.solids, y)


def _cut(boxes: tuple[LabelBox, ...], y: float) -> int:
    return sum(box.y - 1.0 < y < box.y + box.h + 1.0 for box in boxes)


def _piece(svg: str, width: float, top: float, bottom: float) -> str:
    """One piece: what lies outside is cut off, and words outside are taken out altogether.

    A word that is only cut off would still be found by whoever reads the page's text.
    """
    root = ET.fromstring(svg)  # noqa: S314  # our own drawing
    height = bottom - top
    root.set("viewBox", f"0 {top:g} {width:g} {height:g}")
    root.set("height", f"{height:g}")
    _prune(root, np.eye(3), top, bottom)
    return ET.tostring(root, encoding="unicode")


def _prune(element: ET.Element, matrix: FloatArray, top: float, bottom: float) -> None:
    for child in list(element):
        if child.tag in (f"{_SVG}title", f"{_SVG}desc"):
            element.remove(child)
            continue
        inner = matrix @ _matrix(child.get("transform", ""))
        if child.tag == f"{_SVG}text":
            y = float((inner @ [float(child.get("x", 0)), float(child.get("y", 0)), 1.0])[1])
            if not top <= y <= bottom:
                element.remove(child)
        else:
            _prune(child, inner, top, bottom)


def _matrix(transform: str) -> FloatArray:
    """A transform as a matrix; the drawing room moves and turns, and does nothing else."""
    found = np.eye(3)
    for name, told in _MOVE.findall(transform):
        numbers = [float(each) for each in re.split(r"[\s,]+", told.strip())]
        if name == "translate":
            step = np.array([[1, 0, numbers[0]], [0, 1, (*numbers, 0.0)[1]], [0, 0, 1]], float)
        else:
            step = _turn(numbers)
        found = found @ step
    return found


def _turn(numbers: list[float]) -> FloatArray:
    angle = math.radians(numbers[0])
    x, y = numbers[1:3] if len(numbers) > 2 else (0.0, 0.0)
    cos, sin = math.cos(angle), math.sin(angle)
    return np.array(
        [[cos, -sin, x - x * cos + y * sin], [sin, cos, y - x * sin - y * cos], [0, 0, 1]], float
    )
