"""Loose wires as the page tells them: what is left of the ways to put them, and what to measure."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

from pydantic import Field

from rungwise.diagnosis import percent
from rungwise.parts import Caution
from rungwise.quantity import format_quantity
from rungwise.rewiring import OPEN_OHM, TERMINAL_COVER
from rungwise.unit import Unit
from rungwise.web.pages.wires.view import ConsequenceLine, consequence_line
from rungwise.web.schemas import CautionLine
from rungwise.web.shown import Shown
from rungwise.wording import mark, say

EARTH = "ground"
LISTED = 3
NEAR_ZERO_OHM = 0.5


class LostCheck(Shown):
    """A continuity check between two points, asked as any other check is."""

    id: str
    title: str
    unit: str = "Ω"
    units: list[str] = Field(default_factory=lambda: ["Ω", "kΩ", "MΩ"])
    choices: list[str] = Field(default_factory=list)
    red: str
    black: str
    minutes: float
    then: list[str] = Field(description="loose ends to touch next while a lead stays on black")
    cover: CautionLine | None = Field(description="a caution before the terminal cover comes off")
    reads: list[tuple[str, str]]


class MayBelong(Shown):
    """A loose end with the terminals that it may belong on, likeliest first."""

    name: str
    on: str


BETWEEN = "|"
"""Stands between the points in the id of a check."""


def points_of(check: str) -> tuple[str, str, list[str]]:
    """The points of a check's id: where the leads are, and the ends that are swept after it."""
    first, *rest = check.split(BETWEEN)
    return first, "".join(rest[:1]), rest[1:]


def check_of(told: dict[str, Any] | None, names: Mapping[str, str]) -> LostCheck | None:
    """The next check of `rungwise recover --json`; names: what a person calls a terminal."""
    if told is None:
        return None
    red, black = told["from"], told["to"]
    ends = [point_words(names.get(each, each)) for each in (red, black)]
    return LostCheck(
        id=BETWEEN.join((red, black, *told["then"])),
        title=say("ohms between {ends} and {ends2}", ends=ends[0], ends2=ends[1]),
        red=point_words(red),
        black=point_words(black),
        minutes=told["minutes"],
        then=told["then"],
        cover=Caution("WARNING", TERMINAL_COVER) if told["covered"] else None,
        reads=[(_band(each), percent(each["share"])) for each in told["outcomes"][: LISTED + 1]],
    )


def point_words(point: str) -> str:
    """A point to measure on, as it is called."""
    return mark("bare metal (ground)") if point == EARTH else point


def broken_lines(told: list[dict[str, Any]]) -> Iterator[str]:
    """Of each end that reads to nothing, which wire it must be by what is left."""
    for each in told:
        wires = (
            f"{one['wire']}, {'from ' + one['far'] + ' ' if one['far'] else ''}to {one['near']}"
            for one in each["wires"]
        )
        left = " or ".join(wires)
        yield say(
            "{each} reads to nothing: broken? By what is left it is {left}.",
            each=each["name"],
            left=left,
        )


def misfit_lines(told: list[dict[str, Any]]) -> Iterator[Caution]:
    """Of each end whose gauge cannot be right, why it must not go there."""
    for each in told:
        yield Caution(
            "WARNING",
            say(
                "Stop. {each} is {each2} AWG, and {each3}, which belongs on {each4}, is "
                "{each5} AWG in the unit file: a gauge seldom lies. Do not put it there, "
                "and do not power up.",
                each=each["name"],
                each2=f"{each['awg']:g}",
                each3=each["wire"],
                each4=each["near"],
                each5=f"{each['record_awg']:g}",
            ),
        )


def may_belong(told: dict[str, dict[str, float]], placed: dict[str, str]) -> Iterator[MayBelong]:
    """Of each loose end that no reading has placed, where it may belong."""
    for name, share in told.items():
        if name in placed:
            continue
        best = [f"{terminal} ({percent(part)})" for terminal, part in share.items()]
        more = say(" and {len} more", len=len(best) - LISTED) if len(best) > LISTED else ""
        yield MayBelong(name=name, on=", ".join(best[:LISTED]) + more)


def mistake_of(told: dict[str, Any] | None) -> tuple[str, list[ConsequenceLine]]:
    """What would come of taking two loose ends for one another."""
    if told is None:
        return "", []
    head = say(
        "Were {told} and {told2} taken for one another:", told=told["one"], told2=told["other"]
    )
    return head, [consequence_line(each) for each in told["does"][:LISTED]]


def _band(told: dict[str, Any]) -> str:
    low, high = (math.inf if told[k] == "OL" else told[k] for k in ("low_ohm", "high_ohm"))
    if low > OPEN_OHM or math.isinf(high):
        return "OL"
    if high < NEAR_ZERO_OHM:
        return say("near {ohms}", ohms="0 Ω")
    first, last = (format_quantity(each, "Ω", 2) for each in (low, high))
    if first == last:
        return say("near {ohms}", ohms=first)
    return say("{low} to {high}", low=first, high=last)


def terminals_of(unit: Unit) -> list[str]:
    """Every terminal that a wire ends on."""
    used = {end for wire in unit.wires for end in (wire.start, wire.end)}
    return [each for each in unit.terminals() if each in used]
