"""Into the demo shop, and out of it again."""

from __future__ import annotations

from fastapi import APIRouter, Response

from rungwise.web.deps import DEMO, Here
from rungwise.web.forms import goto

DAY_S = 24 * 3600
FIRST_PERSON = "1"

router = APIRouter(include_in_schema=False)


@router.post("/demo")
def enter(here: Here) -> Response:
    """Show the demo shop on this phone from now on; the shop's own records are left alone."""
    del here  # asked for so that the form counts once, as any other
    answer = goto("/day")
    answer.set_cookie(DEMO, FIRST_PERSON, max_age=DAY_S, httponly=True, samesite="lax")
    return answer


@router.post("/demo/leave")
def leave(here: Here) -> Response:
    """Back to the shop's own records."""
    del here  # as above
    answer = goto("/day")
    answer.delete_cookie(DEMO)
    return answer
