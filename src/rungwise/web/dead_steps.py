"""The steps of making a zone dead, with what was ticked and read at each, and what that proves."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from pydantic import BaseModel

from rungwise.isolation import Step
from rungwise.isolation.findings import Findings
from rungwise.isolation.plan_of_work import IsolationPlan
from rungwise.isolation.wording import place_words
from rungwise.quantity import format_quantity
from rungwise.records import rows as records
from rungwise.unit.element import EARTH
from rungwise.web.call_view import Written
from rungwise.web.dead_reading import Said, asks_volts, said
from rungwise.web.job import mark_of
from rungwise.web.leads import EARTH_METAL

__all__ = ["StepLine", "opened_by", "step_id", "step_lines"]

State = Literal["done", "next", "later", "not so", "left out"]


class StepLine(BaseModel):
    """One step. id: tells it from a step of another plan. reads: "V" where a meter is read.

    said: what the reading means. proved: whether the meter was proved before and after it.
    """

    id: str
    number: int
    kind: str
    place: str
    text: str
    must_read: str
    else_means: str
    red: str
    black: str
    reads: str
    cautions: list[str]
    state: State
    typed: str
    wrong: str
    reading: str
    said: str
    against: list[str]
    proved: str
    who: str
    at: str
    row: int
    clashes: list[Written]

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
    stage: int
    row: records.Step | None
    said: Said

    @property
    def fits(self) -> bool:
        """Whether it is done, or reads as it must."""
        if asks_volts(self.step):
            return self.said.level == "fits"
        return self.row is not None and self.row.done

    @property
    def order(self) -> int:
        """When it was written, -1 where it was not."""
        return self.row.id if self.row else -1


def step_id(zone: str, step: Step) -> str:
    """The id of a step: its zone, its number, and a mark of its words."""
    return f"{zone}-{step.number}-{mark_of(step.text)[:8]}"


def step_lines(
    plan: IsolationPlan,
    rows: Sequence[records.Step],
    beside: Sequence[records.Step],
    today: dt.date,
) -> list[StepLine]:
    """Every step of a plan with what was kept for it."""
    held = {(row.number, row.text): row for row in rows}
    stage, found = 0, []
    for step in plan.steps:
        stage += step.kind == "open"
        row = held.get((step.number, step.text))
        volt = row.reading if row and not row.refusal else None
        found.append(_At(step, stage, row, said(plan.found, step, stage, volt)))
    first = next((at.step.number for at in found if not at.fits and not _left_out(at)), 0)
    waiting = {
        at.step.number: [_written(row, today) for row in beside if _same(row, at.step)]
        for at in found
    }
    return [
        _line(plan.found, found, index, first, today, waiting[at.step.number])
        for index, at in enumerate(found)
    ]


def opened_by(plan: IsolationPlan, rows: Sequence[records.Step]) -> list[str]:
    """The devices that were ticked as opened."""
    held = {(row.number, row.text) for row in rows if row.done}
    steps = [step for step in plan.steps if step.kind == "open"]
    return [
        device.name
        for device, step in zip(plan.order, steps, strict=True)
        if (step.number, step.text) in held
    ]


def _same(row: records.Step, step: Step) -> bool:
    return (row.number, row.text) == (step.number, step.text)


def _left_out(at: _At) -> bool:
    """Somebody said that it cannot be done here."""
    return bool(at.row and at.row.typed and at.row.reading is None and not at.row.refusal)


def _line(
    found: Findings, all_of: Sequence[_At], index: int, first: int, today: dt.date,
    clashes: list[Written],
) -> StepLine:  # fmt: skip
    at = all_of[index]
    step, row = at.step, at.row
    told = _written(row, today) if row else None
    red, black = (_end(each) for each in step.pair) if step.pair else ("", "")
    return StepLine(
        id=step_id(found.zone, step),
        number=step.number,
        kind=step.kind,
        place=place_words(step.place),
        text=step.text,
        must_read=step.must_read,
        else_means=step.else_means,
        red=red,
        black=black,
        reads=_reads(step),
        cautions=[f"{each.signal}: {each.text}" for each in step.cautions],
        state=_state(at, first),
        typed=row.typed if row else "",
        wrong=row.refusal if row else "",
        reading=told.text if told and asks_volts(step) and not told.wrong else "",
        said=at.said.text,
        against=[found.unit.part(name).title for name in at.said.devices],
        proved=_proved(all_of, index),
        who=told.who if told else "",
        at=told.at if told else "",
        row=row.id if row else 0,
        clashes=clashes,
    )


def _state(at: _At, first: int) -> State:
    if at.fits:
        return "done"
    if at.said.level == "not":
        return "not so"
    if _left_out(at):
        return "left out"
    return "next" if at.step.number == first else "later"


def _reads(step: Step) -> str:
    if not asks_volts(step):
        return ""
    return "V DC" if step.kind == "empty" else "V AC"


def _end(terminal: str) -> str:
    return EARTH_METAL if terminal == EARTH else terminal


def _proved(all_of: Sequence[_At], index: int) -> str:
    """What is missing before a reading counts: the meter proved before it and after it."""
    at = all_of[index]
    if at.step.kind not in ("measure", "confirm") or at.said.level in ("none", "refused"):
        return ""
    before, after = _proofs(all_of, index)
    if before is None or not before.fits or before.order > at.order:
        return "The meter was not proved before it."
    if after is None or not after.fits or after.order < at.order:
        return "The meter is not yet proved again after it."
    return ""


def _proofs(all_of: Sequence[_At], index: int) -> tuple[_At | None, _At | None]:
    """The proofs of the meter nearest before and after a step."""
    proofs = [n for n, at in enumerate(all_of) if at.step.kind == "prove meter"]
    before = [n for n in proofs if n < index]
    after = [n for n in proofs if n > index]
    return (all_of[before[-1]] if before else None, all_of[after[0]] if after else None)


def _written(row: records.Step, today: dt.date) -> Written:
    local = row.local
    text = format_quantity(row.reading, "V") if row.reading is not None else row.typed
    return Written(
        id=row.id,
        text=text or ("done" if row.done else "not done"),
        who=row.person.name if row.person else "somebody",
        at=f"{local:%H:%M}" if local.date() == today else f"{local:%Y-%m-%d %H:%M}",
        wrong=row.refusal,
    )
