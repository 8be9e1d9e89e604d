"""What the pages of a new unit show."""

from __future__ import annotations

from pydantic import Field

from rungwise.errors import BadInput
from rungwise.services import ShapedUnit
from rungwise.shaping import QUESTIONS, UNKNOWN
from rungwise.web.pages.shape.asked import Told
from rungwise.web.schemas import View
from rungwise.web.shown import Shown
from rungwise.web.undo import UndoLine
from rungwise.wording import mark


class Link(Shown):
    """A key that leads on: its words, a hint beside them, and where to."""

    words: str
    hint: str = ""
    path: str
    on: bool = False


class Ask(View):
    """One question. number: of how many. answered: what was told so far, each to be changed."""

    number: int
    count: int
    question: str
    options: list[Link]
    unknown: str
    enough: str = Field(description="the unit by what was answered so far; empty before the first")
    answered: list[Link]
    own: list[Link]
    label: str
    unlike: str
    call: int | None = Field(description="the call that waits for its unit")


class Refusal(Shown):
    """Why there is no unit: what, where, what is allowed and what to do."""

    what: str
    line: int | None
    value: str
    allowed: str
    next_step: str


class DoingLine(Shown):
    """What the loads do in one condition."""

    when: str
    told: str


class Shaped(View):
    """A unit as soon as it is drawn. file: its unit file, empty where it is refused."""

    refused: Refusal | None = None
    heading: str = ""
    file: str = ""
    against: str = ""
    changes: list[str] = Field(default_factory=list)
    taken: list[str] = Field(default_factory=list)
    does: list[DoingLine] = Field(default_factory=list)
    no_longer: list[str] = Field(default_factory=list)
    unusual: list[str] = Field(default_factory=list)
    missing: list[str] = Field(default_factory=list)
    not_known: list[str] = Field(default_factory=list)


class ShapedPage(Shaped):
    """The unit that answers or a label lead to."""

    answered: list[Link]
    extras: list[Link] = Field(default_factory=list)
    alike: list[Link] = Field(default_factory=list)
    label: str
    label_path: str
    unlike: str
    hidden: list[tuple[str, str]] = Field(description="what a label's form carries along")
    call: int | None
    token: str


class LabelPage(View):
    """The wiring label as a list. hidden: the answers that it carries along."""

    label: str
    answered: list[Link]
    hidden: list[tuple[str, str]]


class SupplyChoice(Shown):
    """A supply that may come into the cabinet."""

    key: str
    words: str
    on: bool


class CheckLine(Shown):
    """A check that holds for any unit."""

    title: str
    reads: str


class UnlikePage(View):
    """A unit like none that is known. steps and checks are empty before a supply is told."""

    supplies: list[SupplyChoice]
    steps: list[str]
    dead: list[CheckLine]
    live: list[CheckLine]
    unknown: list[str]
    call: int | None


class WiringPage(Shaped):
    """A unit's wires as a list, and what a change of them would do. parts: to be taken out."""

    number: int
    version: int
    label: str
    changed: bool
    parts: list[Link]
    token: str
    undo: UndoLine


class OwnLine(Shown):
    """An arrangement of the shop's own."""

    id: int
    title: str
    file: str = Field(description="where its file is")
    use: str = Field(description="where a new unit starts from it")


class OwnPage(View):
    """The arrangements that a shop keeps."""

    own: list[OwnLine]
    token: str


def answered(told: Told) -> list[Link]:
    """What was told so far; each leads back to its question."""
    found = []
    for question in QUESTIONS:
        key = told.answers.get(question.key, "")
        if key:
            known = {each.key: each.words for each in question.answers}
            words = mark("Not known") if key == UNKNOWN else known.get(key, key)
            path = f"/new-unit{told.with_answer(question.key, '').query()}"
            found.append(Link(words=words, hint=question.asks, path=path))
    return found


def refusal_of(error: BadInput) -> Refusal:
    """An error as a page shows it."""
    return Refusal(
        what=error.what,
        line=error.line,
        value=str(error.value or ""),
        allowed=error.allowed or "",
        next_step=error.next_step or "",
    )


def told_of(view: Shaped, shaped: ShapedUnit) -> None:
    """Put into a page what is told of a unit."""
    portrait = shaped.portrait
    view.heading, view.file, view.against = shaped.unit.title, shaped.text, shaped.start[1]
    view.changes, view.taken = list(shaped.changes), list(shaped.taken)
    view.does = [DoingLine(when=each.when, told=each.told) for each in portrait.doings]
    view.no_longer = list(portrait.lost)
    view.unusual = [*shaped.unusual, *portrait.odd]
    view.missing = [*([portrait.unsolved] if portrait.unsolved else []), *portrait.missing]
    view.not_known = list(shaped.unsaid)
