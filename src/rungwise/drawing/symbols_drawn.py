"""The symbols of a ladder: contacts as bars, coils and motors in circles, switches as blades.

Each is drawn on a line that runs down from its upper terminal at 0 to its lower one at `length`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import cos, pi, sin

from rungwise.drawing.ink import INK, PAPER
from rungwise.drawing.svg import Tag, Value, circle, line, path, rect, tag
from rungwise.parts import Sign as Symbol

Tags = tuple[Tag, ...]

PEN: dict[str, Value] = {"stroke": INK, "stroke_width": 2.0, "stroke_linecap": "round"}
FILLED: dict[str, Value] = {"fill": PAPER, "stroke": INK, "stroke_width": 2.0}
BOLD: dict[str, Value] = {"stroke": INK, "stroke_width": 5.0, "stroke_linecap": "butt"}


@dataclass(frozen=True, slots=True)
class Sign:
    """What a symbol shows: its length from terminal to terminal, and how it stands.

    `closed` is None where nobody says; then a contact is drawn as it is de-energised.
    """

    length: float
    closed: bool | None = None
    on: bool = False

    @property
    def middle(self) -> float:
        """Half way down."""
        return 0.5 * self.length


def drawn_symbol(name: Symbol, sign: Sign) -> Tags:
    """The symbol called `name`, leads and all."""
    return _SYMBOLS[name](sign)


def overload(x: float, y: float) -> Tags:
    """The internal overload on a motor's common lead: a bent strip in a small box."""
    bent = ((x, y), (x + 4, y), (x + 4, y - 4), (x + 10, y - 4), (x + 10, y), (x + 14, y))
    return (rect(x, y - 6, 14, 9, **FILLED), path(bent, stroke=INK, stroke_width=1.4))


def turning(x: float, y: float, radius: float) -> Tags:
    """Two arrows around a circle: it turns."""
    found: list[Tag] = []
    for start in (-0.35, pi - 0.35):
        arc = [start + 0.14 * k for k in range(6)]
        points = [(x + radius * cos(a), y + radius * sin(a)) for a in arc]
        found.append(path(points, **PEN))
        tip, (px, py) = arc[-1] + 0.16, points[-1]
        head = (
            (px + 4 * cos(arc[-1]), py + 4 * sin(arc[-1])),
            (px - 4 * cos(arc[-1]), py - 4 * sin(arc[-1])),
            (x + radius * cos(tip), y + radius * sin(tip)),
        )
        found.append(tag("polygon", points=" ".join(f"{a:.1f},{b:.1f}" for a, b in head), fill=INK))
    return tuple(found)


def _leads(sign: Sign, half: float) -> Tags:
    m = sign.middle
    return line((0, 0), (0, m - half), **PEN), line((0, m + half), (0, sign.length), **PEN)


def _bars(sign: Sign, half: float) -> Tags:
    bars = tuple(line((-9, sign.middle + s), (9, sign.middle + s), **PEN) for s in (-half, half))
    return (*_leads(sign, half), *bars)


def _bridge(sign: Sign, half: float) -> Tags:
    return (line((0, sign.middle - half), (0, sign.middle + half), **BOLD),)


def _contact(sign: Sign) -> Tags:
    return (*_bars(sign, 5), *(_bridge(sign, 5) if sign.closed else ()))


def _contact_nc(sign: Sign) -> Tags:
    m = sign.middle
    if sign.closed is False:
        return (*_bars(sign, 7), line((-8, m - 3), (8, m - 12), **PEN))
    return (*_bars(sign, 5), line((-9, m + 8), (9, m - 8), **PEN))


def _bar(sign: Sign) -> Tags:
    return (line((0, 0), (0, sign.length), stroke=INK, stroke_width=6),)


def _dots(sign: Sign, half: float) -> Tags:
    return tuple(circle((0, sign.middle + s), 2.4, **FILLED) for s in (-half, half))


def _blade(sign: Sign, half: float = 9.0) -> Tags:
    m = sign.middle
    end = (0.0, m - half + 2.4) if sign.closed is not False else (8.5, m - half + 1)
    return (line((0, m + half - 2.4), end, **PEN), *_dots(sign, half), *_leads(sign, half + 2.4))


def _aside(sign: Sign) -> float:
    """Where the middle of a blade is: a little aside while it is open."""
    return 0.0 if sign.closed is not False else 4.0


def _pullout(sign: Sign) -> Tags:
    m = sign.middle
    jaws = tuple(line((-4.5, m + s), (4.5, m + s), **PEN) for s in (-12.5, 12.5))
    return (*_blade(sign), *jaws)


def _breaker(sign: Sign) -> Tags:
    x, m = _aside(sign), sign.middle
    arc = [(x + 8 * sin(pi * k / 8), m - 8 * cos(pi * k / 8)) for k in range(9)]
    return (path(arc, **PEN), *_dots(sign, 9), *_leads(sign, 11.4))


def _fused_switch(sign: Sign) -> Tags:
    m = sign.middle
    end = (0.0, m - 13) if sign.closed is not False else (8.0, m - 13)
    return (
        line((0, 0), (0, m - 17.4), **PEN),
        *(circle((0, m + y), 2.4, **FILLED) for y in (-15, -2)),
        line((0, m - 4.4), end, **PEN),
        rect(-4.5, m + 3, 9, 14, **FILLED),
        line((0, m), (0, sign.length), **PEN),
    )


def _float_switch(sign: Sign) -> Tags:
    x, m = _aside(sign), sign.middle
    return (*_blade(sign), line((x, m), (x + 5, m), **PEN), circle((x + 8, m), 3.2, **FILLED))


def _pressure_switch(sign: Sign) -> Tags:
    x, m = _aside(sign), sign.middle
    dome = [(x + 5 + 6 * sin(pi * k / 8), m - 6 * cos(pi * k / 8)) for k in range(9)]
    return (*_blade(sign), line((x, m), (x + 5, m), **PEN), path([*dome, dome[0]], **PEN))


def _thermal_switch(sign: Sign) -> Tags:
    closed = Sign(sign.length, bool(sign.closed))
    x, m = _aside(closed), sign.middle
    bent = [(x, m), (x + 3, m), (x + 3, m - 4), (x + 7, m - 4), (x + 7, m), (x + 10, m)]
    return (*_blade(closed), path(bent, stroke=INK, stroke_width=1.6))


def _fuse(sign: Sign) -> Tags:
    m = sign.middle
    broken: Tags
    if sign.closed is False:
        broken = (line((0, m - 9), (0, m - 4), **PEN), line((0, m + 4), (0, m + 9), **PEN))
    else:
        broken = (line((0, m - 10), (0, m + 10), **PEN),)
    return (*_leads(sign, 10), rect(-5, m - 10, 10, 20, **FILLED), *broken)


def _heater(sign: Sign) -> Tags:
    m = sign.middle
    ribs = tuple(line((-5.5, m + y), (5.5, m + y), **PEN) for y in (-6.5, 0, 6.5))
    fill: dict[str, Value] = {**FILLED, "stroke_width": 3.5 if sign.on else 2.0}
    return (*_leads(sign, 13), rect(-5.5, m - 13, 11, 26, **fill), *ribs)


def _winding(sign: Sign) -> Tags:
    m, r = sign.middle, 4.5
    bumps = "".join(f" a{r},{r} 0 0 0 0,{2 * r}" for _ in range(3))
    curve = tag("path", d=f"M0,{m - 3 * r}{bumps}", fill="none", **PEN)
    return (*_leads(sign, 3 * r), curve)


def _capacitor(sign: Sign) -> Tags:
    m = sign.middle
    plates = tuple(
        line((-10, m + y), (10, m + y), stroke=INK, stroke_width=2.6) for y in (-3.2, 3.2)
    )
    return (*_leads(sign, 3.2), *plates)


def _coil(sign: Sign) -> Tags:
    inner = (circle((0, sign.middle), 5, fill=INK),) if sign.on else ()
    return (*_leads(sign, 11), circle((0, sign.middle), 11, **FILLED), *inner)


def _timer(sign: Sign) -> Tags:
    m = sign.middle
    hands = path([(0, m - 5), (0, m), (4, m + 2)], stroke=INK, stroke_width=1.6)
    return (*_leads(sign, 10), rect(-10, m - 10, 20, 20, **FILLED), hands)


def _box(sign: Sign) -> Tags:
    half = 0.5 * min(sign.length - 12, 24.0)
    return (*_leads(sign, half), rect(-9, sign.middle - half, 18, 2 * half, **FILLED))


_SYMBOLS: dict[Symbol, Callable[[Sign], Tags]] = {
    "contact": _contact,
    "contact_nc": _contact_nc,
    "bar": _bar,
    "box": _box,
    "switch": _blade,
    "pullout": _pullout,
    "breaker": _breaker,
    "fused_switch": _fused_switch,
    "float": _float_switch,
    "pressure_switch": _pressure_switch,
    "thermal_switch": _thermal_switch,
    "fuse": _fuse,
    "heater": _heater,
    "winding": _winding,
    "capacitor": _capacitor,
    "coil": _coil,
    "timer": _timer,
}
