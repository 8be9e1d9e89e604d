"""The way of a call: its stages in the order in which they are worked, and how far each is."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from rungwise.faults import FirstWork, first_work
from rungwise.web.shown import Shown
from rungwise.wording import mark

if TYPE_CHECKING:
    from rungwise.web.context import CallContext
    from rungwise.web.pages.call.assembly import CallAnswer

STAGES: dict[str, tuple[str, str]] = {
    "symptoms": ("?open=symptoms#symptoms", mark("Look")),
    "find": ("", mark("Find")),
    "power": ("/dead", mark("Power off")),
    "part": ("/part", mark("Part")),
    "wires": ("/wires", mark("Wires")),
    "test": ("/proof", mark("Test")),
    "report": ("/sign-off", mark("Report")),
}
"""Path below the call's own and name of each stage, by its id."""


_STAGE_OF: dict[FirstWork, str] = {
    "lock out": "power",
    "gauges": "test",
    "test": "test",
    "report": "report",
}
"""The stage in which a repair begins."""


class Stage(Shown):
    """One stage of a call. next: the one that is offered now; open: not done, and reachable."""

    id: str
    name: str
    path: str
    state: Literal["done", "next", "open"]


def way_of(held: CallContext, at: CallAnswer) -> list[Stage]:
    """The stages of a call.

    The next is the first behind the last one that is done; after the finding, the one in which its
    repair begins.
    """
    done = {*held.worked, *_found(held, at)}
    ids = list(STAGES)
    last = max((ids.index(each) for each in done), default=-1)
    left = [each for each in ids[last + 1 :] if each not in done]
    following = left[0] if left else ""
    if "find" in done and following == "power":
        following = _STAGE_OF[first_work_of(at)]
    return [
        Stage(
            id=each,
            name=name,
            path=f"/calls/{held.call.id}{path}",
            state="done" if each in done else "next" if each == following else "open",
        )
        for each, (path, name) in STAGES.items()
    ]


def first_work_of(at: CallAnswer) -> FirstWork:
    """With what the work begins, by the cause that stands."""
    best = at.answer.verdict.answer if at.answer else None
    return first_work(at.unit, best.repair) if at.unit and best else "lock out"


def _found(held: CallContext, at: CallAnswer) -> set[str]:
    """The stages before the work: something seen, and a cause to act on."""
    done = {"symptoms"} if held.standing else set()
    if at.answer is not None and at.answer.decided:
        done.add("find")
    return done


def aside_of(held: CallContext) -> list[tuple[str, str]]:
    """Path and name of what belongs to a call and is no stage of it."""
    call = f"/calls/{held.call.id}"
    unit = [(f"/units/{held.unit.id}", mark("The unit"))] if held.unit else []
    return [
        *unit,
        (f"{call}?open=photos#photos", mark("Photos")),
        (f"{call}?open=about#about", mark("About")),
    ]
