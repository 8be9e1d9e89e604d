"""The steps of making a zone dead, with what was ticked and read at each, and what that proves."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from rungwise import records
from rungwise.isolation import KNOWN_SOURCE, Step, WorkPlan
from rungwise.parts import EARTH
from rungwise.quantity import format_quantity
from rungwise.unit import place_words
from rungwise.web.job import mark_of
from rungwise.web.leads import EARTH_METAL
from rungwise.web.pages.call.view import EntryLine
from rungwise.web.pages.make_dead.reading import ReadingVerdict, all_below, asks_volts, said
from rungwise.web.schemas import CautionLine
from rungwise.web.shown import Shown
from rungwise.wording import mark, moment_told, say

RUNS_ON = "it runs on with the thermostat off"
"""Kept beside the steps when somebody sees it: the plan then opens the breaker first."""

NOT_BEFORE = mark("The meter was not proved before it.")
NOT_AFTER = mark("The meter is not yet proved again after it.")

BEFORE = {"cabinet": "outdoor"}
"""What a scope was called when plans had two; rows of that time stay, and are not counted."""

State = Literal["done", "next", "later", "not so", "left out"]


class StepLine(Shown):
    """One step. id: tells it from a step of another plan. reads: "V AC" where a meter is read.

    what: the points that are read, line by line. asks: which of several readings is written down.
    station: how many places were walked to. said: what the reading means. proved: whether the meter
    was proved before and after it. all_below: what one tap says of all its
    readings. at_once: whether it was said so, with no figure.
    """

    id: str
    number: int
    station: int
    kind: str
    place: str
    text: str
    what: list[str]
    asks: str
    must_read: str
    all_below: str
    else_means: str
    red: str
    black: str
    reads: str
    cautions: list[CautionLine]
    state: State
    typed: str
    wrong: str
    reading: str
    at_once: bool
    said: str
    against: list[str]
    proved: str
    who: str
    at: str
    row: int
    clashes: list[EntryLine]

    @property
    def unit(self) -> str:
        """The unit of what is read: as a check is asked."""
        return "V"

    @property
    def units(self) -> list[str]:
        """The units that a meter may show."""
        return ["V", "mV"]

    @property
    def choices(self) -> list[str]:
        """None: it is a measurement."""
        return []

    @property
    def title(self) -> str:
        """Its words, as a check has them."""
        return self.text


@dataclass(frozen=True)
class _At:
    """A step with what stands for it: the row, and what its reading says."""

    step: Step
    row: records.Step | None
    said: ReadingVerdict
    ended: bool = False

    @property
    def fits(self) -> bool:
        """Whether it is done, or reads as it must."""
        if asks_volts(self.step):
            return self.said.level == "fits" or self.all_at_once
        return self.ended or (self.row is not None and self.row.done)

    @property
    def all_at_once(self) -> bool:
        """Whether one tap said that each of its readings was taken and is below the limit."""
        row = self.row
        return bool(row and row.done and row.reading is None and not row.refusal and row.typed)

    @property
    def order(self) -> int:
        """When it was written, -1 where it was not."""
        return self.row.id if self.row else -1


def step_id(scope: str, step: Step) -> str:
    """The id of a step: its scope, its number, and a mark of its words."""
    return f"{scope}-{step.number}-{mark_of(step.whole)[:8]}"


def scope_of(step: str) -> str:
    """The scope of a step's id."""
    return step.partition("-")[0]


def rows_of(steps: Iterable[records.Step], scope: str) -> list[records.Step]:
    """What was kept for a scope, also under its name of before."""
    return [row for row in steps if row.zone_of_work in (scope, BEFORE.get(scope))]


def runs_on(steps: Iterable[records.Step]) -> bool:
    """Whether somebody saw the unit run on with the thermostat off."""
    return any(row.zone_of_work == RUNS_ON and row.done for row in steps)


def step_lines(
    plan: WorkPlan,
    rows: Sequence[records.Step],
    beside: Sequence[records.Step],
    today: dt.date,
) -> list[StepLine]:
    """Every step of a plan with what was kept for it."""
    held = {(row.number, row.text): row for row in rows}
    found = []
    for step in plan.steps:
        row = held.get((step.number, step.whole))
        volt = row.reading if row and not row.refusal else None
        found.append(_At(step, row, said(plan, step, volt)))
    found = [_ended(found, at) if at.step.kind == "result" else at for at in found]
    first = next((at.step.number for at in found if not at.fits and not _left_out(at)), 0)
    waiting = {
        at.step.number: [_written(row, today) for row in beside if _same(row, at.step)]
        for at in found
    }
    return [_line(plan, found, index, first, today, waiting) for index in range(len(found))]


def _ended(all_of: Sequence[_At], at: _At) -> _At:
    """The last step with nothing left before it: the app writes the time down, nobody ticks it."""
    rest = [each for each in all_of if each is not at]
    if at.row or not all(each.fits or _left_out(each) for each in rest):
        return at
    return replace(at, ended=True)


def opened_by(plan: WorkPlan, rows: Sequence[records.Step]) -> list[str]:
    """The devices that were ticked as opened."""
    held = {(row.number, row.text) for row in rows if row.done}
    steps = [step for step in plan.steps if step.kind == "open"]
    return [step.device for step in steps if (step.number, step.whole) in held]


def _same(row: records.Step, step: Step) -> bool:
    return (row.number, row.text) == (step.number, step.whole)


def _left_out(at: _At) -> bool:
    """Somebody said that it cannot be done here."""
    row = at.row
    return bool(row and row.typed and row.reading is None and not row.refusal and not row.done)


def _line(  # a step among the others, and what stands for each
    plan: WorkPlan,
    all_of: Sequence[_At],
    index: int,
    first: int,
    today: dt.date,
    waiting: Mapping[int, list[EntryLine]],
) -> StepLine:
    at = all_of[index]
    step, row = at.step, at.row
    told = _written(row, today) if row else None
    titles = {device.device: device.title for device in plan.devices}
    red, black = _leads(step)
    return StepLine(
        id=step_id(plan.scope, step),
        number=step.number,
        station=step.station,
        kind=step.kind,
        place=place_words(step.place),
        text=step.text,
        what=list(step.reads),
        asks=_asks(step),
        must_read=step.must_read,
        all_below=all_below(step),
        else_means=step.else_means,
        red=red,
        black=black,
        reads=f"V {step.readings[0].current}" if step.readings else "",
        cautions=list(step.cautions),
        state=_state(at, first),
        typed=row.typed if row else "",
        wrong=row.refusal if row else "",
        reading=told.text if told and asks_volts(step) and not told.wrong else "",
        at_once=at.all_at_once,
        said=at.said.text,
        against=[titles[name] for name in at.said.devices if name in titles],
        proved=_proved(all_of, index),
        who=told.who if told else "",
        at=told.at if told else "",
        row=row.id if row else 0,
        clashes=waiting[step.number],
    )


def _leads(step: Step) -> tuple[str, str]:
    """Where the two leads go when there is one reading only; several stand in the words."""
    if len(step.readings) != 1 or step.readings[0].red == KNOWN_SOURCE:
        return "", ""
    return _end(step.readings[0].red), _end(step.readings[0].black)


def _asks(step: Step) -> str:
    if len(step.readings) < 2:
        return ""
    if step.kind == "prove meter":
        return mark("the lowest, to ground")
    most = max(reading.below_v for reading in step.readings)
    if min(reading.below_v for reading in step.readings) < most:
        return mark("the highest, control terminals left out")
    return say("the highest of {len}", len=len(step.readings))


def _state(at: _At, first: int) -> State:
    if at.fits:
        return "done"
    if at.said.level == "not":
        return "not so"
    if _left_out(at):
        return "left out"
    return "next" if at.step.number == first else "later"


def _end(terminal: str) -> str:
    return EARTH_METAL if terminal == EARTH else terminal


def _proved(all_of: Sequence[_At], index: int) -> str:
    """What is missing before a reading counts: the meter proved before it and after it."""
    at = all_of[index]
    if at.step.kind not in ("try", "measure") or not (at.fits or at.said.level == "not"):
        return ""
    before, after = _proofs(all_of, index)
    if before is None or not before.fits or before.order > at.order:
        return NOT_BEFORE
    if after is None or not after.fits or after.order < at.order:
        return NOT_AFTER
    return ""


def _proofs(all_of: Sequence[_At], index: int) -> tuple[_At | None, _At | None]:
    """The proofs of the meter nearest before and after a step."""
    proofs = [n for n, at in enumerate(all_of) if at.step.kind == "prove meter"]
    before = [n for n in proofs if n < index]
    after = [n for n in proofs if n > index]
    return (all_of[before[-1]] if before else None, all_of[after[0]] if after else None)


def _written(row: records.Step, today: dt.date) -> EntryLine:
    local = row.local
    text = format_quantity(row.reading, "V") if row.reading is not None else row.typed
    return EntryLine(
        id=row.id,
        text=text or (mark("done") if row.done else mark("not done")),
        who=row.person.name if row.person else mark("somebody"),
        at=moment_told(local, today),
        wrong=row.refusal,
    )
