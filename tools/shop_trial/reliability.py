"""Forecasts against what came true, drawn as the charts of the program are."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from rungwise.drawing.charts import diamond
from rungwise.drawing.charts_sheet import LEFT, LINE_H, RIGHT, Scale, Sheet
from rungwise.drawing.ink import INK
from rungwise.drawing.picture import Picture
from rungwise.drawing.svg import Tag, line, rect, thing
from rungwise.wording import mark


@dataclass(frozen=True, slots=True)
class Share:
    """Forecasts near `forecast`: how often they came true, with an interval, of how many."""

    forecast: float
    observed: float
    low: float
    high: float
    count: int


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
    mark = diamond(x, y)
    words = _share_words(share)
    listed = sheet.lines(words, LEFT, RIGHT - LEFT)
    return thing(sheet.ids, "share", str(index), words, span, *ends, mark, *listed)


def _share_words(share: Share) -> str:
    span = f"{100 * share.low:.0f} to {100 * share.high:.0f}%"
    return (
        f"forecast {100 * share.forecast:.0f}%, true {100 * share.observed:.0f}% "
        f"({span}) of {share.count}"
    )
