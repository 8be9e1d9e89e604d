"""What a phone takes along of the work on a call, besides finding the fault."""

from __future__ import annotations

import json
from typing import Any

from fastapi import APIRouter, Request, Response

from rungwise.web.context import gathered
from rungwise.web.deps import Here, Visitor
from rungwise.web.job import Job, job_of
from rungwise.web.pages.along.lockout import lockout, lockout_state
from rungwise.web.pages.along.parts import part_carried, tables_of
from rungwise.web.pages.along.proofs import proof_carried, proof_state, starts_carried
from rungwise.web.pages.along.slots import ms_of
from rungwise.web.pages.along.wires import wires_carried, wires_state
from rungwise.web.pages.proof.assembly import START_UP, ProofRows
from rungwise.web.pages.van.stock import stock_text
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
