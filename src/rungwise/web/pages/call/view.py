"""What the page of a call shows, and its twin tells."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from rungwise.faults import FirstWork
from rungwise.services import DiagnosisResult
from rungwise.web.field_replies import FieldClash
from rungwise.web.prompt import Ask, Choice
from rungwise.web.schemas import CautionLine, View
from rungwise.web.shown import Heard, Shown
from rungwise.web.timers import TimerKey
from rungwise.web.undo import UndoLine
from rungwise.web.unit_search import UnitLine
from rungwise.web.way import Stage


class EntryLine(Shown):
    """Something as it was written down. wrong: why it does not count, "" where it does."""

    id: int
    text: str
    who: str
    at: str
    wrong: str


class ReadingLine(EntryLine):
    """What stands for one check, with what stood there before and what it said of whom."""

    check: str
    title: str
    typed: str
    earlier: list[EntryLine]
    said: list[str]
    ask: Ask


class Clash(EntryLine):
    """An answer from a form that had not seen the one that stands."""

    title: str
    stands: EntryLine


class LookView(Shown):
    """Something to see or hear, and what was said of it.

    first: it costs nothing. early: it is looked at before a tool is out.
    """

    id: str
    title: str
    first: bool
    early: bool
    choices: list[Choice]
    chosen: str


class Chip(Shown):
    """Something that customers say. told: whether this one did."""

    id: str
    title: str
    told: bool


class Mean(Shown):
    """An outcome of the next check, and who would make it read so."""

    reads: str
    names: list[str]


class CheckCardView(Ask):
    """The check on the card. typed, wrong: what stands for it already, if it cannot be used.

    turn: which symptom it is of how many, "" for a check. last: what stands, with its time.
    """

    is_next: bool
    typed: str
    wrong: str
    means: list[Mean]
    why: str
    turn: str = ""
    last: str = ""


class SuspectLine(Shown):
    """A repair that may be it, with the readings that spoke for it and against it.

    in_all: how far all faults of its part together are suspected, as the picture marks the part,
    where that is another figure; else None.
    """

    repair: str
    title: str
    part: str
    probability: float
    in_all: float | None
    to_do: str
    speaks_for: list[str]
    speaks_against: list[str]


class OtherCheck(Shown):
    """A check that may be chosen instead. words: what people type for its unit."""

    id: str
    title: str
    note: str
    words: str = ""


class Others(Shown):
    """Checks made at one place."""

    name: str
    checks: list[OtherCheck]


class PhotoLine(Shown):
    """A photo in a list."""

    id: int
    shows: str
    caption: str
    width: int
    height: int


class Drawing(Shown):
    """A picture. ways: path and name of each way to show it, and whether so.

    spots: the terminals that the leads go to. panes: the parts of it that a card shows, each by
    its viewBox.
    """

    kind: Literal["ladder", "panel"]
    caption: str
    ways: list[tuple[str, str, bool]]
    spots: list[str] = Field(default_factory=list)
    panes: list[str] = Field(default_factory=list)


class CallPicture(View):
    """The picture of a check, whole and full screen. back: the page that it was opened on."""

    back: str
    caption: str
    ways: list[tuple[str, str, bool]]
    spots: list[str]


class CallView(View):
    """A call: what was seen, heard and measured, what it means, and what to measure next."""

    number: int
    version: int
    state: str
    line: str
    said: str
    suspected: str
    note: str
    unit: UnitLine | None
    building: float | None = Field(description="share of the faults solved; null when all are")
    trouble: str = Field(description="why there is no answer, empty where there is one")
    symptoms_first: bool
    chips: list[Chip]
    looks: list[LookView]
    diagnosis: DiagnosisResult | None = Field(description="as `rungwise diagnose --json` prints it")
    warned: CautionLine | None = Field(description="the repair, where a signal word is before it")
    decided: bool
    begins: FirstWork = Field(description="with what the repair begins that stands in the verdict")
    why_stop: str
    asked: CheckCardView | None
    suspects: list[SuspectLine]
    suspects_left: str
    own_weights: str = Field(description="what moved the odds before any reading, empty if nothing")
    complaint: list[str] = Field(description="whom each thing that the customer said moved")
    try_order: list[str]
    readings: list[ReadingLine]
    remarks: list[CautionLine | str]
    clashes: list[Clash]
    others: list[Others]
    titles: dict[str, str] = Field(description="of the checks spoken of, by id")
    parts: list[tuple[str, str]] = Field(description="name and title of each that can be at fault")
    photos: list[PhotoLine]
    drawing: Drawing | None
    links: list[tuple[str, str]]
    way: list[Stage] = Field(description="the stages of a call, and how far each is")
    stage: str = Field(description="the stage that this page is about")
    aside: list[tuple[str, str]] = Field(description="what belongs to the call besides its stages")
    opened: str = Field(description="what is open of all that is behind one tap")
    find: str = Field(description="words that the other checks are looked through for")
    skipped: list[str]
    field_clashes: list[FieldClash]
    refused: dict[str, str] = Field(description="why a field cannot be used, by its name")
    say: Heard | None
    token: str
    undo: UndoLine | None = None
    timers: list[TimerKey] = Field(default_factory=list, description="timers that may be started")
