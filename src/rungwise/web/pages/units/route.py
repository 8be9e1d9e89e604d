"""The units: a list, and each with its nameplate, its pictures in every state, and its history."""

from __future__ import annotations

import datetime as dt
from typing import Annotated

from fastapi import APIRouter, Query
from pydantic import Field

from rungwise import records
from rungwise.camera import codes_available
from rungwise.diagnosis import full_id
from rungwise.errors import BadInput
from rungwise.quantity import quantity_told
from rungwise.records import UnitOfWork, unit_text
from rungwise.services import unit_from_text
from rungwise.unit import FIELDS, VOLT, Unit, volts_told
from rungwise.web.context import photo_lines
from rungwise.web.deps import Here
from rungwise.web.forms import fresh_token
from rungwise.web.leads import checks_held
from rungwise.web.pages.call.view import Drawing, PhotoLine
from rungwise.web.pages.new_unit.forms import LABELS
from rungwise.web.schemas import View, page
from rungwise.web.shown import Shown
from rungwise.web.unit_pictures import state_of, states_of, svg_in_state
from rungwise.web.unit_search import UnitLine, found, line_of, unit_lines
from rungwise.wording import mark

LISTED = 60

router = APIRouter()


class UnitsPage(View):
    """Units that fit a few words."""

    find: str
    units: list[UnitLine]
    more: int
    reads_codes: bool = Field(description="whether a code can be read from a photo here")


class OldReading(Shown):
    """A reading in a unit's history."""

    title: str
    text: str


class OldCall(Shown):
    """A call in a unit's history."""

    id: int
    day: dt.date
    title: str
    state: str
    verdict: str
    readings: list[OldReading]


class PlateFact(Shown):
    """One line of the nameplate."""

    label: str
    text: str


class UnitPage(View):
    """A unit. trouble: why it cannot be solved, empty where it can."""

    number: int
    version: int
    line: UnitLine
    arrangement: str
    plate: list[PlateFact]
    trouble: str
    building: float | None = Field(description="share of the faults solved; null when all are")
    state: str
    states: list[tuple[str, str, bool]]
    drawable: bool = Field(description="whether there is a circuit to draw")
    drawings: list[Drawing] = Field(description="where they are asked for")
    calls: list[OldCall]
    photos: list[PhotoLine]
    token: str
    opened: str


@page(router, "/units", "units.html")
def units(here: Here, find: Annotated[str, Query(max_length=80)] = "") -> UnitsPage:
    """The units, or those that fit."""
    with here.reading() as book:
        fitting = found(unit_lines(book).values(), find)
    return UnitsPage(
        title=mark("Units"),
        find=find.strip(),
        units=fitting[:LISTED],
        more=max(0, len(fitting) - LISTED),
        reads_codes=codes_available(),
    )


@page(router, "/units/{number}", "unit.html")
def unit(
    number: int,
    here: Here,
    state: Annotated[str, Query(max_length=30)] = "",
    opened: Annotated[str, Query(alias="open", max_length=20)] = "",
) -> UnitPage:
    """One unit: calls and readings so far; behind a tap both pictures in a state, plate, photos."""
    with here.reading() as book:
        row = book.units.get(number)
        line = line_of(book, number)
        solved, trouble = _solved(row)
        titles = _titles(solved)
        calls = _old_calls(book, number, titles)
        photos = photo_lines(book.photos.of_unit(number))
    view = UnitPage(
        title=row.title,
        number=number,
        version=row.version,
        line=line,
        arrangement=solved.arrangement if solved else "",
        plate=_plate(solved) if solved else [],
        trouble=trouble,
        building=here.desk.ready(solved) if solved else None,
        state=state,
        states=[],
        drawable=solved is not None,
        drawings=[],
        calls=calls,
        photos=photos,
        token=fresh_token(),
        opened=opened,
    )
    if solved is not None:
        view.about(solved)
        if state or opened == "pictures":
            _draw(view, solved)
    return view


def _draw(view: UnitPage, unit: Unit) -> None:
    """Both pictures in the state that is asked for."""
    on = state_of(unit, view.state)
    view.state = on.key
    path = f"/units/{view.number}?state="
    view.states = [(path + each.key, each.name, each == on) for each in states_of(unit)]
    view.drawings = [
        Drawing(kind="ladder", caption=on.told, ways=[]),
        Drawing(kind="panel", caption=mark("The outdoor cabinet, parts as they sit."), ways=[]),
    ]
    view.draw("ladder", lambda: svg_in_state(unit, "ladder", on))
    view.draw("panel", lambda: svg_in_state(unit, "panel", on))


def _solved(row: records.Unit) -> tuple[Unit | None, str]:
    """The unit of a row, or why there is none."""
    try:
        return unit_from_text(unit_text(row)), ""
    except BadInput as error:
        return None, error.what


def _titles(unit: Unit | None) -> dict[str, str]:
    """The titles of a unit's checks, by id."""
    return {key: each.card.title for key, each in checks_held(unit).items()} if unit else {}


def _plate(unit: Unit) -> list[PlateFact]:
    """The nameplate as it stands in the file."""
    units = {line.key: line.unit for line in FIELDS}
    return [
        PlateFact(
            label=LABELS.get(key, key),
            text=volts_told(unit.nameplate) if key == VOLT else _figure(value, units.get(key, "")),
        )
        for key, value in unit.nameplate.items()
        if key in LABELS
    ]


def _figure(value: float | str, unit: str) -> str:
    return value if isinstance(value, str) else quantity_told(value, unit, 4)


def _old_calls(book: UnitOfWork, unit: int, titles: dict[str, str]) -> list[OldCall]:
    """The calls on a unit, newest first."""
    calls = book.calls.of_unit(unit)
    for each in (book.symptoms, book.readings, book.verdicts):
        each.read_ahead(call.id for call in calls)
    return [_old_call(book, each, titles) for each in reversed(calls)]


def _old_call(book: UnitOfWork, call: records.Call, titles: dict[str, str]) -> OldCall:
    last = book.verdicts.last(call.id)
    rows = [*book.symptoms.standing(call.id), *book.readings.standing(call.id)]
    return OldCall(
        id=call.id,
        day=call.day,
        title=call.title or mark("No cooling"),
        state=call.state,
        verdict=last.text if last else "",
        readings=[
            OldReading(
                title=titles.get(full_id(each.check, titles), each.check),
                text=each.typed,
            )
            for each in rows
            if each.typed.strip()
        ],
    )
