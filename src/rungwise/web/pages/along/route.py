"""What a phone takes along of the work on a call, besides finding the fault."""

from __future__ import annotations

import json
from typing import Any

from fastapi import APIRouter, Request, Response

from rungwise.web.context import gathered
from rungwise.web.deps import Here, Visitor
from rungwise.web.job import Job, job_of
from rungwise.web.pages.along.lockout import lockout, lockout_state
from rungwise.web.pages.proof.assembly import START_UP
from rungwise.web.spots import terminal_names
from rungwise.web.templating import Piece

__all__ = ["router"]

router = APIRouter(include_in_schema=False)


@router.get("/calls/{number}/along/work")
def along_work(number: int, here: Here, request: Request) -> Response:
    """What the unit alone decides: the plans of every lock-out, the checks of a test."""
    job = _job(here, number)
    piece = Piece(request, terminal_names(job.unit))
    return _json({"dead": lockout(piece, job)})


@router.get("/calls/{number}/along/done")
def along_done(number: int, here: Here) -> Response:
    """What was done on the call so far."""
    with here.reading() as book:
        job = job_of(here, gathered(book, number))
        steps = book.steps.standing(number)
        proofs, starts = book.proofs.standing(number), book.steps.now(number, START_UP)
        dead = lockout_state(job, steps, proofs, starts)
    return _json({"version": job.held.call.version, "dead": dead})


def _job(here: Visitor, number: int) -> Job:
    with here.reading() as book:
        held = gathered(book, number)
    return job_of(here, held)


def _json(told: dict[str, Any]) -> Response:
    return Response(json.dumps(told, ensure_ascii=False), media_type="application/json")
