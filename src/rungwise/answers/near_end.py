"""What of a unit is near its end by its own readings, in words for whoever owns it."""

from __future__ import annotations

from collections.abc import Iterator

from rungwise.answers.ahead_told import LONG_Y, followed_way, measured_now
from rungwise.answers.shop_ahead import ShopAhead
from rungwise.quantity import format_quantity
from rungwise.upkeep.forecast import PartForecast, WayForecast
from rungwise.upkeep.interval import Interval

__all__ = ["near_end"]

NEAR_Y = 3.0
"""A part is near its end when its readings give it no more than so many years, more likely than
not (common practice, no source)."""


def near_end(ahead: ShopAhead, number: int) -> tuple[str, ...]:
    """A sentence for each such part of a unit, the nearest first; none for a unit left out.

    Only parts that were measured are in it: of the others nothing but their age is known. A part
    fitted on the day is new, whatever one reading of it makes of its life.
    """
    forecast = ahead.unit(number)
    if forecast is None:
        return ()
    found = sorted(_near(forecast.parts), key=lambda each: each[1].remaining_y.middle)
    return tuple(_told(ahead, part, way) for part, way in found)


def _near(parts: tuple[PartForecast, ...]) -> Iterator[tuple[PartForecast, WayForecast]]:
    for part in parts:
        way = followed_way(part)
        new = part.basis == "fitted today"
        if way is not None and not new and way.remaining_y.middle <= NEAR_Y:
            yield part, way


def _told(ahead: ShopAhead, part: PartForecast, way: WayForecast) -> str:
    measure, now = way.measure, measured_now(part, way)
    if measure is None or now is None:
        raise ValueError("what is told of readings needs readings")
    unit = measure.meter.unit
    limit = format_quantity(measure.off_scale(measure.limit, part.part.rated), unit)
    title = ahead.records.titles[part.part.unit, part.part.part]
    reads = format_quantity(now.middle, unit)
    name = f"{title[0].upper()}{title[1:]}"
    if part.basis == "one reading":
        return (
            f"{name}: {measure.title} {reads} by one reading, changed at {limit}. One reading "
            "shows no direction; measure it again at the next visit."
        )
    return (
        f"{name}: {measure.title} {reads} by a {part.basis_text}, changed at {limit}. It lasts "
        f"{_span(way.remaining_y)} more, {round(100 * way.remaining_y.level)} times out of 100; "
        "that is no promise."
    )


def _span(left: Interval) -> str:
    """The years left, as somebody says them."""
    if left.high > LONG_Y:
        return f"{_years(left.low)} to over {LONG_Y:.0f} years"
    return f"{_years(left.low)} to {_years(left.high)} years"


def _years(count: float) -> str:
    return f"{count:.1f}" if count < 10.0 else f"{count:.0f}"
