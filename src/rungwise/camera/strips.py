"""The piece of a photo that a field was read from, to be held against what was read."""

from __future__ import annotations

import io

from rungwise.camera.pictures import opened

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
