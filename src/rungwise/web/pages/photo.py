"""Photos themselves, and taking one out of sight."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, File, Form, Response, UploadFile

from rungwise.web.forms import back_to, goto
from rungwise.web.here import Here

__all__ = ["router"]

FOREVER = "private, max-age=31536000, immutable"  # a photo's content never changes

router = APIRouter(include_in_schema=False)

Photo = Annotated[UploadFile, File()]
Shows = Annotated[str, Form()]


@router.get("/photos/{number}")
def photo(number: int, here: Here) -> Response:
    """A photo in full."""
    with here.reading() as book:
        row = book.photos.get(number)
        return _sent(row.content, row.media_type)


@router.get("/photos/{number}/small")
def small_photo(number: int, here: Here) -> Response:
    """A photo for a list."""
    with here.reading() as book:
        row = book.photos.get(number)
        return _sent(row.small, row.media_type)


@router.post("/photos/{number}/remove")
def remove_photo(number: int, here: Here, back: Annotated[str, Form()] = "/day") -> Response:
    """Take a photo out of sight."""
    with here.writing() as book:
        book.photos.remove(number)
    return back_to(back)


@router.post("/calls/{number}/photos")
def add_call_photo(number: int, here: Here, photo: Photo, shows: Shows = "") -> Response:
    """Keep a photo taken on a call; the same one is kept once."""
    with here.writing() as book:
        book.photos.add(photo.file.read(), call_id=number, shows=shows)
    return goto(f"/calls/{number}#photos")


@router.post("/units/{number}/photos")
def add_unit_photo(number: int, here: Here, photo: Photo, shows: Shows = "") -> Response:
    """Keep a photo of a unit; the same one is kept once."""
    with here.writing() as book:
        book.photos.add(photo.file.read(), unit_id=number, shows=shows)
    return goto(f"/units/{number}#photos")


def _sent(content: bytes, media_type: str) -> Response:
    return Response(content, media_type=media_type, headers={"cache-control": FOREVER})
