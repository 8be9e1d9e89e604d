"""What of a unit is near its end by its own readings, in words for whoever owns it.

A part whose last reading is good by the limit that every room tells is never in it, whatever its
trend foretells; that stands on the unit's own page.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from rungwise.maintenance import Interval, PartForecast, WayForecast
from rungwise.parts import Grade
from rungwise.services.shop_forecast import ShopAhead
from rungwise.services.wording.forecast_words import LONG_Y, followed_way
from rungwise.wording import capital, mark, named, say

WORSE: Mapping[str, str] = {
    "capacitance": mark("weaker than marked"),
    "contact_drop": mark("its contacts are worn"),
    "insulation": mark("its insulation is lower than usual"),
    "amps": mark("it draws more than its nameplate"),
}
"""By what was measured, for somebody who reads no meter."""


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
        if way is not None and part.basis != "fitted today" and _grade(part, way) != "good":
            yield part, way


def _grade(part: PartForecast, way: WayForecast) -> Grade:
    """Where the part's last reading stands."""
    measure = way.measure
    read = [each for each in part.part.readings if measure and each.quantity == measure.name]
    if measure is None or not read:
        return "good"
    return measure.grade(max(read, key=lambda each: each.when).value, part.part.rated)


def _told(ahead: ShopAhead, part: PartForecast, way: WayForecast) -> str:
    title = ahead.records.titles[part.part.unit, part.part.part]
    about = {"part": capital(named(title)), "wear": WORSE[way.way.measure]}
    if _grade(part, way) == "change":
        return say("{part}: {wear}, past the limit at which it is changed.", **about)
    if part.basis == "one reading":
        return say(
            "{part}: {wear} by one reading; it still works. It is measured again at the next "
            "visit.", **about,
        )  # fmt: skip
    return say(
        "{part}: {wear}; it still works. By the readings of {visits} visits it lasts {span} more, "
        "{times} times out of 100; that is no promise.",
        visits=len(part.read_on), span=_span(way.remaining_y),
        times=round(100 * way.remaining_y.level), **about,
    )  # fmt: skip


def _span(left: Interval) -> str:
    """The years left, as somebody says them."""
    if left.high > LONG_Y:
        return say("{low} to over {high} years", low=_years(left.low), high=f"{LONG_Y:.0f}")
    return say("{low} to {high} years", low=_years(left.low), high=_years(left.high))


def _years(count: float) -> str:
    return f"{count:.1f}" if count < 10.0 else f"{count:.0f}"
