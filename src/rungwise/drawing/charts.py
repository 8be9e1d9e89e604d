"""Charts in the same hand as the pictures: every figure stands in words beside its mark.

No chart tells anything by colour alone: what was measured is a black diamond on a line, a limit a
dashed line.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from rungwise.drawing.charts_sheet import LEFT, LINE_H, RIGHT, Scale, Sheet, fits, scale_for
from rungwise.drawing.ink import CHANGED, FAINT, INK, LIVE, PAPER, SUSPECT
from rungwise.drawing.lettering import text_width
from rungwise.drawing.picture import Picture
from rungwise.drawing.svg import Tag, group, line, path, rect, tag, thing
from rungwise.quantity import format_quantity
from rungwise.wording import joined, mark, say

BAR_W, BAR_H = 150.0, 12.0
PLOT_H = 150.0


@dataclass(frozen=True, slots=True)
class BeliefRow:
    """A suspect: its name (for the id), what a person calls it, and the belief, 0 to 1."""

    name: str
    title: str
    belief: float
    beside: bool = False
    """Whether it stands beside the suspects: "none of these"."""


@dataclass(frozen=True, slots=True)
class Visit:
    """A value on a visit with its uncertainty, `low` to `high`; `day` counts days."""

    when: str
    day: float
    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Limit:
    """A line not to cross and what it is."""

    value: float
    title: str


def odds_words(belief: float) -> str:
    """Belief as odds for or against: `3 to 1 for`, `1 to 9` said as `9 to 1 against`."""
    if not 0.005 < belief < 0.995:
        return mark("over 200 to 1 for") if belief > 0.5 else mark("over 200 to 1 against")
    ratio = belief / (1 - belief) if belief >= 0.5 else 1 / belief - 1
    told = f"{ratio:.0f}" if ratio >= 9.5 else f"{ratio:.1f}".removesuffix(".0")
    if told == "1":
        return mark("even")
    if belief >= 0.5:
        return say("{odds} to 1 for", odds=told)
    return say("{odds} to 1 against", odds=told)


def belief_bars(
    rows: Sequence[BeliefRow], *, title: str = mark("Suspects"), prefix: str = "belief"
) -> Picture:
    """A bar for each suspect, its percent and odds beside it, in the order given."""
    sheet = Sheet(prefix, title)
    sheet.head()
    for row in rows:
        sheet.pieces.append(_belief_row(sheet, row))
    told = joined("; ", (joined(" ", (row.title, _percent(row.belief))) for row in rows))
    return sheet.picture(told or mark("No suspects."))


def _belief_row(sheet: Sheet, row: BeliefRow) -> Tag:
    pieces = sheet.lines(row.title, LEFT, RIGHT - LEFT)
    top, long = sheet.y + 1, BAR_W * min(max(row.belief, 0.0), 1.0)
    frame = rect(LEFT, top, BAR_W, BAR_H, fill="none", stroke=INK, stroke_width=0.8)
    fill = PAPER if row.beside else SUSPECT
    bar = rect(LEFT, top, long, BAR_H, fill=fill, stroke=INK, stroke_width=1.6)
    words = joined(", ", (_percent(row.belief), odds_words(row.belief)))
    pieces += [frame, bar, sheet.words(words, LEFT + BAR_W + 8, top + BAR_H / 2, bold=True)]
    sheet.y += BAR_H + 9
    told = joined(": ", (row.title, _percent(row.belief)))
    return thing(sheet.ids, "suspect", row.name, told, *pieces)


def _percent(share: float) -> str:
    if 0 < share < 0.01:
        return mark("under 1%")
    return mark("over 99%") if 0.99 < share < 1 else f"{100 * share:.0f}%"


def _figure(value: float, unit: str) -> str:
    return "OL" if value == math.inf else format_quantity(value, unit)


def diamond(x: float, y: float) -> Tag:
    """A figure on its line."""
    return tag("polygon", points=_corners(x, y), fill=INK, stroke=PAPER, stroke_width=1)


def _corners(x: float, y: float) -> str:
    return f"{x:.1f},{y - 5:.1f} {x + 5:.1f},{y:.1f} {x:.1f},{y + 5:.1f} {x - 5:.1f},{y:.1f}"


def _hollow(x: float, y: float) -> Tag:
    """A diamond for what nobody has measured yet."""
    return tag("polygon", points=_corners(x, y), fill=PAPER, stroke=INK, stroke_width=1.8)


def trend(
    visits: Sequence[Visit],
    unit: str,
    *,
    title: str,
    limits: Sequence[Limit] = (),
    foretold: Sequence[Visit] = (),
    prefix: str = "trend",
) -> Picture:
    """A value over the visits with its band of uncertainty, and the limits as dashed lines.

    foretold: what later visits will find, as far as it can be told; hollow, on a dashed line.
    """
    sheet, measured = Sheet(prefix, title), len(visits)
    visits = [*visits, *foretold]
    sheet.head()
    for limit in limits:
        sheet.pieces.append(_limit_words(sheet, limit, unit))
    sheet.y += 4
    figures = [f for v in visits for f in (v.low, v.value, v.high)] + [x.value for x in limits]
    top, bottom = sheet.y, sheet.y + PLOT_H
    up = scale_for(figures, bottom, top)
    ticks = [(tick, _figure(tick, unit)) for tick in up.ticks()]
    left = LEFT + max((text_width(words) for _, words in ticks), default=0.0) + 8
    along = _days(visits, left)
    sheet.pieces += _grid(sheet, ticks, up, left)
    sheet.pieces += _limit_lines(limits, up, left)
    sheet.pieces += _curve(visits, measured, along, up)
    sheet.pieces += [
        _visit(sheet, i, visit, (along, up), unit, hollow=i >= measured)
        for i, visit in enumerate(visits)
    ]
    sheet.y = bottom + 4
    sheet.pieces += _when(sheet, visits, along)
    told = "; ".join(f"{v.when} {_figure(v.value, unit)}" for v in visits)
    return sheet.picture(told or mark("No visits."))


def _limit_words(sheet: Sheet, limit: Limit, unit: str) -> Tag:
    y = sheet.y + LINE_H / 2
    sample = line((LEFT, y), (LEFT + 26, y), stroke=LIVE, stroke_width=2.4, stroke_dasharray="7 4")
    words = joined(": ", (limit.title, _figure(limit.value, unit)))
    return group(sample, *sheet.lines(words, LEFT + 32, RIGHT - LEFT - 32))


def _days(visits: Sequence[Visit], left: float) -> Scale:
    days = [visit.day for visit in visits] or [0.0]
    first, last = min(days), max(days)
    return Scale(first, last if last > first else first + 1, left + 14, RIGHT - 14)


def _grid(
    sheet: Sheet, ticks: Sequence[tuple[float, str]], up: Scale, left: float
) -> Iterator[Tag]:
    for tick, words in ticks:
        y = up.at(tick)
        yield line((left, y), (RIGHT, y), stroke=FAINT, stroke_width=1)
        yield sheet.words(words, left - 5, y, "end")


def _limit_lines(limits: Sequence[Limit], up: Scale, left: float) -> Iterator[Tag]:
    for limit in limits:
        y = up.at(limit.value)
        yield line((left, y), (RIGHT, y), stroke=LIVE, stroke_width=2.4, stroke_dasharray="7 4")


def _curve(visits: Sequence[Visit], measured: int, along: Scale, up: Scale) -> Iterator[Tag]:
    """The band, and the line through it; dashed from the last measured visit on."""
    there = [(along.at(v.day), up.at(v.high)) for v in visits]
    back = [(along.at(v.day), up.at(v.low)) for v in reversed(visits)]
    points = " ".join(f"{x:.1f},{y:.1f}" for x, y in (*there, *back))
    yield tag("polygon", points=points, fill=FAINT, fill_opacity=0.6, stroke=INK,
              stroke_width=0.8, stroke_dasharray="2 2")  # fmt: skip
    middle = [(along.at(v.day), up.at(v.value)) for v in visits]
    yield path(middle[:measured], stroke=CHANGED, stroke_width=2.4)
    if measured < len(middle):
        later = middle[max(measured - 1, 0) :]
        yield path(later, stroke=CHANGED, stroke_width=2.4, stroke_dasharray="3 3")


def _visit(  # where, what, and how it is drawn
    sheet: Sheet,
    index: int,
    visit: Visit,
    scales: tuple[Scale, Scale],
    unit: str,
    *,
    hollow: bool,
) -> Tag:
    x, y = scales[0].at(visit.day), scales[1].at(visit.value)
    drawn = _hollow(x, y) if hollow else diamond(x, y)
    span = " to ".join(_figure(edge, unit) for edge in (visit.low, visit.high))
    told = f"{visit.when}: {_figure(visit.value, unit)}, {span}"
    return thing(sheet.ids, "visit", str(index), told, drawn)


def _when(sheet: Sheet, visits: Sequence[Visit], along: Scale) -> Iterator[Tag]:
    """The dates that find room, the last and the first before those between."""
    taken: list[tuple[float, float]] = [(-math.inf, 2.0), (RIGHT + 6, math.inf)]
    for visit in [*visits[-1:], *visits[:-1]]:
        half = text_width(visit.when) / 2
        x = min(max(along.at(visit.day), LEFT + half), RIGHT - half)
        if fits(taken, x, visit.when):
            taken.append((x - half, x + half))
            yield sheet.words(visit.when, x, sheet.y + LINE_H / 2, "middle")
    sheet.y += LINE_H
