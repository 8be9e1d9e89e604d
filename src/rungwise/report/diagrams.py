"""Both diagrams of a call's unit as it was left, in pieces for the page."""

from __future__ import annotations

from collections.abc import Mapping

from rungwise.drawing import Marks, ladder, panel
from rungwise.drawing import Picture as Drawn
from rungwise.report.content import Picture
from rungwise.report.slices import slices
from rungwise.report.wires_told import moved_wires, unit_as_left
from rungwise.report.worked import Worked
from rungwise.unit.unit import Unit

__all__ = ["diagrams"]

AS_FILED = (
    "Drawn from the unit's file. How the wires were left was not written down, and may differ."
)
AS_LEFT = "Drawn with the wires as they were left, contacts as without volts."


def diagrams(worked: Worked) -> tuple[tuple[Picture, ...], dict[str, bytes]]:
    """Ladder and outdoor cabinet, and their files by name; without volts, changes marked."""
    unit, note = _as_left(worked)
    marks = Marks(changed=_changed(worked, unit))
    drawn: Mapping[str, tuple[str, Drawn]] = {
        "ladder": ("Ladder diagram", ladder(unit, marks)),
        "panel": ("Outdoor cabinet, from point to point", panel(unit, marks)),
    }
    files: dict[str, bytes] = {}
    pictures = []
    for key, (title, picture) in drawn.items():
        names = []
        for at, piece in enumerate(slices(picture), start=1):
            names.append(f"{key}-{at}.svg")
            files[names[-1]] = piece.encode()
        told = f"{title} of {unit.title}; its wires are listed in the unit's file."
        pictures.append(Picture(title, note, told, tuple(names)))
    return tuple(pictures), files


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
