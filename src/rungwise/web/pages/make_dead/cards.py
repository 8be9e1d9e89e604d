"""The steps of making a place dead as cards: one thing to do a screen, said once."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from pydantic import Field

from rungwise.isolation import Step, WorkPlan, cautions_at
from rungwise.web.pages.make_dead.steps import StepLine, step_id
from rungwise.web.schemas import CautionLine
from rungwise.web.shown import Shown
from rungwise.wording import mark


class DeadCard(Shown):
    """One screen of work.

    number, of: which card it is. lines: its steps, which one tap answers. cautions: of the plan and
    of the steps, worst first, each once. all_below: what one tap says of all its readings, "" where
    each needs its figure. same: a figure that was read before at the same points.
    """

    number: int
    of: int
    kind: str
    place: str
    title: str
    lines: list[StepLine]
    cautions: list[CautionLine]
    all_below: str
    same: str
    wrong: StepLine | None = Field(description="a step of it that is not as it must be")

    @property
    def done(self) -> bool:
        """Whether every step of it is behind one."""
        return all(each.state in ("done", "left out") for each in self.lines)


def cards_of(plan: WorkPlan, lines: Sequence[StepLine]) -> list[DeadCard]:
    """The cards of a plan, in order."""
    by_id = {each.id: each for each in lines}
    groups = list(_groups(plan.steps))
    told = cautions_at(plan)
    found: list[DeadCard] = []
    for number, steps in enumerate(groups, start=1):
        ours = [by_id[step_id(plan.scope, step)] for step in steps]
        every = [*(it for step in steps for it in (*told.get(step.number, ()), *step.cautions))]
        found.append(
            DeadCard(
                number=number,
                of=len(groups),
                kind=steps[0].kind,
                place=ours[0].place,
                title=_title(steps),
                lines=ours,
                cautions=sorted(dict.fromkeys(every), key=lambda it: ORDER.index(it.signal)),
                all_below=ours[0].all_below,
                same=_same(found, ours),
                wrong=next((each for each in ours if each.state == "not so"), None),
            )
        )
    return found


ORDER = ("DANGER", "WARNING", "CAUTION", "NOTICE")

TITLES = {
    "stop": mark("Thermostat off"),
    "protect": mark("Protect yourself"),
    "try": mark("Try to start it"),
    "measure": mark("Measure: nothing live"),
    "charge": mark("Capacitors: measure first"),
    "discharge": mark("Discharge the capacitors"),
    "empty": mark("Capacitors: measure again"),
    "result": mark("Result"),
    "prove meter": mark("Prove the meter"),
    "open": mark("Open"),
    "lock": mark("Lock"),
}


def now_of(cards: Iterable[DeadCard]) -> DeadCard | None:
    """The card that is next, None where none is left."""
    return next((card for card in cards if not card.done), None)


def last_done(cards: Sequence[DeadCard]) -> DeadCard | None:
    """The card that was done last, so that it can be undone."""
    told = [card for card in cards if any(each.row for each in card.lines) and card.done]
    return max(told, key=lambda card: max(each.row for each in card.lines), default=None)


def _groups(steps: Sequence[Step]) -> Iterator[list[Step]]:
    """Neighbors that are one thing to do: open and lock at one place, readings with one limit."""
    held: list[Step] = []
    for step in steps:
        if held and not _together(held[-1], step):
            yield held
            held = []
        held.append(step)
    if held:
        yield held


def _together(one: Step, other: Step) -> bool:
    if one.station != other.station:
        return False
    if {one.kind, other.kind} <= {"open", "lock"}:
        return one.place == other.place
    return one.kind == other.kind == "measure" and _limits(one) == _limits(other)


def _limits(step: Step) -> set[float]:
    return {reading.below_v for reading in step.readings}


def _title(steps: Sequence[Step]) -> str:
    if {each.kind for each in steps} == {"open", "lock"}:
        return mark("Open and lock")
    return TITLES[steps[0].kind]


def _same(before: Sequence[DeadCard], lines: Sequence[StepLine]) -> str:
    """What was read at the very same points earlier in this plan."""
    if len(lines) != 1 or lines[0].kind != "prove meter":
        return ""
    what = lines[0].what
    earlier = [each for card in before for each in card.lines]
    told = [each for each in earlier if each.kind == "prove meter" and each.what == what]
    return next((each.reading for each in reversed(told) if each.state == "done"), "")
