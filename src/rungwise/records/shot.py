"""A photo made fit to keep: upright, not larger than it needs to be, telling nothing but itself."""

from __future__ import annotations

import io
import struct
from dataclasses import dataclass

from PIL import Image, ImageOps, UnidentifiedImageError

from rungwise.errors import BadRecord

__all__ = ["LONGEST_SIDE_PX", "MOST_BYTES", "MOST_PIXELS", "SMALL_SIDE_PX", "Shot", "developed"]

MOST_BYTES = 15_000_000
"""The largest file taken; a phone's photo has 3 to 8 million bytes (common practice, no source)."""

MOST_PIXELS = 60_000_000
LONGEST_SIDE_PX = 2400
"""Enough to read a nameplate that fills a third of the photo."""

SMALL_SIDE_PX = 480
FORMATS = ("JPEG", "PNG", "WEBP")
_BROKEN = (UnidentifiedImageError, OSError, SyntaxError, ValueError, EOFError, struct.error)


@dataclass(frozen=True)
class Shot:
    """A photo as it is kept. content and small: of media_type, without any other data in them."""

    content: bytes
    small: bytes
    media_type: str
    width: int
    height: int


def developed(content: bytes) -> Shot:
    """The photo in the bytes of a file: JPEG, PNG or WebP.

    It is turned upright and written anew, so that place, time, owner and device that the camera
    wrote into it are gone. Raises BadRecord when it is too large, broken, or no photo.
    """
    if len(content) > MOST_BYTES:
        raise _too_large(f"{len(content) / 1e6:.1f} million bytes", f"{MOST_BYTES // 1_000_000}")
    try:
        with Image.open(io.BytesIO(content), formats=FORMATS) as opened:
            _refuse_huge(opened)
            # A drawing with sharp edges stays one; all else is a photo.
            kind = "PNG" if opened.format == "PNG" else "JPEG"
            upright = ImageOps.exif_transpose(opened)
            whole = _within(_plain(upright), LONGEST_SIDE_PX)
    except _BROKEN as fault:
        raise _no_photo(content) from fault
    small = _within(whole, SMALL_SIDE_PX)
    return Shot(_written(whole, kind), _written(small, kind), f"image/{kind.lower()}", *whole.size)


def _refuse_huge(opened: Image.Image) -> None:
    width, height = opened.size
    if width * height > MOST_PIXELS:
        raise _too_large(f"{width} × {height} points", f"{MOST_PIXELS // 1_000_000}")


def _too_large(value: str, millions: str) -> BadRecord:
    return BadRecord(
        what="The photo is too large.",
        value=value,
        allowed=f"at most {millions} million",
        next_step="take it again at a smaller size",
    )


def _no_photo(content: bytes) -> BadRecord:
    return BadRecord(
        what="This file is no photo, or it did not arrive whole.",
        value=f"{len(content)} bytes",
        allowed="JPEG, PNG or WebP",
        next_step="send it again; if it fails again, take the photo anew",
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
