"""Wires marked on a photo: touch a wire, its color is read, then its terminal.

The touch is that of a picture in a form, so it works without script.
"""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Query, Request
from pydantic import Field

from rungwise.camera import ColorGuess, color_at
from rungwise.errors import BadInput
from rungwise.parts import split_end
from rungwise.unit import Unit, Wire
from rungwise.web.context import gathered
from rungwise.web.deps import Here
from rungwise.web.job import JobView, job_of
from rungwise.web.pages.wires.draft import WiresDraft, draft_of, wires_of_part
from rungwise.web.reasons import reason_of
from rungwise.web.schemas import page
from rungwise.web.shown import Shown
from rungwise.web.spots import place_words, wire_words
from rungwise.wording import mark

router = APIRouter()

SHOWN_WIDE = 350
"""Of the photo on the page, CSS px: where a touch lies is told in these."""

Short = Annotated[str, Query(max_length=60)]
Touch = tuple[float, float]


class WireChoice(Shown):
    """A wire that the touched one may be. fits: whether its color is the one that was read."""

    wire: str
    meant: str
    words: str
    fits: bool
    found: bool = Field(description="whether it was entered already")


class TouchedColor(Shown):
    """The color of a wire that was touched. rgb: what the photo has there, as #rrggbb."""

    name: str
    sure: bool
    why: str
    others: list[str]
    rgb: str


class WirePhoto(JobView):
    """A photo of wires to be touched, and what was touched on it.

    kept: what the form carries along. whitening: whether the next touch is on something white.
    """

    part: str
    part_title: str
    photo: int
    wide: int
    high: int
    whitening: bool
    trouble: str
    color: TouchedColor | None
    at: str
    terminals: list[tuple[str, str]]
    wires: list[WireChoice]
    kept: list[tuple[str, str]]
    query: str


@page(router, "/calls/{number}/wires/photo/{photo}", "wire_photo.html")
def wire_photo(  # what may stand in the address
    number: int,
    photo: int,
    here: Here,
    request: Request,
    of: Short = "",
    at: Short = "",
    white: Short = "",
) -> WirePhoto:
    """A photo of the wires of a part: touch one, then choose its terminal and which wire it is.

    at: the terminal that it sits on. white: "next" where something white is to be touched.
    """
    with here.reading() as book:
        held = gathered(book, number)
        row = book.photos.seen(photo)
        size, content = (row.width, row.height), row.content
        draft = draft_of(book, number)
    job = job_of(here, held)
    unit = job.unit
    part = of if of in unit.part_by_name else job.part or unit.parts[0].name
    told = dict(request.query_params)
    touched, hint = (_touch(told, name, size) for name in ("touch", "white"))
    color, trouble = _read(content, touched, hint)
    high = max(1, round(SHOWN_WIDE * size[1] / max(1, size[0])))
    carried = {key: told[key][:20] for key in ("touch.x", "touch.y", "white.x", "white.y")
               if key in told}  # fmt: skip
    return WirePhoto.model_validate(
        {
            **job.head(mark("Wires on the photo")),
            "part": part,
            "part_title": unit.part(part).title,
            "photo": photo,
            "wide": SHOWN_WIDE,
            "high": high,
            "whitening": white == "next",
            "trouble": trouble,
            "color": _shown(color) if color else None,
            "at": at,
            "terminals": [(each, place_words(unit, f"{part}.{each}"))
                          for each in unit.kind_of(part).terminals],
            "wires": _choices(unit, part, draft, color, at) if color and at else [],
            "kept": [("of", part), *carried.items()],
            "query": "&".join(f"{key}={each}" for key, each in (("of", part), *carried.items())),
        }
    )  # fmt: skip


def _touch(told: dict[str, str], name: str, size: tuple[int, int]) -> Touch | None:
    """A touch as shares of the photo; None where there is none."""
    x, y = (told.get(f"{name}.{axis}", "") for axis in "xy")
    if not (x.isdecimal() and y.isdecimal() and len(x) < 6 and len(y) < 6):
        return None
    high = SHOWN_WIDE * size[1] / max(1, size[0])
    return min(1.0, int(x) / SHOWN_WIDE), min(1.0, int(y) / max(1.0, high))


def _read(
    content: bytes, touched: Touch | None, white: Touch | None
) -> tuple[ColorGuess | None, str]:
    if touched is None:
        return None, ""
    try:
        return color_at(content, touched, white), ""
    except BadInput as error:
        return None, reason_of(error)


def _shown(color: ColorGuess) -> TouchedColor:
    rgb = "#" + "".join(f"{each:02x}" for each in color.rgb)
    return TouchedColor(name=color.name, sure=color.sureness == "sure", why=color.why,
                        others=list(color.others), rgb=rgb)  # fmt: skip


def _choices(
    unit: Unit, part: str, draft: WiresDraft, color: ColorGuess, at: str
) -> list[WireChoice]:
    """The wires of the part, the likeliest first: its color, its terminal, not entered yet."""
    found = [
        WireChoice(
            wire=wire.name,
            meant=meant,
            words=wire_words(unit, wire),
            fits=_same_color(wire.colour, color.name),
            found=wire.name in draft.found,
        )
        for wire in wires_of_part(unit, part)
        for meant in _ends_on(wire, part)
    ]
    return sorted(found, key=lambda each: (each.found, not each.fits, each.meant != at))


def _ends_on(wire: Wire, part: str) -> list[str]:
    ends = (split_end(each) for each in (wire.start, wire.end))
    return [terminal for name, terminal in ends if name == part]


def _same_color(one: str, other: str) -> bool:
    """Whether a wire's color in the unit is the one that was read, whichever stripe is first."""
    return set(one.split("/")) == set(other.split("/"))
