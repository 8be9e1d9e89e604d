"""What a phone takes along of the work on a call, besides finding the fault."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from fastapi import APIRouter, Request, Response

from rungwise.web.context import gathered
from rungwise.web.deps import Here, Visitor
from rungwise.web.job import Job, job_of
from rungwise.web.pages.along.lockout import lockout, lockout_state
from rungwise.web.pages.along.proofs import proof_carried, proof_state, starts_carried
from rungwise.web.pages.along.slots import ms_of, slot
from rungwise.web.pages.along.wires import wires_carried, wires_state
from rungwise.web.pages.part.route import ThePart, judged_of, one_of, used_up_of, view_of
from rungwise.web.pages.part.view import FitLine
from rungwise.web.pages.proof.assembly import START_UP, ProofRows
from rungwise.web.pages.van.stock import COUNT, rows_of, stock_text
from rungwise.web.pages.wires.draft import wires_of_part
from rungwise.web.pages.wires.route import read_rows
from rungwise.web.spots import terminal_names
from rungwise.web.templating import Piece

router = APIRouter(include_in_schema=False)


@router.get("/calls/{number}/along/work")
def along_work(number: int, here: Here, request: Request) -> Response:
    """What the unit alone decides: the plans of every lock-out, the checks of a test."""
    job = _job(here, number)
    piece = Piece(request, terminal_names(job.unit))
    here.desk.model(job.unit)  # waits until the unit is worked out
    report = {"signed": piece("along_report.html")}
    test = starts_carried(piece, job, here.desk)
    return _json({"dead": lockout(piece, job), "test": test, "report": report})


@router.get("/calls/{number}/along/done")
def along_done(number: int, here: Here) -> Response:
    """What was done on the call so far."""
    with here.reading() as book:
        job = job_of(here, gathered(book, number))
        steps = book.steps.standing(number)
        proofs, starts = book.proofs.standing(number), book.steps.now(number, START_UP)
        dead = lockout_state(job, steps, proofs, starts)
        fitted = {
            row.part: {
                "name": str(row.candidate.get("name", "")),
                "who": row.person.name if row.person else "",
                "at": ms_of(row.at),
            }
            for row in book.fitted.standing(number)
            if row.candidate
        }
        wires = wires_state(read_rows(book, number))
        test = proof_state(job, ProofRows(proofs, proofs, starts))
    told = {"version": job.held.call.version, "dead": dead, "fitted": fitted}
    told |= {"wires": wires, "test": test}
    return _json(told)


@router.get("/calls/{number}/along/part/{part}")
def along_part(number: int, part: str, here: Here, request: Request) -> Response:
    """One part: what the van has for it, its wires, and what is tested once it is replaced.

    Raises UnknownName for a part that the unit does not have.
    """
    with here.reading() as book:
        held, stock = gathered(book, number), stock_text(book, here.person_id)
        rows = {row.part: row.candidate for row in book.fitted.standing(number) if row.candidate}
    job = job_of(here, held)
    job.unit.part(part)
    piece = Piece(request, terminal_names(job.unit))
    told = part_carried(piece, job, part, stock, rows.get(part))
    tables = tables_of(stock, told["fitted"], part)
    wires = wires_carried(piece, job, part, tables) if wires_of_part(job.unit, part) else None
    test = proof_carried(piece, job, here.desk, part)
    return _json({"part": told, "wires": wires, "test": test})


@router.get("/calls/{number}/along/test/{block}")
def along_test(number: int, block: str, here: Here, request: Request) -> Response:
    """What is tested once a wire is repaired. Raises UnknownName for what cannot be."""
    job = _job(here, number)
    piece = Piece(request, terminal_names(job.unit))
    return _json({"test": proof_carried(piece, job, here.desk, block)})


def _job(here: Visitor, number: int) -> Job:
    with here.reading() as book:
        held = gathered(book, number)
    return job_of(here, held)


def _json(told: dict[str, Any]) -> Response:
    return Response(json.dumps(told, ensure_ascii=False), media_type="application/json")


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
