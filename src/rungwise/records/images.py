"""A photo made fit to keep: upright, not larger than it needs to be, telling nothing but itself."""

from __future__ import annotations

import io
import struct
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from PIL import Image, ImageOps, UnidentifiedImageError

from rungwise.errors import BadRecord, StoreError
from rungwise.wording import mark

MOST_BYTES = 15_000_000
"""The largest file taken; a phone's photo has 3 to 8 million bytes (common practice, no source)."""

MOST_PIXELS = 25_000_000
"""Of a picture as it is decoded: 75 million bytes of memory. A JPEG is decoded at a half, a quarter
or an eighth of its size where that is still more than is kept."""

MOST_STATED_PIXELS = 110_000_000
"""Of the file itself, the largest that phones take (common practice, no source)."""

LONGEST_SIDE_PX = 2400
"""Enough to read a nameplate that fills a third of the photo."""

SMALL_SIDE_PX = 480
FORMATS = ("JPEG", "PNG", "WEBP")
_BROKEN = (UnidentifiedImageError, OSError, SyntaxError, ValueError, EOFError, struct.error)
_HUGE = (Image.DecompressionBombError, Image.DecompressionBombWarning)

WAIT_S = 45.0
MOST_WAITING = 12
_line = threading.BoundedSemaphore(MOST_WAITING)
_one_at_a_time = threading.Lock()
"""A picture takes memory and the processor: however many arrive at once, one is worked on. Who
waits holds a thread of the server, so only some may."""


@dataclass(frozen=True)
class StoredImage:
    """A photo as it is kept. content and small: of media_type, without any other data in them."""

    content: bytes
    small: bytes
    media_type: str
    width: int
    height: int


def developed(content: bytes) -> StoredImage:
    """The photo in the bytes of a file: JPEG, PNG or WebP.

    It is turned upright and written anew, so that place, time, owner and device that the camera
    wrote into it are gone. It takes tenths of a second, so no transaction should be open meanwhile.
    Raises BadRecord when it is too large, broken, or no photo; StoreError when too many are sent.
    """
    if len(content) > MOST_BYTES:
        raise _too_large(f"{len(content) / 1e6:.1f} million bytes", f"{MOST_BYTES // 1_000_000}")
    with _alone():
        try:
            whole, kind = _read(content)
        except _HUGE as fault:
            raise _too_large("more points than any camera has", _MILLIONS) from fault
        except _BROKEN as fault:
            raise _no_photo(content) from fault
        small = _within(whole, SMALL_SIDE_PX)
        written = _written(whole, kind), _written(small, kind)
    return StoredImage(*written, f"image/{kind.lower()}", *whole.size)


@contextmanager
def _alone() -> Iterator[None]:
    if not _line.acquire(blocking=False):
        raise _too_many()
    try:
        if not _one_at_a_time.acquire(timeout=WAIT_S):
            raise _too_many()
        try:
            yield
        finally:
            _one_at_a_time.release()
    finally:
        _line.release()


def _too_many() -> StoreError:
    return StoreError(
        "Too many photos are being sent at once; this one was not kept.",
        next_step=mark("send it again in a minute"),
    )


def _read(content: bytes) -> tuple[Image.Image, str]:
    """The picture upright and no larger than it is kept, and the kind it is kept as."""
    with Image.open(io.BytesIO(content), formats=FORMATS) as opened:
        # A drawing with sharp edges stays one; all else is a photo.
        kind = "PNG" if opened.format == "PNG" else "JPEG"
        _refuse_huge(opened, MOST_STATED_PIXELS)
        opened.draft("RGB", (LONGEST_SIDE_PX, LONGEST_SIDE_PX))
        _refuse_huge(opened, MOST_PIXELS)
        if opened.mode not in _NO_SHADES:  # then no second picture of the full size is held
            opened.thumbnail((LONGEST_SIDE_PX, LONGEST_SIDE_PX))
        return _within(_plain(ImageOps.exif_transpose(opened)), LONGEST_SIDE_PX), kind


_NO_SHADES = ("1", "P", "PA")
"""Modes that cannot be made smaller before they have all colours."""

_MILLIONS = f"{MOST_PIXELS // 1_000_000}"


def _refuse_huge(opened: Image.Image, most: int) -> None:
    width, height = opened.size
    if width * height > most:
        raise _too_large(f"{width} × {height} points", f"{most // 1_000_000}")


def _too_large(value: str, millions: str) -> BadRecord:
    return BadRecord(
        what=mark("The photo is too large."),
        value=value,
        allowed=f"at most {millions} million",
        next_step=mark("take it again at a smaller size"),
    )


def _no_photo(content: bytes) -> BadRecord:
    return BadRecord(
        what=mark("This file is no photo, or it did not arrive whole."),
        value=f"{len(content)} bytes",
        allowed="JPEG, PNG or WebP",
        next_step=mark("send it again; if it fails again, take the photo anew"),
    )


def _plain(image: Image.Image) -> Image.Image:
    """In three colours, what is transparent on white: paper has no other ground."""
    if image.mode in ("RGBA", "LA", "PA") or "transparency" in image.info:
        layers = image.convert("RGBA")
        ground = Image.new("RGBA", layers.size, "white")
        return Image.alpha_composite(ground, layers).convert("RGB")
    return image.convert("RGB")


def _within(image: Image.Image, side_px: int) -> Image.Image:
    """The same picture, its longer side at most `side_px`; never made larger."""
    fitting = image.copy()
    fitting.thumbnail((side_px, side_px))
    return fitting


def _written(image: Image.Image, kind: str) -> bytes:
    # A new image of the points alone: nothing that was beside them comes along.
    bare = Image.frombytes("RGB", image.size, image.tobytes())
    written = io.BytesIO()
    if kind == "PNG":
        bare.save(written, "PNG", optimize=False)
    else:
        bare.save(written, "JPEG", quality=85, optimize=True)
    return written.getvalue()
