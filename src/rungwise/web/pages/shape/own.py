"""The wires of a unit, changed as a list; and the arrangements that a shop keeps of its own."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, File, Form, Query, Response, UploadFile

from rungwise.errors import BadInput, BadUnitFile
from rungwise.records import Scope, unit_text
from rungwise.services import changed_unit, kept_text, unit_from_text
from rungwise.shaping import label_of
from rungwise.unit import Unit, place_words
from rungwise.web.deps import Here
from rungwise.web.forms import fresh_token, goto
from rungwise.web.pages.new_unit.draft import unit_names
from rungwise.web.pages.new_unit.estimates import plain, with_estimates
from rungwise.web.pages.shape.route import own_name
from rungwise.web.pages.shape.view import (
    Link,
    OwnLine,
    OwnPage,
    WiringPage,
    refusal_of,
    told_of,
)
from rungwise.web.schemas import page
from rungwise.web.undo import undo_of
from rungwise.wording import mark

LARGEST_FILE_BYTES = 200_000

router = APIRouter()


@page(router, "/units/{number}/wiring", "wiring.html")
def wiring(
    number: int,
    here: Here,
    label: Annotated[str, Query(max_length=30_000)] = "",
    out: Annotated[str, Query(max_length=80)] = "",
) -> WiringPage:
    """A unit's wires as a list; with another list, or a part taken out, what it then does."""
    with here.reading() as book:
        row = book.units.get(number)
        text = plain(unit_text(row))
        names = unit_names(book, number)
        undo = undo_of(book, Scope.of_unit(number), f"/units/{number}/undo", names, "wiring")
    held = changed_unit(text)
    view = WiringPage(
        title=f"{row.title}: wiring",
        number=number,
        version=row.version,
        label=label.strip() or label_of(held.unit),
        changed=bool(label.strip() or out),
        parts=[_out(number, held.unit, part.name) for part in held.unit.parts],
        token=fresh_token(),
        undo=undo,
    )
    try:
        shaped = changed_unit(text, label=label.strip(), out=out) if view.changed else held
    except BadInput as error:
        view.refused = refusal_of(error)
        return view
    told_of(view, shaped)
    if out:
        view.label = label_of(shaped.unit)
    return view


def _out(number: int, unit: Unit, name: str) -> Link:
    part = unit.part(name)
    return Link(
        words=part.title, hint=place_words(part.place), path=f"/units/{number}/wiring?out={name}"
    )


@router.post("/units/{number}/wiring", include_in_schema=False)
def rewire(
    number: int,
    here: Here,
    toml: Annotated[str, Form(max_length=100_000)],
    seen: Annotated[int | None, Form()] = None,
) -> Response:
    """Put the changed wires into the unit; its old file stays in its history.

    Raises BadUnitFile for a text that cannot be used.
    """
    text = with_estimates(toml.replace("\r\n", "\n"))
    unit_from_text(text)
    with here.writing() as book:
        book.units.rewrite(number, text, seen=seen)
        here.leads(f"/units/{number}")
    return goto(f"/units/{number}")


@page(router, "/arrangements", "arrangements.html")
def arrangements(here: Here) -> OwnPage:
    """The arrangements that the shop keeps, each as a file to be shared."""
    with here.reading() as book:
        own = [
            OwnLine(
                id=each.id,
                title=each.title,
                file=f"/arrangements/{each.id}.toml",
                use=f"/new-unit/unit?start={own_name(each.id)}",
            )
            for each in book.arrangements.listed()
        ]
    return OwnPage(title=mark("The shop's own arrangements"), own=own, token=fresh_token())


@router.get("/arrangements/{number}.toml", include_in_schema=False)
def as_file(number: int, here: Here) -> Response:
    """An arrangement of the shop's own as a unit file."""
    with here.reading() as book:
        held = book.arrangements.get(number)
    name = f'attachment; filename="arrangement-{number}.toml"'
    return Response(held.toml, media_type="application/toml", headers={"content-disposition": name})


@router.post("/arrangements", include_in_schema=False)
async def bring(here: Here, file: Annotated[UploadFile, File()]) -> Response:
    """Keep an arrangement that came as a file. Raises BadUnitFile for one that cannot be used."""
    content = await file.read(LARGEST_FILE_BYTES + 1)
    if len(content) > LARGEST_FILE_BYTES:
        raise BadUnitFile(what=mark("The file is larger than any unit file."), value=file.filename)
    try:
        text = content.decode()
    except UnicodeDecodeError as fault:
        raise BadUnitFile(
            what=mark("The file is no text."),
            value=file.filename,
            next_step=mark("choose a unit file, .toml"),
        ) from fault
    _keep(here, text, unit_from_text(text).title, None)
    return goto("/arrangements")


@router.post("/units/{number}/keep", include_in_schema=False)
def keep(number: int, here: Here, title: Annotated[str, Form(max_length=80)] = "") -> Response:
    """Keep a unit, without its plate, as an arrangement of the shop's own."""
    with here.reading() as book:
        text = plain(unit_text(book.units.get(number)))
    _keep(here, text, title or unit_from_text(text).title, number)
    return goto("/arrangements")


def _keep(here: Here, text: str, title: str, unit: int | None) -> None:
    kept = kept_text(text, title)
    unit_from_text(kept)
    with here.writing() as book:
        book.arrangements.add(title, kept, unit_id=unit)
        here.leads("/arrangements")


@router.post("/arrangements/{number}/off", include_in_schema=False)
def take_off(number: int, here: Here) -> Response:
    """Take an arrangement off the shop's list."""
    with here.writing() as book:
        book.arrangements.take_off(number)
        here.leads("/arrangements")
    return goto("/arrangements")
