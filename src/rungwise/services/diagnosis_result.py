"""The type of a call's answer: `rungwise diagnose --json`, the twin of its page, /openapi.json."""

from __future__ import annotations

from typing import Literal

from typing_extensions import TypedDict

from rungwise.services.results import Figure, UnitResult

Read = float | Literal["OL"]


class OwnWeightsResult(TypedDict):
    """What moved the odds before any reading: the shop's closed calls, at the unit's age."""

    calls: int
    age_y: float | None


class ComplaintShiftResult(TypedDict):
    """Suspects whose odds something that was said has multiplied."""

    group: str
    what: str
    ratio: float


class ComplaintResult(TypedDict):
    """Something that the customer said, and whom it moved most first."""

    id: str
    title: str
    moved: list[ComplaintShiftResult]


class CallResult(TypedDict):
    """Whose call it is and on which unit."""

    title: str
    customer: str
    technician: str
    date: str | None
    suspected: str | None
    unit: UnitResult
    own_weights: OwnWeightsResult | None
    complaint: list[ComplaintResult]


class CheckResult(TypedDict):
    """One check: what it is and how it is made."""

    id: str
    title: str
    unit: str | None
    choices: list[str]
    instrument: str
    where: str
    condition: str
    needs: list[str]
    cautions: list[str]
    minutes: float
    live: bool
    quantity: str
    touches: list[str]


class AnswerResult(TypedDict):
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


class TakenResult(TypedDict):
    """A reading as taken. bits: what it said about the matter."""

    check: str
    read: str
    bits: float


class WrongPartResult(TypedDict):
    """The part that would have been swapped for nothing."""

    part: str
    believed: float
    now: float
    cleared_by: list[TakenResult]


class LimitsResult(TypedDict):
    """Readings from low to high, None where there is no end; a choice by its number."""

    low: Figure
    high: Figure


class ConfirmationResult(TypedDict):
    """The reading on the part with which its repair begins: where to go on, where to stop."""

    check: CheckResult
    go: list[LimitsResult]
    stop: list[LimitsResult]


class VerdictWordsResult(TypedDict):
    """The verdict in sentences, for every way of telling it."""

    headline: str
    owed: list[str]
    to_do: list[str]
    acquittal: list[str]
    doubts: list[str]


class VerdictResult(TypedDict):
    """What is wrong, as far as the readings tell."""

    kind: Literal["found", "suspected", "undecided", "none_of_these", "nothing_wrong_now"]
    probability: float
    answer: AnswerResult | None
    runners_up: list[AnswerResult]
    try_order: list[str]
    doubtful: list[TakenResult]
    wrong_part: WrongPartResult | None
    shown: bool
    confirm: ConfirmationResult | None
    first: list[str]
    again: TakenResult | None
    causes: list[AnswerResult]
    watch: list[AnswerResult]
    not_read: list[str]
    clashes: list[tuple[TakenResult, TakenResult]]
    words: VerdictWordsResult


class SpanResult(TypedDict):
    """Outcomes from low to high, and how many of the unit's specimens read there."""

    low: Read
    high: Read
    share: float


class BandResult(TypedDict):
    """The outcomes to expect, likeliest first."""

    text: str
    spans: list[SpanResult]


class ForecastResult(AnswerResult):
    """What a repair that is still suspected would make the next check read."""

    reads: BandResult


class CandidateResult(TypedDict):
    """A check that could be made next: what it brings, and its price in minutes."""

    check: str
    bits: float
    minutes: float


class NextResult(TypedDict):
    """What to do next, and why."""

    stop: bool
    why: str
    check: CheckResult | None
    forecasts: list[ForecastResult]
    open_bits: float
    candidates: list[CandidateResult]


class OpinionResult(TypedDict):
    """What one reading said of one repair, in bits of evidence."""

    repair: str
    suspect: str
    bits: float


class ReadingResult(TypedDict):
    """One reading, and for and against whom it spoke."""

    check: str
    title: str
    read: str
    surprise_bits: float
    impossible: bool
    said: list[OpinionResult]


class DoesResult(TypedDict):
    """What a load does, and its watts."""

    does: str
    watt: float


class ShortfallResult(TypedDict):
    """A load that the unit as found does not serve."""

    part: str
    condition: str
    found: DoesResult
    intended: DoesResult
    remedies: list[str]
    text: str


class WitnessResult(TypedDict):
    """A reading that fits the circuit as found and not the intended one."""

    check: str
    read: str
    here: str
    intended: str


class DiagnosisResult(TypedDict):
    """Verdict, next check, and what each reading said.

    witnesses: readings that show how the circuit differs from what its arrangement means.
    """

    call: CallResult
    verdict: VerdictResult
    next: NextResult
    readings: list[ReadingResult]
    remarks: list[str]
    not_taken: list[str]
    shortfalls: list[ShortfallResult]
    witnesses: list[WitnessResult]
