"""What the page that proves a repair shows, and its twin tells."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from rungwise.services import RepairProofResult
from rungwise.web.job import JobView
from rungwise.web.pages.call.view import Clash, EntryLine
from rungwise.web.pages.proof.forms import FieldGroup, Units
from rungwise.web.prompt import Ask
from rungwise.web.schemas import CautionLine
from rungwise.web.shown import Heard, Shown


class StartLine(Shown):
    """One moment of the first start. wait: seconds since the one before, in words."""

    number: int
    clock: str
    wait: str
    what: str
    watch: str
    caution: CautionLine | None
    done: bool
    who: str
    at: str


class ProofCard(Ask):
    """The check on the card. must_read: on a good unit. typed, wrong: what stands for it."""

    must_read: str
    is_next: bool
    load: bool = Field(description="whether it may be told as amps and volts")
    last: str = Field(description="what it read before, to be told again with one tap")
    typed: str
    wrong: str


class WorthLine(Shown):
    """A check worth making. good_after: that all is well once it and those before read well."""

    id: str
    title: str
    must_read: str
    good_after: float


class LookLine(WorthLine):
    """A look at the first start, to be answered together with others by what it must read."""


class ProofReading(EntryLine):
    """A reading after the repair, with its verdict at once. good: None while nothing says."""

    check: str
    title: str
    typed: str
    must_read: str
    good: bool | None
    figures: list[Figure]
    load: bool
    ask: Ask


class Figure(Shown):
    """A figure made of readings against its limit."""

    id: str
    level: str
    word: str
    text: str
    source: str


class RepairLine(Shown):
    """What was repaired. told: whether somebody said so; else it is what the readings advise."""

    names: list[str]
    titles: list[str]
    told: bool
    wrong: str


class ToTake(Shown):
    """Checks that give one figure: id, title, and whether it was read."""

    name: str
    checks: list[tuple[str, str, bool]]


Doing = Literal["wait", "repaired", "start", "looks", "check", "end"]


class ProofNow(Shown):
    """The one thing that is next. doing: what it is. start, looks: what one tap answers."""

    doing: Doing
    start: list[StartLine] = Field(default_factory=list)
    looks: list[LookLine] = Field(default_factory=list)
    check: str = ""


class ProofPage(JobView):
    """Whether the repair is proved, what to watch and measure, and what each reading says."""

    building: float | None = Field(description="share of the faults solved; null when all are")
    trouble: str = Field(description="why there is no verdict, empty where there is one")
    cooling_trouble: str = Field(description="why refrigerant and air are left out")
    proof: RepairProofResult | None = Field(description="as `rungwise prove --json` prints it")
    standing: str
    whole: bool = Field(description="proved to do its work, not the repair alone")
    headline: str
    reasons: list[str]
    remaining: list[str]
    look_for: list[str]
    now: ProofNow
    undo: bool = Field(description="whether something was entered that can be taken back")
    stamp: str = Field(description="clock time of the last reading, empty before the first")
    repaired: RepairLine
    can_be_repaired: list[tuple[str, str]]
    startup: list[StartLine]
    card: ProofCard | None
    worth: list[WorthLine]
    readings: list[ProofReading]
    figures: list[Figure]
    to_take: list[ToTake]
    clashes: list[Clash]
    units: Units
    groups: list[FieldGroup]
    cooling: list[Figure]
    gauged: bool = Field(description="whether anything that gauges show is entered")
    gauges: list[str] = Field(description="the fields of the card that gauges fill, if it is asked")
    say: Heard | None
