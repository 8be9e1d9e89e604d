"""What the pages of practice show, and their twins tell."""

from __future__ import annotations

import datetime as dt

from pydantic import Field

from rungwise.web.pages.call.view import CheckCardView, Others, SuspectLine
from rungwise.web.schemas import View
from rungwise.web.shown import Shown
from rungwise.web.unit_search import UnitLine


class LevelLine(Shown):
    """A level that may be chosen."""

    name: str
    title: str
    told: str


class Run(Shown):
    """A practice call in an apprentice's history. score: None until it has ended."""

    number: int
    day: dt.date
    unit: str
    level: str
    score: float | None
    found: bool | None
    checks: int | None
    wrong_parts: int | None


class PracticeHome(View):
    """Where a practice call begins, and how the earlier ones went. token: makes it once."""

    apprentice: str
    own: bool
    levels: list[LevelLine]
    level: str
    units: list[UnitLine]
    arrangements: list[tuple[str, str]]
    runs: list[Run]
    mean_score: float | None = Field(description="of the last five that ended")
    others: list[tuple[str, str]]
    token: str


class Tally(Shown):
    """What the call has cost so far. live: checks with leads or a clamp near live parts."""

    checks: int
    minutes: float
    live: int
    wrong_parts: int
    helps: int


class ReadLine(Shown):
    """Something seen or read. check: its id."""

    check: str
    title: str
    text: str
    live: bool


class NameLine(Shown):
    """What was named, and what came of it: "part" or "wrong", as `Judged` has it."""

    part: str
    cause: str
    kind: str
    told: str


class PracticeCall(View):
    """A practice call while its fault is hidden. Nothing here is read from the fault itself.

    reads_itself: the card of a check has a key that reads the meter, and no window to type in.
    """

    number: int
    version: int
    ended: bool
    line: str
    level: LevelLine
    tally: Tally
    symptoms: list[ReadLine]
    readings: list[ReadLine]
    reads_itself: bool
    asked: CheckCardView | None
    helped: bool
    building: float | None = Field(description="share of the faults solved that help asks for")
    enough: str = Field(description="why to stop measuring, when help says so")
    suspects: list[SuspectLine]
    suspects_left: str
    named: list[NameLine]
    parts: list[tuple[str, str]] = Field(description="name and title of each that can be at fault")
    others: list[Others]
    picture: str
    caption: str


class PointLine(Shown):
    """One line of the score."""

    why: str
    points: float


class PracticeStep(Shown):
    """One of the apprentice's checks, with the best check at that moment beside it.

    best: "" when measuring should have stopped.
    """

    title: str
    text: str
    won_bits: float
    hoped_bits: float
    best: str
    best_bits: float
    was_best: bool
    needless_live: bool


class ToolStep(Shown):
    """A check that the tool made on the very same specimen."""

    title: str
    text: str


class ToolWay(Shown):
    """How the tool itself worked it, and what it would have done in the end."""

    checks: int
    minutes: float
    live: int
    answer: str
    probability: float
    steps: list[ToolStep]


class OwnWay(Tally):
    """How the apprentice worked it."""

    needless_live: int


class PracticeScore(View):
    """The end of a practice call: the fault, the score and what it is made up of."""

    number: int
    line: str
    score: float
    found: bool
    points: list[PointLine]
    recounted: float = Field(description="the score by today's engine, should it have changed")
    fault: str
    to_do: str
    behind: str
    severity: list[str] = Field(description="how bad it was, as drawn")
    followed: list[str]
    open_bits: float
    own: OwnWay
    steps: list[PracticeStep]
    tool: ToolWay
    named: list[NameLine]
