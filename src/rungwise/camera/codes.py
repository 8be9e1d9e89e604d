"""Printed codes in a photo, QR and bars, by a library that may not be there."""

from __future__ import annotations

import importlib.util

from rungwise.camera.pictures import points_of
from rungwise.errors import MissingProgram

LONGEST_PX = 1600


def codes_available() -> bool:
    """Whether the library that reads codes is installed (the extra `photo`)."""
    return importlib.util.find_spec("zxingcpp") is not None


def codes_in(content: bytes) -> tuple[str, ...]:
    """The texts of the codes in a photo.

    Raises MissingProgram without the extra, BadRecord for what is no photo.
    """
    if not codes_available():
        raise MissingProgram(
            "Reading codes is not installed here.",
            next_step='install it with: pip install "rungwise[photo]"',
        )
    import zxingcpp  # noqa: PLC0415  # an extra

    points, _ = points_of(content, LONGEST_PX)
    return tuple(each.text for each in zxingcpp.read_barcodes(points) if each.text)
