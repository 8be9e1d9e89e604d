"""What the van carries: counted, added by a short form, less by what is installed."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, File, Form, Query, Request, Response, UploadFile
from fastapi.concurrency import run_in_threadpool
from pydantic import Field

from rungwise.camera import text_available
from rungwise.errors import BadInput, BadRecord
from rungwise.quantity import parse
from rungwise.records import UnitOfWork, developed
from rungwise.replacement import CANDIDATE_KINDS
from rungwise.web.deps import Here, Visitor
from rungwise.web.forms import goto
from rungwise.web.pages.new_unit.forms import two_sections
from rungwise.web.pages.part.view import (
    OwnField,
    fields_of,
    table_of,
    unread_of,
    with_price,
)
from rungwise.web.pages.van import stock as van
from rungwise.web.pages.van.label import carried_first, kind_of, label_fields
from rungwise.web.photo_reading import StripLine, strip_lines, words_of
from rungwise.web.reasons import reason_of
from rungwise.web.results import stock_in
from rungwise.web.schemas import View, page
from rungwise.web.shown import Shown
from rungwise.web.undo import UndoLine, undo_of
from rungwise.wording import mark

router = APIRouter()

MOST_BYTES = 400_000
"""Of a candidates file; a van's has some ten thousand."""

NOT_OF_THE_PART = {"kind", "call", "of", "count", "seen", "photo"}


class StockLine(Shown):
    """A part of the van. number: its place in the list. count: None where nobody counts it."""

    number: int
    name: str
    title: str
    where: str
    price: str
    count: int | None


class VanPage(View):
    """What the van carries, and the form for one part more.

    call, of: the call and the part that somebody came from.
    """

    lines: list[StockLine]
    kinds: list[tuple[str, str]]
    more_kinds: list[tuple[str, str]]
    kind: str
    kind_title: str
    fields: list[OwnField]
    name: str
    price: str
    where: str
    count: str
    wrong: str = Field(description="why the part is not added yet")
    saved: str
    call: int | None
    of: str
    photo: int | None
    strips: list[StripLine] = Field(description="what was read of a photo of the label")
    reads_photos: bool
    undo: UndoLine


Short = Annotated[str, Query(max_length=60)]


@page(router, "/van", "van.html")
def van_page(  # what may stand in the address
    here: Here,
    request: Request,
    kind: Short = "",
    of: Short = "",
    saved: Annotated[str, Query(max_length=120)] = "",
    call: int | None = None,
    photo: int | None = None,
) -> VanPage:
    """What the van carries; with a kind, the form for a part of that kind."""
    with here.reading() as book:
        text = van.stock_text(book, here.person_id)
        undo = _undo(book, here.person_id)
    sorts = [(each, CANDIDATE_KINDS[each].title) for each in van.kinds_with_place()]
    typed = {key: told[:300] for key, told in request.query_params.items()}
    known = kind if kind in van.kinds_with_place() else ""
    wrong, fields = _form(known, typed)
    return VanPage(
        title=mark("Van stock"),
        lines=[_line(number, each) for number, each in enumerate(van.rows_of(text))],
        kinds=[each for name in carried_first() for each in sorts if each[0] == name],
        more_kinds=[each for each in sorts if each[0] not in carried_first()],
        kind=known,
        kind_title=CANDIDATE_KINDS[known].title if known else "",
        fields=fields,
        name=typed.get("name", ""),
        price=typed.get("price", ""),
        where=typed.get("where", ""),
        count=typed.get("count", "1"),
        wrong=wrong,
        saved=saved,
        call=call,
        of=of,
        photo=photo,
        strips=_strips(here, photo, known, fields),
        reads_photos=text_available(),
        undo=undo,
    )


def _undo(book: UnitOfWork, person_id: int | None) -> UndoLine:
    """The last change of the stock; a part that was installed is taken back on its call."""
    scope = van.stock_scope(book, person_id)
    line = undo_of(book, scope, "/van/undo", van.stock_names(book))
    if any(map(book.undo.fitted_with, book.undo.last(scope))):
        line.what = ""
    return line


def _strips(here: Visitor, photo: int | None, kind: str, fields: list[OwnField]) -> list[StripLine]:
    """What was read of the label's photo, to be held against it."""
    if photo is None or not kind:
        return []
    labels = {each.key: each.label for each in fields}
    units = {each.key: each.unit for each in fields}
    return strip_lines(label_fields(kind, words_of(here, photo)), photo, labels, units, {})


@router.post("/van", include_in_schema=False)
async def add_part(request: Request, here: Here) -> Response:
    """Add a part by its label; a slip leads back to the form, with what was typed."""
    form = {key: str(value)[:300] for key, value in (await request.form()).items()}
    return await run_in_threadpool(_add, here, form)


@router.post("/van/label", include_in_schema=False)
def add_label_photo(
    here: Here,
    photo: Annotated[UploadFile, File()],
    call: Annotated[int | None, Form()] = None,
    of: Annotated[str, Form(max_length=60)] = "",
) -> Response:
    """Keep a photo of a label; what it says stands in the form next, and is not saved yet."""
    shot = developed(photo.file.read())
    with here.writing() as book:
        row = book.photos.add(shot, call_id=call, shows="part label")
        number = row.id
        here.leads(f"/van/label/{number}?{_back({'call': str(call or ''), 'of': of})}")
    return read_label(number, here, call=call, of=of)


@router.get("/van/label/{photo}", include_in_schema=False)
def read_label(
    photo: int, here: Here, kind: Short = "", of: Short = "", call: int | None = None
) -> Response:
    """Lead to the form of the part whose label is on a photo, with what was read in it."""
    words = words_of(here, photo)
    known = kind if kind in van.kinds_with_place() else kind_of(words)
    told = {"call": str(call or ""), "of": of, "photo": str(photo), "kind": known}
    if known in van.kinds_with_place():
        read = {each.key: each.printed for each in label_fields(known, words)}
        told |= shared_out(known, read)
    return goto(f"/van?{_back(told)}#add")


@router.post("/van/count", include_in_schema=False)
def count_part(
    here: Here, number: Annotated[int, Form()], name: Annotated[str, Form(max_length=200)],
    step: Annotated[int, Form(ge=-1, le=1)],
) -> Response:  # fmt: skip
    """One more or one less of a part. Raises BadRecord where the list has changed meanwhile."""
    with here.writing() as book:
        text = van.stock_text(book, here.person_id)
        rows = van.rows_of(text)
        if not 0 <= number < len(rows) or rows[number].get("name") != name:
            raise BadRecord(
                what=mark("The van's list has changed meanwhile."), value=name,
                next_step=mark("look at the list again, and count once more"),
            )  # fmt: skip
        van.keep_stock(book, here, van.counted(text, number, lambda count: count + step))
    return goto(f"/van#part-{number}")


@router.post("/van/file", include_in_schema=False)
def put_file(here: Here, stock: UploadFile) -> Response:
    """Take a candidates file in place of the list. Raises BadInput for what is none."""
    text = text_in(stock)
    stock_in(text, van.home_of(carried_first()[0]).unit)  # raises what is wrong with it
    with here.writing() as book:
        van.keep_stock(book, here, text)
    return goto("/van")


def text_in(stock: UploadFile) -> str:
    """The text of a file that was sent. Raises BadRecord for one too large, or no text."""
    content = stock.file.read(MOST_BYTES + 1)
    if len(content) > MOST_BYTES:
        raise BadRecord(
            what=mark("This file is too large for a van's stock."), value=stock.filename
        )
    try:
        return content.decode()
    except UnicodeDecodeError:
        step = "save it as UTF-8 text, and send it again"
        raise BadRecord(what=mark("This is no candidates file."), next_step=step) from None


def _add(here: Visitor, form: dict[str, str]) -> Response:
    kind, call, of = (form.get(each, "") for each in ("kind", "call", "of"))
    back = _back(form)
    if kind not in van.kinds_with_place():
        raise BadRecord(what=mark("There is no such kind of part."), value=kind)
    try:
        table = made_of(kind, form)
    except BadInput:
        return goto(f"/van?{back}#add")  # which says what is wrong, at its field
    with here.writing() as book:
        text = van.added(van.stock_text(book, here.person_id), table)
        van.keep_stock(book, here, text)
    if call.isdecimal():
        return goto(f"/calls/{call}/part?of={of}#stock")
    return goto(f"/van?saved={_quoted(table['name'])}")


def made_of(kind: str, form: dict[str, str]) -> dict[str, Any]:
    """The table of a part as it was typed. Raises BadInput for a figure that cannot be used."""
    told = shared_out(kind, {key: each for key, each in form.items() if key not in NOT_OF_THE_PART})
    count = parse(form.get("count", "").strip() or "1", "", what=mark("How many"))
    if count != int(count) or not 0 < count <= van.MOST:
        raise BadRecord(
            what=mark("How many?"), value=form.get("count", ""), allowed=f"1 to {van.MOST}"
        )
    table = table_of(kind, van.home_of(kind).part, told)
    table["name"] = told.get("name", "").strip() or named(kind, told)
    table[van.COUNT] = int(count)
    return with_price(table, van.read(table))


def shared_out(kind: str, told: dict[str, str]) -> dict[str, str]:
    """What was typed, with a dual capacitor's label, "45+5", in both of its fields."""
    both = (
        two_sections(told.get("herm_uf", ""))
        if "fan_uf" in CANDIDATE_KINDS[kind].parameters()
        else None
    )
    if both is None:
        return told
    return {**told, "herm_uf": both[0], "fan_uf": told.get("fan_uf", "").strip() or both[1]}


def named(kind: str, told: dict[str, str]) -> str:
    """What a part is called by its label: "dual run capacitor 45 µF 5 µF 440 V"."""
    known = CANDIDATE_KINDS[kind]
    units = {key: each.unit for key, each in known.parameters().items()}
    figures = [
        f"{told[key].strip()}{'' if told[key].strip().endswith(units[key]) else ' ' + units[key]}"
        for key in known.label
        if told.get(key, "").strip()
    ]
    return " ".join([known.title, *(each.strip() for each in figures)])


def _form(kind: str, typed: dict[str, str]) -> tuple[str, list[OwnField]]:
    """The fields of a part, and what is wrong with it where something was typed already."""
    if not kind:
        return "", []
    why, wrong = "", {}
    begun = any(typed.get(key) for key in CANDIDATE_KINDS[kind].label)
    told = shared_out(kind, typed)
    if begun and (wrong := unread_of(kind, told)):
        why = mark("Some of its label is missing.")
    elif begun:
        try:
            made_of(kind, typed)
        except BadInput as error:
            key = error.last_key
            known = {*CANDIDATE_KINDS[kind].parameters(), *CANDIDATE_KINDS[kind].texts}
            why = reason_of(error)
            wrong = {key: why} if key in known else {}
    return why, fields_of(kind, typed, wrong)


def _line(number: int, table: Any) -> StockLine:
    kind, price = CANDIDATE_KINDS.get(str(table.get("kind", ""))), table.get("price")
    count = table.get(van.COUNT)
    return StockLine(
        number=number,
        name=str(table.get("name", "")),
        title=kind.title if kind else "",
        where=str(table.get("where", "")),
        price=f"${price:.2f}" if isinstance(price, int | float) else "",
        count=count if isinstance(count, int) else None,
    )


def _back(form: dict[str, str]) -> str:
    return "&".join(f"{key}={_quoted(each)}" for key, each in form.items() if each)


def _quoted(text: str) -> str:
    from urllib.parse import quote  # noqa: PLC0415  # of this alone

    return quote(text, safe="")
