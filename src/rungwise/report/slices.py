"""A tall picture cut into pieces for a page, between its words and symbols where that can be."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from rungwise.drawing import LabelBox, Picture, plain
from rungwise.parts import FloatArray

SEARCH = 200.0
"""How much shorter than it may be a piece is made for a better cut."""

SLACK = 1.0
"""A word's own letters leave so much of its box free, above and below."""

AIR = 7.0
"""A cut this far from every word is a good one: it lies between two groups of parts."""

_SVG = "{http://www.w3.org/2000/svg}"
_MOVE = re.compile(r"(translate|rotate)\(([^)]*)\)")


class Piece(NamedTuple):
    """A piece of a picture, and how high it is in the picture's units."""

    svg: str
    height: float


def slices(picture: Picture, first: float, tallest: float) -> tuple[Piece, ...]:
    """The picture for paper, one SVG for each piece, from the top.

    first, tallest: units of height that the first piece and each other may have at most.
    """
    cuts = [0.0, *_cuts(picture, first, tallest), picture.height]
    ET.register_namespace("", _SVG[1:-1])
    return tuple(
        Piece(_piece(plain(picture.svg), picture.width, top, bottom), bottom - top)
        for top, bottom in pairwise(cuts)
    )


def _cuts(picture: Picture, first: float, tallest: float) -> Iterator[float]:
    end = first
    while end < picture.height:
        cut = min((*_harm(picture, y), end - y, y) for y in _above(end))[-1]
        yield cut
        end = cut + tallest


def _above(end: float) -> list[float]:
    return [end - float(step) for step in np.arange(0.0, min(SEARCH, end / 2.0), 0.5)]


def _harm(picture: Picture, y: float) -> tuple[int, int, int]:
    """How many words and how many symbols a cut at this height goes through, or comes near."""
    words, solids = picture.labels, picture.solids
    return _cut(words, y, -SLACK), _cut(solids, y, SLACK), _cut(words, y, AIR)


def _cut(boxes: tuple[LabelBox, ...], y: float, reach: float) -> int:
    return sum(box.y - reach < y < box.y + box.h + reach for box in boxes)


def _piece(svg: str, width: float, top: float, bottom: float) -> str:
    """One piece: what lies outside is cut off, and words outside are taken out altogether.

    A word that is only cut off would still be found by whoever reads the page's text.
    """
    root = ET.fromstring(svg)  # noqa: S314  # our own drawing
    height = bottom - top
    root.set("viewBox", f"0 {top:g} {width:g} {height:g}")
    root.set("width", f"{width:g}")
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
    for name, figures in _MOVE.findall(transform):
        numbers = [float(each) for each in re.split(r"[\s,]+", figures.strip())]
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
