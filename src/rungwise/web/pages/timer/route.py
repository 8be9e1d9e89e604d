"""A timer without script: its page tells the clock time of its end."""

from __future__ import annotations

import datetime as dt
from typing import Annotated
from urllib.parse import urlencode

from fastapi import APIRouter, Query, Request, Response
from fastapi.responses import RedirectResponse
from pydantic import Field

from rungwise.web.deps import Here
from rungwise.web.schemas import View
from rungwise.web.templating import render
from rungwise.web.timers import MOST_S, TITLES, Sort

router = APIRouter(include_in_schema=False)


class TimerPage(View):
    """When a timer is up. back: the page that it was started on."""

    up_at: str
    left_s: int = Field(description="0 once it is up")
    back: str


@router.get("/calls/{number}/timer")
def timer(  # what stands in the address
    number: int,
    request: Request,
    here: Here,
    seconds: Annotated[int, Query(ge=1, le=MOST_S)],
    of: Sort = "wait",
    begun: Annotated[int, Query(ge=0, le=10**11)] = 0,
    back: Annotated[str, Query(max_length=80)] = "",
) -> Response:
    """The clock time at which so many seconds are over; begun: when, since 1970, now if it is 0.

    The beginning stands in the address then, so that loading the page again changes nothing.
    """
    now = here.house.store.now()
    if not begun:
        told = {"of": of, "seconds": seconds, "begun": int(now.timestamp()), "back": back}
        return RedirectResponse(f"/calls/{number}/timer?{urlencode(told)}", status_code=303)
    with here.reading() as book:
        clock = book.hand.clock
    end = dt.datetime.fromtimestamp(begun + seconds, dt.UTC)
    ours = back.startswith(f"/calls/{number}")
    view = TimerPage(
        title=TITLES[of],
        up_at=f"{end.astimezone(clock):%H:%M:%S}",
        left_s=max(0, round((end - now).total_seconds())),
        back=back if ours else f"/calls/{number}",
    )
    return render(request, "timer.html", view=view)
