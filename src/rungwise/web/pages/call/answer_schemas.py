"""The shape of an answer, the same that `rungwise diagnose --json` prints.

Built from the very values that the command prints and refusing any other key, so that the twin
of a call cannot drift from it.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, ConfigDict, Field

from rungwise.web.shown import Shown

__all__ = ["Check", "Diagnosis", "Strict", "Suspect"]


def _open(value: Any) -> Any:
    """OL where a number is infinite, as a meter shows it."""
    return "OL" if value == float("inf") else value


Number = Annotated[float | Literal["OL"], BeforeValidator(_open)]


class Strict(Shown):
    """One thing told; nothing besides what is listed."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class UnitShape(Strict):
    """Which unit, and of which arrangement."""

    name: str
    title: str
    arrangement: str | None


class OwnWeights(Strict):
    """What moved the odds before any reading: the shop's closed calls, at the unit's age."""

    calls: int
    age_y: float | None


class ComplaintShift(Strict):
    """Suspects whose odds something that was said has multiplied."""

    group: str
    what: str
    ratio: float


class ComplaintLine(Strict):
    """Something that the customer said, and whom it moved most first."""

    id: str
    title: str
    moved: tuple[ComplaintShift, ...]


class Head(Strict):
    """Whose call it is and on which unit."""

    title: str
    customer: str
    technician: str
    date: str | None
    suspected: str | None
    unit: UnitShape
    own_weights: OwnWeights | None
    complaint: tuple[ComplaintLine, ...]


class Check(Strict):
    """One check: what it is and how it is made."""

    id: str
    title: str
    unit: str | None
    choices: tuple[str, ...]
    instrument: str
    where: str
    condition: str
    needs: tuple[str, ...]
    cautions: tuple[str, ...]
    minutes: float
    live: bool
    quantity: str
    touches: tuple[str, ...]


class Suspect(Strict):
    """A repair with its probability, and the likeliest suspect that it puts right."""

    repair: str
    probability: float
    suspect: str
    title: str
    part: str
    to_do: str
    behind: str | None
    known: bool
    is_effect: bool


class ReadingWeight(Strict):
    """A reading as taken. bits: what it said about the matter."""

    check: str
    read: str
    bits: float


class WrongPart(Strict):
    """The part that would have been swapped for nothing."""

    part: str
    believed: float
    now: float
    cleared_by: tuple[ReadingWeight, ...]


class Limits(Strict):
    """Readings from low to high, None where there is no end; a choice by its number."""

    low: Number | None
    high: Number | None


class Confirmation(Strict):
    """The reading on the part with which its repair begins: where to go on, where to stop."""

    check: Check
    go: tuple[Limits, ...]
    stop: tuple[Limits, ...]


class VerdictWords(Strict):
    """The verdict in sentences, for every way of telling it."""

    headline: str
    owed: tuple[str, ...]
    to_do: tuple[str, ...]
    acquittal: tuple[str, ...]
    doubts: tuple[str, ...]


class VerdictShape(Strict):
    """What is wrong, as far as the readings tell."""

    kind: Literal["found", "suspected", "undecided", "none_of_these", "nothing_wrong_now"]
    probability: float
    answer: Suspect | None
    runners_up: tuple[Suspect, ...]
    try_order: tuple[str, ...]
    doubtful: tuple[ReadingWeight, ...]
    wrong_part: WrongPart | None
    shown: bool
    confirm: Confirmation | None
    first: tuple[str, ...]
    again: ReadingWeight | None
    causes: tuple[Suspect, ...]
    watch: tuple[Suspect, ...]
    not_read: tuple[str, ...]
    clashes: tuple[tuple[ReadingWeight, ReadingWeight], ...]
    words: VerdictWords


class Span(Strict):
    """Outcomes from low to high, and how many of the unit's specimens read there."""

    low: Number
    high: Number
    share: float


class Band(Strict):
    """The outcomes to expect, likeliest first."""

    text: str
    spans: tuple[Span, ...]


class Forecast(Suspect):
    """What a repair that is still suspected would make the next check read."""

    reads: Band


class Candidate(Strict):
    """A check that could be made next: what it brings, and its price in minutes."""

    check: str
    bits: float
    minutes: float


class Next(Strict):
    """What to do next, and why."""

    stop: bool
    why: str
    check: Check | None
    forecasts: tuple[Forecast, ...]
    open_bits: float
    candidates: tuple[Candidate, ...]


class Opinion(Strict):
    """What one reading said of one repair, in bits of evidence."""

    repair: str
    suspect: str
    bits: float


class ReadingShape(Strict):
    """One reading, and for and against whom it spoke."""

    check: str
    title: str
    read: str
    surprise_bits: float
    impossible: bool
    said: tuple[Opinion, ...]


class Does(Strict):
    """What a load does, and its watts."""

    does: str
    watt: float


class Shortfall(Strict):
    """A load that the unit as found does not serve."""

    part: str
    condition: str
    found: Does
    intended: Does
    remedies: tuple[str, ...]
    text: str


class WitnessShape(Strict):
    """A reading that fits the circuit as found and not the intended one."""

    check: str
    read: str
    here: str
    intended: str


class Diagnosis(Strict):
    """Verdict, next check, and what each reading said."""

    call: Head
    verdict: VerdictShape
    next: Next
    readings: tuple[ReadingShape, ...]
    remarks: tuple[str, ...]
    not_taken: tuple[str, ...]
    shortfalls: tuple[Shortfall, ...]
    witnesses: tuple[WitnessShape, ...] = Field(
        description="readings that show how the circuit differs from what its arrangement means"
    )
