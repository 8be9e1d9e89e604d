"""Forecast, in words that commands, pages and papers share."""

from __future__ import annotations

from rungwise.maintenance import Interval, PartForecast, WayForecast
from rungwise.quantity import format_quantity
from rungwise.wording import capital, mark, say

NO_PROMISE = mark(
    "A low chance is no promise. A part that was never measured is "
    "known only by its age, and nothing here tells of faults that "
    "nobody has named."
)

LONG_Y = 40.0
"""Nobody can tell a part's years beyond that."""


def followed_way(part: PartForecast) -> WayForecast | None:
    """The likeliest way to end of those that readings tell of; None where it was never measured."""
    measured = [way for way in part.ways if way.trend is not None]
    return max(measured, key=lambda way: way.chance) if measured else None


def measured_now(part: PartForecast, way: WayForecast) -> Interval | None:
    """Where the line through the readings stands today, in the unit of the meter."""
    measure, line = way.measure, way.trend
    if measure is None or line is None:
        return None
    now = line.at(part.age_y * part.part.pace)
    low, middle, high = (
        measure.off_scale(y, part.part.rated) for y in (now.low, now.middle, now.high)
    )
    return Interval(low, middle, high, now.level)


def worn_told(part: PartForecast) -> str:
    """What the readings say: where the part stands, its limit, the years left; "" without any."""
    way = followed_way(part)
    now = measured_now(part, way) if way else None
    if way is None or now is None or way.measure is None:
        return ""
    measure = way.measure
    ends = (now.low, now.middle, now.high)
    low, middle, high = (format_quantity(value, measure.meter.unit) for value in ends)
    where = say(
        "{title} {middle} ({low} to {high}); {limit}",
        title=capital(measure.title),
        middle=middle,
        low=low,
        high=high,
        limit=measure.limit_told(part.part.rated),
    )
    left = capital(left_told(way.remaining_y))
    match part.basis:
        case "fitted today":
            return say(
                "Fitted today: {where}. No forecast for a new part but its usual life.", where=where
            )
        case "one reading":
            return say(
                "{where}. {left}, by one reading, which shows no direction yet.",
                where=where,
                left=left,
            )
        case _:
            return say(
                "{where}. {left}, by the {basis_text}.",
                where=where,
                left=left,
                basis_text=part.basis_text,
            )


def left_told(left: Interval) -> str:
    """The years until a way comes, with their interval."""
    if left.middle > LONG_Y:
        return say(
            "over {long_y} years left ({low} at the least)",
            long_y=f"{LONG_Y:.0f}",
            low=f"{left.low:.1f}",
        )
    high = say("over {years}", years=f"{LONG_Y:.0f}") if left.high > LONG_Y else f"{left.high:.1f}"
    return say(
        "{middle} years left ({low} to {high})",
        middle=f"{left.middle:.1f}",
        low=f"{left.low:.1f}",
        high=high,
    )


def why_told(part: PartForecast) -> str:
    """Why this part: its readings, else that it is known only by its age."""
    if part.basis == "fitted today":
        return worn_told(part) or mark("Fitted today; nothing is known of it but that it is new.")
    return worn_told(part) or say(
        "Never measured; known only by its age of {age_y} years.", age_y=f"{part.age_y:.1f}"
    )
