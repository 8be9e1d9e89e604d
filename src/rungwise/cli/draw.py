"""`rungwise draw`: a picture of a unit with its state on it, as SVG."""

from __future__ import annotations

from dataclasses import replace
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from rungwise.cli.options import AsJson, UnitName
from rungwise.cli.writing import Replace, write_out

if TYPE_CHECKING:
    from rungwise.circuit import Condition
    from rungwise.drawing import Marks, Picture
    from rungwise.unit import Unit


class Sort(StrEnum):
    """Which picture: the ladder, or the panel of one place."""

    LADDER = "ladder"
    PANEL = "panel"
    DISCONNECT = "panel-disconnect"
    BREAKERS = "panel-breakers"
    INDOOR = "panel-indoor"
    ROOM = "panel-room"


PLACES = {
    Sort.PANEL: "outdoor",
    Sort.DISCONNECT: "disconnect",
    Sort.BREAKERS: "panel",
    Sort.INDOOR: "indoor",
    Sort.ROOM: "room",
}


class Moment(StrEnum):
    """When the unit is looked at."""

    NONE = "none"
    CALLING = "calling"
    STARTING = "starting"
    STANDBY = "standby"


def draw(  # noqa: PLR0913, PLR0917  # the options of the command
    unit: UnitName,
    picture: Annotated[Sort, typer.Option("--picture", help="Which picture.")] = Sort.LADDER,
    condition: Annotated[
        Moment,
        typer.Option("--condition", help="Show what is live and runs then; none shows no state."),
    ] = Moment.NONE,
    opened: Annotated[
        list[str] | None,
        typer.Option("--open", metavar="PART", help="With this device open; may be repeated."),
    ] = None,
    suspect: Annotated[
        str,
        typer.Option(
            "--suspect", metavar="ID", help="With this fault; see expect --list-suspects."
        ),
    ] = "",
    out: Annotated[
        Path | None, typer.Option("--out", "-o", metavar="FILE", help="Write it to a file.")
    ] = None,
    over: Replace = False,
    as_json: AsJson = False,
) -> None:
    """Draw the unit's ladder diagram, or one cabinet from point to point, as SVG.

    Both are laid out from the unit itself, so a unit with other parts or wires shows them.

    Example: rungwise draw one_pole_heater --condition standby -o ladder.svg
    """
    from rungwise.services import open_unit

    shown = open_unit(unit).unit
    marks = _marks(shown, condition, opened or [], suspect)
    made = _picture(shown, marks, picture)
    if out is not None:
        write_out(out, made.svg, "picture", replace=over)
    if as_json:
        from rungwise.cli.printing import print_json

        print_json(_told(unit, made, marks))
    elif out is None:
        typer.echo(made.svg)


def _marks(unit: Unit, moment: Moment, opened: list[str], suspect: str) -> Marks:
    from rungwise.drawing import Marks, marks_of
    from rungwise.faults import SuspectSet

    condition = _condition(unit, moment, opened)
    if not suspect:
        return marks_of(unit, condition) if condition else Marks()
    suspects = SuspectSet(unit)
    fault = suspects.suspect(suspect)
    marks = Marks()
    if condition:
        values = {key: float(each) for key, each in suspects.typical(fault).items()}
        marks = marks_of(unit, condition, values, plan=suspects.plan)
    return replace(marks, changed=frozenset(fault.blocks))


def _condition(unit: Unit, moment: Moment, opened: list[str]) -> Condition | None:
    from rungwise.circuit import CALLING, STANDBY, STARTING
    from rungwise.errors import BadInput, UnknownName

    devices = [part.name for part in unit.parts if unit.kind_of(part.name).has_position]
    for name in opened:
        if name not in devices:
            raise UnknownName(what="No hand opens a part of this name.", name=name, known=devices)
    if moment is Moment.NONE:
        if opened:
            raise BadInput(
                what="What is open shows only in a condition.",
                next_step="add --condition standby, or another one",
            )
        return None
    known = {each.name: each for each in (CALLING, STARTING, STANDBY)}
    return known[moment.value].opened(*opened)


def _picture(unit: Unit, marks: Marks, sort: Sort) -> Picture:
    from rungwise.drawing import ladder, panel

    if sort is Sort.LADDER:
        return ladder(unit, marks)
    return panel(unit, marks, place=PLACES[sort])


def _told(name: str, made: Picture, marks: Marks) -> dict[str, object]:
    return {
        "unit": name,
        "width": made.width,
        "height": made.height,
        "crossings": made.crossings,
        "labels": [
            {"text": box.text, "x": box.x, "y": box.y, "w": box.w, "h": box.h}
            for box in made.labels
        ],
        "energised": sorted(marks.energised),
        "leftover": sorted(marks.leftover),
        "running": sorted(marks.running),
        "svg": made.svg,
    }
