"""Timers that a page offers: how long each runs is read from the unit's model."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Literal
from urllib.parse import urlencode

from rungwise.parts import Timer
from rungwise.unit import Unit
from rungwise.web.shown import Shown
from rungwise.wording import mark, named, say

Sort = Literal["delay", "discharge", "wait"]

TITLES: dict[Sort, str] = {
    "delay": mark("Start delay"),
    "discharge": mark("Discharge"),
    "wait": mark("Wait"),
}

MOST_S = 7200


class TimerKey(Shown):
    """A timer that may be started. id: tells it from others on the phone. title: what it is for.

    seconds: whole ones, rounded up. length: the same in words. path: of its page, which tells the
    clock time of its end without script.
    """

    id: str
    title: str
    seconds: int
    length: str
    path: str


def timer_key(call: int, sort: Sort, seconds: float, back: str, title: str = "") -> TimerKey:
    """A timer of a call, of that many seconds. back: the page that it is started on."""
    whole = min(max(1, math.ceil(seconds)), MOST_S)
    query = urlencode({"of": sort, "seconds": whole, "back": back})
    return TimerKey(
        id=f"{sort}-{call}",
        title=title or TITLES[sort],
        seconds=whole,
        length=_length(whole),
        path=f"/calls/{call}/timer?{query}",
    )


def delays_of(unit: Unit, call: int, back: str) -> list[TimerKey]:
    """The longest of the unit's own delays before it may start again, none where it has none."""
    held = list(_delays(unit))
    if not held:
        return []
    seconds, part = max(held)
    title = say("Start delay, {part}", part=named(part))
    return [timer_key(call, "delay", seconds, back, title)]


def _delays(unit: Unit) -> Iterator[tuple[float, str]]:
    for part, timer in unit.having(Timer):
        seconds = part.number(timer.seconds)
        if seconds > 0.0:
            yield seconds, part.title


def _length(seconds: int) -> str:
    minutes, left = divmod(seconds, 60)
    if not minutes:
        return f"{left} s"
    return f"{minutes}:{left:02d} min" if left else f"{minutes} min"
