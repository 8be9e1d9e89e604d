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
