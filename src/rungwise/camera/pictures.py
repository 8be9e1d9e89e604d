"""A photo's bytes as points, no larger than reading it needs."""

from __future__ import annotations

import io
from typing import Any

import numpy as np
from PIL import Image, UnidentifiedImageError

from rungwise.errors import BadRecord

Points = np.ndarray[Any, np.dtype[np.uint8]]


def opened(content: bytes) -> Image.Image:
    """The photo in three colors. Raises BadRecord for what is no photo."""
    try:
        with Image.open(io.BytesIO(content), formats=("JPEG", "PNG", "WEBP")) as photo:
            return photo.convert("RGB")
    except (UnidentifiedImageError, OSError, ValueError, Image.DecompressionBombError) as fault:
        raise BadRecord(what="This photo cannot be read.", next_step="take it again") from fault


def points_of(content: bytes, longest_px: int) -> tuple[Points, float]:
    """The photo as rows of red, green and blue, and how many of its points went into one."""
    photo = opened(content)
    before = max(photo.size)
    photo.thumbnail((longest_px, longest_px))
    return np.asarray(photo, dtype=np.uint8), before / max(photo.size)


AROUND = 0.5
"""Of the strip's height is shown above and below it, so that a cut letter is seen."""

TALLEST_PX, WIDEST_PX = 120, 1000


def strip_of(content: bytes, box: tuple[float, float, float, float]) -> bytes:
    """A strip of a photo as JPEG. box: left, top, right, bottom in px; what lies outside is cut."""
    photo = opened(content)
    left, top, right, bottom = box
    more = AROUND * max(8.0, bottom - top)
    wide, high = photo.size
    edges = (
        int(max(0, min(left - more, wide - 2))), int(max(0, min(top - more, high - 2))),
        int(min(wide, max(right + more, 2))), int(min(high, max(bottom + more, 2))),
    )  # fmt: skip
    strip = photo.crop(
        (edges[0], edges[1], max(edges[2], edges[0] + 2), max(edges[3], edges[1] + 2))
    )
    strip.thumbnail((WIDEST_PX, TALLEST_PX))
    written = io.BytesIO()
    strip.save(written, "JPEG", quality=85)
    return written.getvalue()
