"""Photos themselves, and taking one out of sight."""

from __future__ import annotations

from collections.abc import Callable
from http import HTTPStatus
from typing import Annotated

from fastapi import APIRouter, File, Form, Header, Response, UploadFile

from rungwise.records import developed
from rungwise.web.deps import Here
from rungwise.web.forms import back_to, goto

PICTURES = ("image/jpeg", "image/png")  # an archive may hold what no camera made
ASK_AGAIN = "private, no-cache"  # its content never changes, but it may be taken out of sight

router = APIRouter(include_in_schema=False)

Photo = Annotated[UploadFile, File()]
Shows = Annotated[str, Form()]
Held = Annotated[str, Header()]


@router.get("/photos/{number}")
def photo(number: int, here: Here, if_none_match: Held = "") -> Response:
    """A photo in full."""
    with here.reading() as book:
        row = book.photos.seen(number)
        return _sent(row.digest, row.media_type, if_none_match, lambda: row.content)


@router.get("/photos/{number}/small")
def small_photo(number: int, here: Here, if_none_match: Held = "") -> Response:
    """A photo for a list."""
    with here.reading() as book:
        row = book.photos.seen(number)
        return _sent(f"{row.digest}-small", row.media_type, if_none_match, lambda: row.small)


@router.post("/photos/{number}/remove")
def remove_photo(number: int, here: Here, back: Annotated[str, Form()] = "/day") -> Response:
    """Take a photo out of sight."""
    with here.writing() as book:
        book.photos.remove(number)
    return back_to(back)


@router.post("/calls/{number}/photos")
def add_call_photo(number: int, here: Here, photo: Photo, shows: Shows = "") -> Response:
    """Keep a photo taken on a call; the same one is kept once."""
    shot = developed(photo.file.read())
    with here.writing() as book:
        book.photos.add(shot, call_id=number, shows=shows)
    return goto(f"/calls/{number}#photos")


@router.post("/units/{number}/photos")
def add_unit_photo(number: int, here: Here, photo: Photo, shows: Shows = "") -> Response:
    """Keep a photo of a unit; the same one is kept once."""
    shot = developed(photo.file.read())
    with here.writing() as book:
        book.photos.add(shot, unit_id=number, shows=shows)
    return goto(f"/units/{number}?open=photos#photos")


def _sent(digest: str, media_type: str, held: str, content: Callable[[], bytes]) -> Response:
    """A picture, or that the phone has it already."""
    headers = {"cache-control": ASK_AGAIN, "etag": f'"{digest}"'}
    if held == headers["etag"]:
        return Response(status_code=HTTPStatus.NOT_MODIFIED, headers=headers)
    shown = media_type if media_type in PICTURES else "application/octet-stream"
    return Response(content(), media_type=shown, headers=headers)
