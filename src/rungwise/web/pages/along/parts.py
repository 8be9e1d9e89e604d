"""One part as a phone takes it along: what the van has for it, what serves, and what is fitted."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rungwise.web.job import Job
from rungwise.web.pages.along.slots import slot
from rungwise.web.pages.part.route import ThePart, judged_of, one_of, used_up_of, view_of
from rungwise.web.pages.part.view import FitLine
from rungwise.web.pages.van.stock import COUNT, rows_of
from rungwise.web.templating import Piece


def part_carried(
    piece: Piece, job: Job, part: str, stock: str, fitted: Mapping[str, Any] | None
) -> dict[str, Any]:
    """The page of a part: with nothing fitted, and with each of the van's.

    fitted: the table of the candidate that is fitted there.
    """
    view = view_of(job, part, judged_of(job, part, stock))
    view.why, view.version = "", slot("version")  # type: ignore[assignment]  # the phone fills it
    view.used_up = used_up_of(stock, job, part)
    held = {each.name: _fitted(piece, view, each) for each in view.candidates}
    if fitted is not None and (line := one_of(job, part, fitted)[0]) is not None:
        held.setdefault(line.name, _fitted(piece, view, line))
    return {
        "card": piece("along_part.html", view=view, behind=False),
        "behind": piece("along_part.html", view=view, behind=True),
        "fitted": held,
        "counts": {str(row.get("name")): row.get(COUNT) for row in rows_of(stock)},
    }


def tables_of(stock: str, names: Mapping[str, Any], part: str) -> dict[str, dict[str, Any]]:
    """The van's tables of these candidates, by name."""
    rows = {str(row.get("name")): row for row in rows_of(stock)}
    return {name: {**rows[name], "for": part} for name in names if name in rows}


def _fitted(piece: Piece, view: ThePart, line: FitLine) -> str:
    by = f"{slot('who')}, {slot('at')}"
    shown = view.model_copy(update={"fitted": line, "fitted_by": by})
    return piece("along_part.html", view=shown, behind=False)
