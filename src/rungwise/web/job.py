"""The work on one call's unit: what every page about it begins with."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass

from pydantic import Field

from rungwise.errors import BadRecord
from rungwise.services import CallDiagnosis
from rungwise.unit import Unit
from rungwise.web.context import CallContext
from rungwise.web.deps import Visitor
from rungwise.web.forms import fresh_token
from rungwise.web.links import of_call
from rungwise.web.pages.call.assembly import CallAnswer, solved
from rungwise.web.schemas import View
from rungwise.web.timers import TimerKey
from rungwise.web.undo import UndoLine
from rungwise.web.way import Stage, aside_of, way_of
from rungwise.wording import mark


class JobView(View):
    """What every page about the work on a call shows."""

    number: int
    version: int
    state: str
    line: str
    links: list[tuple[str, str]]
    way: list[Stage] = Field(description="the stages of a call, and how far each is")
    stage: str = Field(description="the stage that this page is about")
    aside: list[tuple[str, str]] = Field(description="what belongs to the call besides its stages")
    token: str = Field(description="for forms that make something new")
    timers: list[TimerKey] = Field(default_factory=list, description="timers that may be started")
    last_entry: UndoLine | None = Field(None, description="what may be taken back, and what was")


@dataclass(frozen=True)
class Job:
    """A call whose unit is known. answer: what the readings speak for, None until it is solved."""

    held: CallContext
    at: CallAnswer
    unit: Unit
    token: str

    @property
    def number(self) -> int:
        """The call's."""
        return self.held.call.id

    @property
    def answer(self) -> CallDiagnosis | None:
        """What the readings speak for."""
        return self.at.answer

    @property
    def mark(self) -> str:
        """Tells this unit's file from any other."""
        return mark_of(self.held.unit_text)

    @property
    def found(self) -> str:
        """The suspect that was found, "" while nothing is decided."""
        answer = self.answer
        best = answer.verdict.answer if answer and answer.decided else None
        return best.suspect.id if best else ""

    @property
    def part(self) -> str:
        """The part that the work is about: found, else suspected by somebody, else likeliest."""
        best = self.answer.verdict.answer if self.answer else None
        ours = [
            best.suspect.part if best and self.found else "",
            self.held.call.suspected,
            best.suspect.part if best else "",
        ]
        return next((name for name in ours if name in self.unit.part_by_name), "")

    def head(self, title: str, stage: str = "") -> dict[str, object]:
        """The fields of a `JobView`. stage: of the call's way, by its id."""
        held = self.held
        told = (self.unit.title, held.customer, held.technician)
        return {
            "title": title,
            "number": self.number,
            "version": held.call.version,
            "state": held.call.state,
            "line": " · ".join(each for each in told if each),
            "links": [(f"/calls/{self.number}", mark("The call")), *of_call(self.number)],
            "way": way_of(held, self.at),
            "stage": stage,
            "aside": aside_of(held),
            "token": self.token,
        }


def job_of(here: Visitor, held: CallContext) -> Job:
    """The work on a call that was read. Raises BadRecord while its unit is not known."""
    at = solved(here.desk, held)
    if at.unit is None:
        raise BadRecord(
            what=at.trouble
            or mark(
                "It is not known yet which unit this call is about, or what is on its nameplate."
            ),
            next_step=mark("go back to the call, and choose its unit or fill in its nameplate"),
        )
    return Job(held, at, at.unit, fresh_token())


def mark_of(*texts: str) -> str:
    """A short mark that is the same for the same texts only."""
    return hashlib.sha256("\0".join(texts).encode()).hexdigest()[:16]
