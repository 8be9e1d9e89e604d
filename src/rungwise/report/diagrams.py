"""Both diagrams of a call's unit as it was left, in pieces for the page."""

from __future__ import annotations

from collections.abc import Mapping

from rungwise.drawing import Marks, ladder, panel
from rungwise.drawing import Picture as Drawn
from rungwise.report.content import Picture
from rungwise.report.layout import Size
from rungwise.report.slices import Piece, slices
from rungwise.report.wires_told import moved_wires, unit_as_left
from rungwise.report.worked import Worked
from rungwise.unit import Unit

COLUMN: Mapping[Size, float] = {"letter": 1040.0, "a4": 1160.0}
"""Units of a picture that one of two columns of a page holds below the number of the piece."""

HEADING = 130.0
"""Units that the heading of a picture and its note take from a column."""

LEAST = 150.0
"""A picture that would have less than this at the foot of a column begins the next one."""

AS_FILED = (
    "Drawn from the unit's file. How the wires were left was not written down, and may differ."
)
AS_LEFT = "Drawn with the wires as they were left, contacts as without volts."


def diagrams(worked: Worked, size: Size) -> tuple[tuple[Picture, ...], dict[str, bytes]]:
    """Ladder and outdoor cabinet, and their files by name; without volts, changes marked.

    They follow each other down the two columns of a page of this size.
    """
    unit, note = _as_left(worked)
    marks = Marks(changed=_changed(worked, unit))
    drawn: Mapping[str, tuple[str, Drawn]] = {
        "ladder": ("Ladder diagram", ladder(unit, marks)),
        "panel": ("Outdoor cabinet, from point to point", panel(unit, marks)),
    }
    files: dict[str, bytes] = {}
    pictures = []
    tallest = left = COLUMN[size]
    for key, (title, picture) in drawn.items():
        pieces = _pieces(picture, left - HEADING, tallest)
        names = [f"{key}-{at}.svg" for at in range(1, len(pieces) + 1)]
        files |= {name: piece.svg.encode() for name, piece in zip(names, pieces, strict=True)}
        left = tallest - pieces[-1].height - (HEADING if len(pieces) == 1 else 0.0)
        told = f"{title} of {unit.title}; its wires are listed in the unit's file."
        pictures.append(Picture(title, note, told, tuple(names)))
    return tuple(pictures), files


def _pieces(picture: Drawn, foot: float, tallest: float) -> tuple[Piece, ...]:
    """From the foot of a column where that saves one, else from the top of the next."""
    beside = slices(picture, tallest - HEADING, tallest)
    below = slices(picture, foot, tallest) if foot >= LEAST else ()
    return below if 0 < len(below) <= len(beside) else beside


def _as_left(worked: Worked) -> tuple[Unit, str]:
    if worked.wires is None or worked.wires.found.left is None:
        return worked.answer.opened.unit, AS_FILED
    return unit_as_left(worked.wires), AS_LEFT


def _changed(worked: Worked, unit: Unit) -> frozenset[str]:
    """Parts that are new, and wires elsewhere than meant."""
    parts = {name for each in worked.fits for name in each.candidate.parts}
    proof = worked.answer.call.proof
    parts |= set(proof.strings("repaired", default=())) if proof is not None else set()
    wires = moved_wires(worked.wires) if worked.wires else frozenset()
    return frozenset((parts & set(unit.part_by_name)) | (wires & set(unit.wire_by_name)))
