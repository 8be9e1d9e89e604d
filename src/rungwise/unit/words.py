"""What a person calls a place of a unit, and the two points that leads go to."""

from __future__ import annotations

import re

from rungwise.parts import EARTH, KINDS, Control, end_mark
from rungwise.unit.unit import Unit
from rungwise.wording import joined, mark, say

_PLACES = {
    "panel": mark("panel"),
    "disconnect": mark("disconnect"),
    "outdoor": mark("outdoor unit"),
    "indoor": mark("indoor unit"),
    "room": min((kind.title for kind in KINDS.values() if kind.facet(Control)), key=len),
}

_GREY = re.compile(r"\bgrey\b")


def place_words(place: str) -> str:
    """What a person calls a place of the unit."""
    return _PLACES.get(place, place)


def two_ends(unit: Unit, one: str, other: str = "") -> str:
    """Where both leads go; bare metal where the second is nowhere."""
    if other == EARTH:
        second = mark("ground (bare metal)")
    else:
        second = unit.end_words(other) if other else mark("bare metal")
    return say("{one} to {other}", one=unit.end_words(one), other=second)


def pair_mark(one: str, other: str) -> str:
    """Two terminals of a part, as they are marked: "HERM-C"."""
    return joined("-", (end_mark(one), end_mark(other)))


def spelled_here(color: str) -> str:
    """The color of a wire as the trade here writes it: a file may say grey."""
    return _GREY.sub("gray", color)
