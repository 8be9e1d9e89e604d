"""Forecast: for the shop, and for one unit, part by part."""

from __future__ import annotations

from functools import partial
from typing import Annotated, Any

from fastapi import APIRouter, Form, Query, Response
from pydantic import Field

from rungwise.maintenance import UnitForecast
from rungwise.services import NO_PROMISE, ShopAhead, ShopAheadResult, followed_way
from rungwise.web.deps import Here
from rungwise.web.forms import goto
from rungwise.web.outlook import OutlookState
from rungwise.web.pages.ahead.view import (
    AheadView,
    PartAhead,
    ShopLines,
    chart_of,
    part_ahead,
)
from rungwise.web.schemas import page
from rungwise.web.unit_search import UnitLine, line_of
from rungwise.wording import mark, moment_told, say

MOST_WAIT_S = 60.0
FIELD = "installed"

Wait = Annotated[float, Query(ge=0.0, le=MOST_WAIT_S, description="seconds to wait for it")]

router = APIRouter()


class ShopAheadPage(AheadView, ShopLines):
    """The season's visits, what to carry, what to replace, and what the shop's calls moved."""

    foreseen: ShopAheadResult | None = Field(
        description="as `rungwise upkeep --json` prints it; null before the first time"
    )
    calls: int
    fill_weeks: float
    no_promise: str


class UnitAheadPage(AheadView):
    """Forecast for each part of a unit. note: what has to be said of its age."""

    number: int
    version: int
    line: UnitLine
    installed: str
    installed_wrong: str
    note: str
    left_out: bool
    chance: float | None
    saves: float | None
    parts: list[PartAhead]
    no_promise: str


@page(router, "/ahead", "ahead.html")
def shop(here: Here, wait: Wait = 0.0) -> ShopAheadPage:
    """The shop's season: whom to visit first, what to carry, what to replace, what has moved."""
    look = here.house.lookout.look(wait)
    seen = look.seen
    outlook = seen.ahead.foreseen.outlook if seen else None
    return ShopAheadPage(
        title=mark("Forecast"),
        **_head(look),
        foreseen=seen.told if seen else None,
        calls=sum(outlook.weights.calls) if outlook else 0,
        fill_weeks=outlook.plan.fill_weeks if outlook else 1.0,
        **dict(seen.lines if seen else ShopLines()),
        no_promise=NO_PROMISE,
    )


@page(router, "/units/{number}/ahead", "unit_ahead.html")
def unit(number: int, here: Here, wait: Wait = 0.0) -> UnitAheadPage:
    """One unit's parts: readings over the visits, years left, chance, replace now or leave."""
    with here.reading() as book:
        row = book.units.get(number)
        line = line_of(book, number)
        entry = book.units.entries(number).get(FIELD)
    look = here.house.lookout.look(wait)
    ahead = look.seen.ahead if look.seen else None
    forecast = ahead.unit(number) if ahead else None
    typed = str(row.installed or "")
    view = UnitAheadPage(
        title=say("Forecast: {unit}", unit=row.title),
        **_head(look),
        number=number,
        version=row.version,
        line=line,
        installed=entry.typed if entry else typed,
        installed_wrong=entry.refusal if entry else "",
        note=ahead.records.note_on(number) if ahead else "",
        left_out=ahead is not None and forecast is None,
        chance=forecast.chance if forecast else None,
        saves=forecast.saves if forecast else None,
        parts=[],
        no_promise=NO_PROMISE,
    )
    if ahead and forecast:
        _parts(view, ahead, forecast)
    return view


@router.post("/units/{number}/installed", include_in_schema=False)
def keep_installed(
    number: int,
    here: Here,
    installed: Annotated[str, Form(max_length=40)] = "",
    seen: Annotated[int | None, Form()] = None,
) -> Response:
    """Keep when a unit was installed, as typed: a day, or a year of which no more is known."""
    with here.writing() as book:
        book.units.leave(number, FIELD, installed, seen=seen)
    return goto(f"/units/{number}/ahead#since")


def _parts(view: UnitAheadPage, ahead: ShopAhead, forecast: UnitForecast) -> None:
    """The parts, the likeliest to fail first, each with its chart where it was measured."""
    for each in forecast.reasons:
        shown, way = part_ahead(ahead, each), followed_way(each)
        view.parts.append(shown)
        if way is not None:
            view.draw(shown.chart, partial(chart_of, ahead, each, way))


def _head(look: OutlookState) -> dict[str, Any]:
    """The fields of an `AheadView`."""
    return {
        "worked_out": look.at,
        "worked_out_at": moment_told(look.at) if look.at else "",
        "working": look.working,
        "ahead_years": look.seen.ahead.foreseen.outlook.plan.ahead_y if look.seen else 1.0,
    }
