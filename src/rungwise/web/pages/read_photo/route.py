"""A nameplate read from a photo: each value beside its strip, kept once a person says so."""

from __future__ import annotations

import re
from typing import Annotated

from fastapi import APIRouter, File, Form, Query, Request, Response, UploadFile
from fastapi.concurrency import run_in_threadpool

from rungwise.camera import read_plate, strip_of
from rungwise.errors import BadInput
from rungwise.records import developed
from rungwise.web.deps import Here, Visitor
from rungwise.web.forms import goto
from rungwise.web.pages.new_unit.draft import draft_of
from rungwise.web.pages.new_unit.route import USUAL, leave_one
from rungwise.web.photo_reading import StripLine, strip_lines, words_of
from rungwise.web.schemas import View, page
from rungwise.web.submission import refuse_unknown
from rungwise.wording import mark

router = APIRouter()

NAMEPLATE = "nameplate"
BOX = re.compile(r"(-?[0-9]{1,5}),(-?[0-9]{1,5}),(-?[0-9]{1,5}),(-?[0-9]{1,5})")


class ReadPlate(View):
    """What a photo of the nameplate says, to be confirmed line by line.

    missing: fields of the form that the photo does not tell.
    """

    number: int
    photo: int
    version: int
    lines: list[StripLine]
    missing: list[str]
    call: int | None


@router.post("/units/{number}/plate-photo", include_in_schema=False)
def add_plate_photo(
    number: int,
    here: Here,
    photo: Annotated[UploadFile, File()],
    call: Annotated[int | None, Form()] = None,
) -> Response:
    """Keep a photo of the nameplate; what it says is shown next, and nothing of it kept yet."""
    shot = developed(photo.file.read())
    with here.writing() as book:
        row = book.photos.add(shot, unit_id=number, shows=NAMEPLATE)
        path = f"/units/{number}/plate-photo/{row.id}" + (f"?call={call}" if call else "")
        here.leads(path)
    return goto(path)


@page(router, "/units/{number}/plate-photo/{photo}", "read_plate.html")
def plate_photo(
    number: int, photo: int, here: Here, call: Annotated[int | None, Query()] = None
) -> ReadPlate:
    """What the photo of a nameplate says, each field beside its piece of the photo."""
    with here.reading() as book:
        unit = book.units.get(number)
        draft = draft_of(book, unit)
    labels = {key: field.label for key, field in draft.fields.items() if not field.measured}
    units = {key: field.unit for key, field in draft.fields.items()}
    held = {key: draft.typed(key) for key in labels}
    lines = strip_lines(read_plate(words_of(here, photo)), photo, labels, units, held)
    found = {each.key for each in lines}
    return ReadPlate(
        title=mark("Nameplate from the photo"),
        number=number,
        photo=photo,
        version=unit.version,
        lines=lines,
        missing=[label for key, label in labels.items() if key in USUAL and key not in found],
        call=call,
    )


@router.post("/units/{number}/plate-photo/{photo}", include_in_schema=False)
async def confirm(number: int, photo: int, request: Request, here: Here) -> Response:
    """Keep the values that were confirmed, as they stand in their fields; leave the others."""
    del photo  # in sight while it was confirmed
    form = await request.form()
    told = {key: str(value)[:300] for key, value in form.multi_items() if key != "ok"}
    checked = [str(each) for each in form.getlist("ok")]
    return await run_in_threadpool(_confirmed, here, number, told, checked)


@router.get("/photos/{number}/strip", include_in_schema=False)
def strip(number: int, here: Here, box: Annotated[str, Query(max_length=40)]) -> Response:
    """A piece of a photo. box: left, top, right, bottom in its px. Raises BadInput for no box."""
    found = BOX.fullmatch(box)
    if found is None:
        raise BadInput(
            what=mark("This is no piece of a photo."), value=box, allowed=mark("four numbers")
        )
    left, top, right, bottom = (float(each) for each in found.groups())
    with here.reading() as book:
        content = book.photos.content(number)
    cut = strip_of(content, (left, top, right, bottom))
    return Response(cut, media_type="image/jpeg", headers={"cache-control": "private, no-cache"})


def _confirmed(here: Visitor, number: int, told: dict[str, str], checked: list[str]) -> Response:
    call = f"?call={told['call']}" if told.get("call", "").isdecimal() else ""
    seen = int(told["seen"]) if told.get("seen", "").isdecimal() else None
    with here.writing() as book:
        unit = book.units.get(number)
        known = draft_of(book, unit).keys
        refuse_unknown(told, {*known, "call", "seen"})
        for key in checked:
            if key in known and told.get(key, "").strip():
                leave_one(book, book.units.get(number), key, told[key].strip(), seen)
    return goto(f"/units/{number}/plate{call}#together")
