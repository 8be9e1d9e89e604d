"""Stickers with a unit's code, and opening a unit by a photo of its code."""

from __future__ import annotations

import re
from typing import Annotated

from fastapi import APIRouter, File, Query, Request, Response, UploadFile
from markupsafe import Markup

from rungwise.camera import codes_in
from rungwise.errors import BadRecord, UnknownName
from rungwise.records import developed
from rungwise.web.deps import Here
from rungwise.web.forms import goto
from rungwise.web.schemas import View, page
from rungwise.web.shown import Shown
from rungwise.web.unit_search import UnitLine, found, line_of, unit_lines
from rungwise.wording import mark

router = APIRouter()

ON_A_SHEET = 24
A_UNIT = re.compile(r"/units/([0-9]{1,9})(?:[/?#].*)?$")


class Sticker(Shown):
    """A unit's sticker. address: what its code says."""

    unit: UnitLine
    address: str


class StickerSheet(View):
    """Stickers to be printed."""

    stickers: list[Sticker]
    more: int

    def code(self, sticker: Sticker) -> Markup:
        """The code as a drawing."""
        import segno  # noqa: PLC0415  # of this page alone

        made = segno.make(sticker.address, error="m", micro=False)
        return Markup(made.svg_inline(scale=4, border=4, omitsize=True))  # noqa: S704  # our own


@page(router, "/stickers", "stickers.html")
def stickers(
    here: Here,
    request: Request,
    unit: Annotated[int | None, Query()] = None,
    find: Annotated[str, Query(max_length=80)] = "",
) -> StickerSheet:
    """Stickers of one unit, or of those that fit; each code opens the unit's page."""
    with here.reading() as book:
        lines = [line_of(book, unit)] if unit is not None else found(
            unit_lines(book).values(), find
        )  # fmt: skip
    base = str(request.base_url).rstrip("/")
    told = [Sticker(unit=each, address=f"{base}/units/{each.id}") for each in lines[:ON_A_SHEET]]
    return StickerSheet(title=mark("Stickers"), stickers=told, more=max(0, len(lines) - ON_A_SHEET))


@router.post("/units/scan", include_in_schema=False)
def scan(here: Here, photo: Annotated[UploadFile, File()]) -> Response:
    """Open the unit whose code is on a photo: our own, or a maker's with its serial number.

    Nothing of the photo is kept. Raises BadRecord where it has no code, MissingProgram without
    the extra.
    """
    codes = codes_in(developed(photo.file.read()).content)
    for code in codes:
        ours = A_UNIT.search(code)
        if ours:
            with here.reading() as book:
                book.units.get(int(ours[1]))
            return goto(f"/units/{ours[1]}")
    if not codes:
        raise BadRecord(
            what=mark("There is no code on this photo."),
            next_step=mark("hold the phone square to it, closer, and out of the glare"),
        )
    with here.reading() as book:
        fitting = found(unit_lines(book).values(), codes[0])
    if not fitting:
        raise UnknownName(
            what=mark("No unit on file has this code."), value=codes[0],
            next_step=mark("find the unit by its customer, or add it"),
        )  # fmt: skip
    return goto(f"/units/{fitting[0].id}" if len(fitting) == 1 else f"/units?find={codes[0]}")
