"""The sign inside each part of the panel picture, drawn in a square of 32 units.

After the general forms of the open standards (IEC 60617, ISO 14617), from memory; a part without
a sign of its own shows none, its words stand for it.
"""

from __future__ import annotations

from collections.abc import Callable
from math import cos, pi, sin

from rungwise.drawing.ink import INK, PAPER
from rungwise.drawing.svg import Point, Tag, circle, group, line, path, rect, tag
from rungwise.parts import Mark

THIN, THICK = 1.6, 2.6


def sign(mark: Mark, *, running: bool) -> Tag | None:
    """The sign called `mark`; a fan's blades are filled while it runs."""
    if mark == "":
        return None
    return _fan(filled=running) if mark == "fan" else _SIGNS[mark]()


def _ring() -> Tag:
    return circle((16, 16), 14, fill=PAPER, stroke=INK, stroke_width=THIN)


def _stroke(*points: Point, width: float = THIN) -> Tag:
    return path(points, stroke=INK, stroke_width=width)


def _fan(*, filled: bool) -> Tag:
    blades = [_blade(2 * pi * turn / 3, filled=filled) for turn in range(3)]
    return group(_ring(), *blades, circle((16, 16), 2.4, fill=INK))


def _blade(angle: float, *, filled: bool) -> Tag:
    tip = (16 + 12 * cos(angle), 16 + 12 * sin(angle))
    side = (16 + 9 * cos(angle + 0.9), 16 + 9 * sin(angle + 0.9))
    told = f"M16 16L{tip[0]:.1f} {tip[1]:.1f}Q{side[0]:.1f} {side[1]:.1f} 16 16Z"
    return tag("path", d=told, fill=INK if filled else "none", stroke=INK, stroke_width=THIN)


def _compressor() -> Tag:
    return group(_ring(), _stroke((8, 5), (24, 11)), _stroke((8, 27), (24, 21)))


def _capacitor() -> Tag:
    plates = [line((x, 5), (x, 27), stroke=INK, stroke_width=THICK) for x in (12.5, 19.5)]
    leads = [_stroke((1, 16), (12.5, 16)), _stroke((19.5, 16), (31, 16))]
    return group(*plates, *leads)


def _dual_capacitor() -> Tag:
    outer = [line((x, 5), (x, 27), stroke=INK, stroke_width=THICK) for x in (8, 16, 24)]
    leads = [_stroke((1, 16), (8, 16)), _stroke((24, 16), (31, 16)), _stroke((16, 1), (16, 31))]
    return group(*outer, *leads)


def _heater() -> Tag:
    box = rect(3, 10, 26, 12, fill=PAPER, stroke=INK, stroke_width=THIN)
    bars = [line((x, 10), (x, 22), stroke=INK, stroke_width=THIN) for x in (9.5, 16, 22.5)]
    return group(box, *bars)


def _relay() -> Tag:
    box = rect(3, 9, 14, 14, fill=PAPER, stroke=INK, stroke_width=THIN)
    link = line((17, 16), (25, 16), stroke=INK, stroke_width=1, stroke_dasharray="2 2")
    return group(box, link, _stroke((25, 28), (25, 21), (20, 9)), _stroke((25, 4), (25, 9)))


def _clock() -> Tag:
    return group(_ring(), _stroke((16, 6), (16, 16), (23, 20), width=2))


def _transformer() -> Tag:
    rings = [circle((x, 16), 9.5, fill="none", stroke=INK, stroke_width=THIN) for x in (11, 21)]
    return group(*rings)


def _wave() -> Tag:
    told = "M7 16Q11.5 4 16 16Q20.5 28 25 16"
    return group(_ring(), tag("path", d=told, fill="none", stroke=INK, stroke_width=2))


def _thermostat() -> Tag:
    bulb = circle((16, 24), 4.5, fill=INK)
    return group(_ring(), bulb, line((16, 6), (16, 22), stroke=INK, stroke_width=THICK))


_SIGNS: dict[Mark, Callable[[], Tag]] = {
    "compressor": _compressor,
    "double capacitor": _dual_capacitor,
    "capacitor": _capacitor,
    "heater": _heater,
    "coil and contact": _relay,
    "clock": _clock,
    "two rings": _transformer,
    "wave": _wave,
    "bulb": _thermostat,
}


def contact(top: Point, bottom: Point, *, closed: bool | None, link: bool) -> Tag:
    """A contact between two plates: closed, open, or (None) a solid bar; `link` for a fuse."""
    x, low = top[0], bottom[1]
    if closed is None:
        return line(top, bottom, stroke=INK, stroke_width=6)
    middle = (top[1] + low) / 2
    upper, lower = middle - 8, middle + 8
    leads = [_stroke(top, (x, upper)), _stroke((x, lower), (x, low))]
    if link:
        body = rect(x - 4, upper, 8, 16, fill=PAPER, stroke=INK, stroke_width=THIN)
        wire = [_stroke((x, upper), (x, lower))] if closed else []
        return group(*leads, body, *wire)
    arm = (x, upper) if closed else (x - 9, upper + 1)
    dots = [circle((x, y), 2.2, fill=INK) for y in (upper, lower)]
    return group(*leads, line((x, lower), arm, stroke=INK, stroke_width=THICK), *dots)
