"""The nameplate of a new unit, each field kept as it is left."""

from __future__ import annotations

from typing import Annotated, Literal

from fastapi import APIRouter, Form, Request, Response
from fastapi.concurrency import run_in_threadpool
from pydantic import Field

from rungwise import records
from rungwise.camera import text_available
from rungwise.errors import BadInput
from rungwise.records import EntryResult, Scope, UnitOfWork
from rungwise.services import unit_from_text
from rungwise.unit import ARRANGEMENTS
from rungwise.web.deps import Here, Visitor
from rungwise.web.field_replies import FieldClash, FieldReply, clashes_of, told_of
from rungwise.web.forms import goto
from rungwise.web.pages.new_unit import forms
from rungwise.web.pages.new_unit.draft import (
    PLACE_FIELDS,
    SHAPED,
    UNNAMED,
    Draft,
    draft_of,
    put_in,
    unit_names,
)
from rungwise.web.schemas import View, page
from rungwise.web.shown import Shown
from rungwise.web.submission import refuse_unknown
from rungwise.web.undo import UndoLine, undo_of
from rungwise.wording import mark

router = APIRouter()


class PlateLine(Shown):
    """A field of the form. level: wrong, doubt, fine, or empty when there is nothing to say."""

    key: str
    label: str
    unit: str
    hint: str
    typed: str
    level: Literal["wrong", "doubt", "fine", ""]
    text: str


class PlateGroup(Shown):
    """Fields that stand together on the plate."""

    name: str
    lines: list[PlateLine]

    @property
    def typed(self) -> int:
        """How many are filled in."""
        return sum(bool(each.typed.strip()) for each in self.lines)

    @property
    def wrong(self) -> bool:
        """Whether one of them must be looked at."""
        return any(each.level in ("wrong", "doubt") for each in self.lines)


class PlateVerdict(Shown):
    """What the figures say together."""

    level: Literal["wrong", "doubt", "fine", ""]
    text: str


class Plate(View):
    """A unit's nameplate as far as it is typed."""

    number: int
    version: int
    draft: bool
    arrangement: str
    groups: list[PlateGroup]
    together: list[PlateVerdict]
    usable: bool
    unread: list[str] = Field(description="fields whose figures cannot be used: none may stand")
    reads_photos: bool = Field(description="whether a photo of the plate can be read here")
    call: int | None
    field_clashes: list[FieldClash]
    undo: UndoLine


@router.post("/units", include_in_schema=False)
def add_unit(
    here: Here,
    arrangement: Annotated[str, Form()] = "",
    toml: Annotated[str, Form(max_length=100_000)] = "",
    call: Annotated[int | None, Form()] = None,
) -> Response:
    """Begin a unit; sent again, the form leads to the one that it began.

    arrangement: one that ships, as it stands; or toml: the text of a unit file that was shaped.
    call: one that waits for its unit: it goes on at once, and the nameplate may come later.
    Raises BadInput for an arrangement that does not exist, or a text that cannot be used.
    """
    if toml:
        shaped = unit_from_text(toml.replace("\r\n", "\n"))
        arrangement = shaped.arrangement
    elif arrangement not in ARRANGEMENTS:
        allowed = ", ".join(ARRANGEMENTS)
        raise BadInput(
            what=mark("There is no such arrangement."), value=arrangement, allowed=allowed
        )
    with here.writing() as book:
        unit = book.units.add(UNNAMED)
        book.units.leave(unit.id, "arrangement", arrangement)
        if toml:
            book.units.leave(unit.id, SHAPED, toml.replace("\r\n", "\n"))
        path = f"/units/{unit.id}/plate"
        if call is not None:
            put_in(book, book.units.get(unit.id))
            book.calls.put_on(call, unit.id)
            path = f"/calls/{call}"
        here.leads(path)
    return goto(path)


@page(router, "/units/{number}/plate", "plate.html")
def plate(number: int, here: Here, call: int | None = None) -> Plate:
    """A unit's nameplate, with what can be said of each figure and of all together."""
    with here.reading() as book:
        unit = book.units.get(number)
        draft = draft_of(book, unit)
        titles = {
            draft.entry_name(key): PLACE_FIELDS.get(key) or draft.fields[key].label
            for key in draft.keys
        }
        clashes = clashes_of(book.units.entries(number), book.units.beside(number), titles)
        names = unit_names(book, number)
        undo = undo_of(book, Scope.of_unit(number), f"/units/{number}/undo", names)
    together = [PlateVerdict(level=each.level, text=each.text) for each in draft.together]
    return Plate(
        title=unit.title if unit.title != UNNAMED else mark("Nameplate"),
        number=number,
        version=unit.version,
        draft=unit.state == "draft",
        arrangement=draft.arrangement,
        groups=_groups(draft),
        together=together,
        usable=draft.usable,
        unread=[draft.label(key) for key in draft.unread],
        reads_photos=text_available(),
        call=call,
        field_clashes=clashes,
        undo=undo,
    )


@router.post("/units/{number}/plate/{key}", include_in_schema=False)
def leave_field(
    number: int,
    key: str,
    here: Here,
    typed: Annotated[str, Form(max_length=2000)],
    seen: Annotated[int | None, Form()] = None,
) -> FieldReply:
    """Keep one field as it was left, and say what can be said of it."""
    with here.writing() as book:
        unit = book.units.get(number)
        left, said = leave_one(book, unit, key, typed, seen)
        return told_of(left, said.level, said.text)


@router.post("/units/{number}/plate", include_in_schema=False)
async def leave_all(number: int, request: Request, here: Here) -> Response:
    """Keep all fields, as the button without script sends them; `done` puts them into the unit."""
    form = {key: str(value) for key, value in (await request.form()).items()}
    return await run_in_threadpool(_left, here, number, form)


@router.post("/units/{number}/fields-choose", include_in_schema=False)
def choose_field(number: int, here: Here, row: Annotated[int, Form()]) -> Response:
    """Of two texts for one field, let one stand."""
    with here.writing() as book:
        book.units.choose(number, row)
    return goto(f"/units/{number}/plate")


def _left(here: Visitor, number: int, form: dict[str, str]) -> Response:
    call = f"?call={form['call']}" if form.get("call", "").isdecimal() else ""
    seen = int(form["seen"]) if form.get("seen", "").isdecimal() else None
    with here.writing() as book:
        unit = book.units.get(number)
        held = draft_of(book, unit)
        refuse_unknown(form, {*held.keys, "call", "seen", "done"})
        for key, typed in form.items():
            if key in held.keys and typed != held.typed(key):
                leave_one(book, unit, key, typed, seen)
        put = form.get("done") == "1" and put_in(book, book.units.get(number))
    if not put:
        return goto(f"/units/{number}/plate{call}#together")
    return goto(f"/calls/{form['call']}" if call else f"/units/{number}")


def leave_one(
    book: UnitOfWork, unit: records.Unit, key: str, typed: str, seen: int | None
) -> tuple[EntryResult[records.Entry], forms.FieldVerdict]:
    """Keep one field of a plate, with its refusal where it cannot be used."""
    held = draft_of(book, unit)
    was, draft = held.typed(key), held.with_typed(key, typed)
    said = draft.said_of(key)
    refusal = said.text if said.refused else ""
    name = draft.entry_name(key)
    left = book.units.leave(unit.id, name, typed, refusal=refusal, seen=seen, was=was)
    return left, said


USUAL = frozenset(("volt", "rla_a", "lra_a", "fan_fla_a", "herm_uf", "fan_uf", "mca_a", "mocp_a"))
"""Figures that nearly every plate has."""


def _groups(draft: Draft) -> list[PlateGroup]:
    """The fields of the form: figures first, then whose it is, names, and what a meter told."""
    figures = [each for each in draft.fields.values() if not each.is_text]
    texts = [each for each in draft.fields.values() if each.is_text]
    printed = [each for each in figures if not each.measured]
    usual = [each for each in printed if each.key in USUAL or draft.typed(each.key).strip()]
    groups = {
        mark("On the nameplate"): [_line(draft, each) for each in usual],
        mark("Not on every nameplate"): [
            _line(draft, each) for each in printed if each not in usual
        ],
        mark("Equipment"): [_line(draft, each) for each in texts],
        mark("Winding ohms, if known"): [_line(draft, each) for each in figures if each.measured],
    }
    place = [
        PlateLine(key=key, label=label, unit="", hint="", typed=draft.typed(key), level="", text="")
        for key, label in PLACE_FIELDS.items()
    ]
    named = [PlateGroup(name=name, lines=lines) for name, lines in groups.items() if lines]
    at = 1 + (len(usual) < len(printed))
    return [*named[:at], PlateGroup(name=mark("Customer"), lines=place), *named[at:]]


def _line(draft: Draft, field: forms.PlateField) -> PlateLine:
    said = draft.said_of(field.key)
    return PlateLine(
        key=field.key,
        label=field.label,
        unit=field.unit,
        hint=field.hint,
        typed=draft.typed(field.key),
        level=said.level,
        text=said.text,
    )
