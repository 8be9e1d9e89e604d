"""Charts in the same hand as the pictures: every figure stands in words beside its mark.

No chart tells anything by colour alone: what is expected is an open box, what a fault would give
is hatched, what was measured is a black diamond on a line, a limit is a dashed line.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from rungwise.drawing.charts_sheet import LEFT, LINE_H, RIGHT, Scale, Sheet, fits, scale_for
from rungwise.drawing.ink import CHANGED, FAINT, INK, LIVE, PAPER, SUSPECT
from rungwise.drawing.lettering import text_width, wrapped
from rungwise.drawing.picture import Picture
from rungwise.drawing.svg import Tag, group, line, path, rect, tag, thing
from rungwise.quantity import format_quantity
from rungwise.wording import joined, mark, say

BAR_W, BAR_H = 150.0, 12.0
STRIPE_H = 13.2
NAME_W = 118.0
PLOT_H = 150.0
OL_W = 26.0


@dataclass(frozen=True, slots=True)
class BeliefRow:
    """A suspect: its name (for the id), what a person calls it, and the belief, 0 to 1."""

    name: str
    title: str
    belief: float
    beside: bool = False
    """Whether it stands beside the suspects: "none of these"."""


@dataclass(frozen=True, slots=True)
class Band:
    """What a reading would be with this cause, from `low` to `high`; inf for over limit."""

    title: str
    low: float
    high: float
    healthy: bool = False


@dataclass(frozen=True, slots=True)
class ReadingRow:
    """A check with its bands; `reading` in `unit`, inf for OL, None where not taken."""

    name: str
    title: str
    unit: str
    bands: tuple[Band, ...]
    reading: float | None = None


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


@dataclass(frozen=True, slots=True)
class Share:
    """Forecasts near `forecast`: how often they came true, with an interval, of how many."""

    forecast: float
    observed: float
    low: float
    high: float
    count: int


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


def bands(
    rows: Sequence[ReadingRow],
    *,
    title: str = mark("Readings and what they should be"),
    prefix: str = "bands",
) -> Picture:
    """Each reading as a line through the bands of a healthy unit and of the suspects."""
    sheet = Sheet(prefix, title)
    sheet.head()
    for row in rows:
        sheet.pieces.append(_reading_row(sheet, row))
    told = joined("; ", (joined(": ", (row.title, _reading_words(row))) for row in rows))
    return sheet.picture(told or mark("No readings."))


def _figure(value: float, unit: str) -> str:
    return "OL" if value == math.inf else format_quantity(value, unit)


def _reading_words(row: ReadingRow) -> str:
    return mark("not taken") if row.reading is None else _figure(row.reading, row.unit)


def _reading_row(sheet: Sheet, row: ReadingRow) -> Tag:
    words = _reading_words(row)
    width = RIGHT - LEFT - text_width(words) - 12
    middle = sheet.y + LINE_H / 2
    pieces = [sheet.words(words, RIGHT, middle, "end", bold=True)]
    pieces += sheet.lines(row.title, LEFT, width, bold=True)
    scale = _reading_scale(row)
    sheet.y += 7.0
    top = sheet.y
    for band in row.bands:
        pieces += _band(sheet, band, scale)
    pieces += _axis(sheet, row, scale, top)
    told = joined(": ", (row.title, words))
    return thing(sheet.ids, "reading", row.name, told, *pieces)


def _reading_scale(row: ReadingRow) -> Scale:
    figures = [edge for band in row.bands for edge in (band.low, band.high)]
    figures += [row.reading] if row.reading is not None else []
    room = OL_W + 6 if math.inf in figures else 0.0
    return scale_for(figures, LEFT + NAME_W, RIGHT - 8 - room)


def _at(scale: Scale, figure: float) -> float:
    """Where a figure lies; OL is past the end of the scale."""
    return RIGHT - 8 - OL_W / 2 if figure == math.inf else scale.at(figure)


def _band(sheet: Sheet, band: Band, scale: Scale) -> Iterator[Tag]:
    top = sheet.y
    yield from _name(sheet, band.title)
    sheet.y = max(sheet.y, top + STRIPE_H + 1)
    left, right = _at(scale, band.low), _at(scale, band.high)
    least = 18.0 if band.low == math.inf else 4.0
    if right - left < least:
        left, right = (left + right - least) / 2, (left + right + least) / 2
    style = {"stroke": INK, "fill": PAPER if band.healthy else FAINT}
    box = rect(left, top + 1.5, right - left, STRIPE_H - 3, stroke_width=1.6, **style)
    yield box
    if not band.healthy:
        yield _hatch(left, top + 1.5, right - left, STRIPE_H - 3)


def _name(sheet: Sheet, words: str) -> Iterator[Tag]:
    for each in wrapped(words, NAME_W - 6):
        yield sheet.words(each, LEFT, sheet.y + STRIPE_H / 2)
        sheet.y += STRIPE_H


def _hatch(left: float, top: float, width: float, height: float) -> Tag:
    """Slanted strokes; a pattern would need an id of its own on every page."""
    count = int((width - height) // 6) + 1
    starts = (left + 6 * i for i in range(max(count, 0)))
    strokes = [
        line((x, top + height), (x + height, top), stroke=INK, stroke_width=0.9) for x in starts
    ]
    return group(*strokes)


def _axis(sheet: Sheet, row: ReadingRow, scale: Scale, top: float) -> Iterator[Tag]:
    bottom = sheet.y + 1
    yield line((scale.start, bottom), (scale.end, bottom), stroke=INK, stroke_width=1)
    spots = [(scale.at(tick), _figure(tick, row.unit)) for tick in scale.ticks()]
    over = [band.high for band in row.bands] + [row.reading or 0.0]
    if math.inf in over:
        spots.insert(0, (_at(scale, math.inf), "OL"))
    taken: list[tuple[float, float]] = [(RIGHT + 4, math.inf)]
    for x, words in spots:
        yield line((x, bottom), (x, bottom + 3), stroke=INK, stroke_width=1)
        if fits(taken, x, words):
            half = text_width(words) / 2
            taken.append((x - half, x + half))
            yield sheet.words(words, x, bottom + 4 + LINE_H / 2, "middle")
    if row.reading is not None:
        yield _diamond_line(_at(scale, row.reading), top, bottom)
    sheet.y = bottom + 4 + LINE_H + 9


def _diamond_line(x: float, top: float, bottom: float) -> Tag:
    """The reading: a line with a white rim, so that it shows on every band, and a diamond."""
    rim = line((x, top), (x, bottom), stroke=PAPER, stroke_width=5)
    return group(rim, line((x, top), (x, bottom), stroke=INK, stroke_width=2.4), _diamond(x, top))


def _diamond(x: float, y: float) -> Tag:
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
    drawn = _hollow(x, y) if hollow else _diamond(x, y)
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


def reliability(
    shares: Sequence[Share],
    *,
    title: str = mark("Forecast against what came true"),
    prefix: str = "reliability",
) -> Picture:
    """How often forecasts of each size came true; on the slanted line they are honest."""
    sheet = Sheet(prefix, title)
    sheet.head()
    side = 220.0
    left, bottom = 64.0, sheet.y + side + 6
    across, up = Scale(0, 1, left, left + side), Scale(0, 1, bottom, bottom - side)
    sheet.pieces += _square(sheet, across, up)
    sheet.y = bottom + 14 + LINE_H
    sheet.pieces.append(sheet.words("forecast", left + side / 2, sheet.y + LINE_H / 2, "middle"))
    sheet.y += LINE_H + 8
    for index, share in enumerate(shares):
        sheet.pieces.append(_share(sheet, index, share, (across, up)))
    told = "; ".join(_share_words(share) for share in shares)
    return sheet.picture(told or mark("No forecasts."))


def _square(sheet: Sheet, across: Scale, up: Scale) -> Iterator[Tag]:
    size = across.end - across.start
    yield rect(across.start, up.end, size, size, fill="none", stroke=INK, stroke_width=1)
    corners = (across.start, up.start), (across.end, up.end)
    yield line(*corners, stroke=INK, stroke_width=1.2, stroke_dasharray="6 4")
    for tick in (0.0, 0.25, 0.5, 0.75, 1.0):
        x, y = across.at(tick), up.at(tick)
        yield line((x, up.start), (x, up.start + 4), stroke=INK, stroke_width=1)
        yield line((across.start - 4, y), (across.start, y), stroke=INK, stroke_width=1)
        yield sheet.words(f"{100 * tick:.0f}%", x, up.start + 11 + LINE_H / 2, "middle")
        yield sheet.words(f"{100 * tick:.0f}%", across.start - 6, y, "end")
    yield sheet.words(mark("came true"), across.start + 6, up.end + LINE_H / 2 + 2)


def _share(sheet: Sheet, index: int, share: Share, scales: tuple[Scale, Scale]) -> Tag:
    across, up = scales
    x, y = across.at(share.forecast), up.at(share.observed)
    low, high = up.at(share.low), up.at(share.high)
    ends = [line((x - 4, e), (x + 4, e), stroke=INK, stroke_width=1.6) for e in (low, high)]
    span = line((x, low), (x, high), stroke=INK, stroke_width=1.6)
    mark = _diamond(x, y)
    words = _share_words(share)
    listed = sheet.lines(words, LEFT, RIGHT - LEFT)
    return thing(sheet.ids, "share", str(index), words, span, *ends, mark, *listed)


def _share_words(share: Share) -> str:
    span = f"{100 * share.low:.0f} to {100 * share.high:.0f}%"
    return (
        f"forecast {100 * share.forecast:.0f}%, true {100 * share.observed:.0f}% "
        f"({span}) of {share.count}"
    )
