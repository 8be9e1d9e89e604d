"""The types of answers, each once: commands print them, pages carry them, /openapi.json tells them.

They are made by the services beside this file, key by key, and checked there. A number that is
infinite is told as OL, as a meter shows it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from typing_extensions import TypedDict

from rungwise.isolation import WorkPlan

Figure = float | Literal["OL"] | None


class UnitResult(TypedDict):
    """Which unit, and of which arrangement."""

    name: str
    title: str
    arrangement: str | None


class CautionResult(TypedDict):
    """A signal word, and what it warns of."""

    signal: str
    text: str


@dataclass(frozen=True)
class IsolationResult(WorkPlan):
    """How a place of work is made dead. reached: whether there is a plan."""

    reached: bool


NamedResult = TypedDict(
    "NamedResult",
    {"name": str, "for": list[str], "kind": str, "price": float | None, "where": str | None},
)


class ReasonResult(TypedDict):
    """What was compared. has, needs: in `unit`; None where no figures stand behind it."""

    weight: str
    rule: str
    text: str
    situation: str | None
    has: Figure
    needs: Figure
    unit: str | None
    source: str


class LoadResult(TypedDict):
    """What a load is meant to do in a situation, and does."""

    situation: str
    part: str
    meant: Figure
    does: Figure


class FitResult(NamedResult):
    """A candidate, and why it fits or will not work."""

    verdict: str
    reasons: list[ReasonResult]
    loads: list[LoadResult]
    possible_changes: list[str]
    not_judged: list[str]


FitsResult = TypedDict("FitsResult", {"for": list[str], "candidates": list[FitResult]})


class FittingResult(TypedDict):
    """The candidates for each part, best first."""

    served: bool
    parts: list[FitsResult]
    not_for_this_unit: list[NamedResult]


class FittingOfUnitResult(FittingResult):
    """The same, with the unit."""

    unit: UnitResult


class ConsequenceResult(TypedDict):
    """What a part then does that it should not, and in which situations."""

    part: str
    text: str
    situations: list[str]


class CrowdResult(TypedDict):
    """A terminal that does not hold its wires."""

    terminal: str
    places: list[str]
    wires: list[tuple[str, str]]
    amp: float
    text: str


class StepResult(TypedDict):
    """One move of one wire's end."""

    does: str
    wire: str
    colour: str
    awg: float
    side: str
    old: str
    new: str
    joint: str
    place: str
    work: str | None
    care: str | None
    tighten: bool
    loose: int


class MovesResult(TypedDict):
    """The moves to a new part in their order, and what comes last."""

    part: str
    beside: bool
    most_loose: int
    crowded: list[str]
    steps: list[StepResult]
    finish: list[str]


class WireMoveResult(TypedDict):
    """An end that is not where it belongs; None: off, or not meant to be there."""

    wire: str
    belongs: str | None
    is_on: str | None
    text: str


class JudgedWiresResult(TypedDict):
    """Wires that are elsewhere than meant, and what that does."""

    status: str
    wires: list[str]
    moves: list[WireMoveResult]
    does: list[ConsequenceResult]
    why: str | None
    in_company: bool
    live: list[str]
    label: str | None


class CheckedWiresResult(TypedDict):
    """What the check of a record found."""

    passes: bool
    groups: list[JudgedWiresResult]
    whole: list[ConsequenceResult]
    part: list[ConsequenceResult]


class TorqueResult(TypedDict):
    """What a screw is tightened to; None where nothing marks it."""

    wire: str
    in_lb: float | None
    source: str | None


class RewireResult(TypedDict):
    """The moves of wires to a new part, and the check of a record of them."""

    unit: UnitResult
    part: str | None
    passes: bool
    cautions: list[CautionResult]
    as_found: CheckedWiresResult | None
    moves: MovesResult | None
    as_left: CheckedWiresResult | None
    torques: list[TorqueResult]
    crowded: list[CrowdResult]
    crowded_as_found: list[CrowdResult]


class OhmsResult(TypedDict):
    """An outcome of a continuity check, and the share of what is possible that gives it."""

    low_ohm: Figure
    high_ohm: Figure
    share: float


LostCheckResult = TypedDict(
    "LostCheckResult",
    {
        "from": str, "to": str, "then": list[str], "covered": bool, "minutes": float,
        "bits": float, "outcomes": list[OhmsResult],
    },
)  # fmt: skip


class MistakeResult(TypedDict):
    """Two wires that must not be taken for each other, and what it would do."""

    one: str
    other: str
    does: list[ConsequenceResult]


class BrokenWireResult(TypedDict):
    """A wire of the record. far: "" where both its ends hang free; near: where it belongs."""

    wire: str
    far: str
    near: str


class BrokenResult(TypedDict):
    """A loose end that reads to nothing, and which wires of the record it may be."""

    name: str
    wires: list[BrokenWireResult]


class MisfitResult(TypedDict):
    """A loose end that its readings bring to a terminal where its gauge does not go."""

    name: str
    near: str
    wire: str
    awg: float
    record_awg: float


class RecoverResult(TypedDict):
    """Which loose wire is which, as far as it is known, and what to measure next."""

    unit: UnitResult
    found: bool
    remaining: int
    cautions: list[CautionResult]
    placed: dict[str, str] | None
    placed_so_far: dict[str, str]
    broken: list[BrokenResult]
    misfits: list[MisfitResult]
    may_belong: dict[str, dict[str, float]]
    mistake: MistakeResult | None
    next: LostCheckResult | None
    strange_readings: list[int | None]
    unrecorded_windings: list[str]


class ProvedCallResult(TypedDict):
    """Of which call and unit."""

    title: str
    unit: UnitResult


class ProofVerdictResult(TypedDict):
    """Whether the repair is proved, and why not."""

    kind: str
    text: str
    good: float
    whole: bool
    reasons: list[str]


class RemainingResult(TypedDict):
    """What may still hide."""

    suspect: str
    title: str
    why: str
    before: float
    chance: float


class ProofReadingResult(TypedDict):
    """A reading after the repair, against what is good."""

    id: str
    title: str
    text: str
    band: str
    good: float | bool | None
    level: str


class UnseenResult(TypedDict):
    """What the proof has not seen."""

    name: str
    checks: list[str]
    needed: bool
    asked: bool
    withholds: bool
    why: str


class FindingResult(TypedDict):
    """A figure that was worked out, and how it stands."""

    id: str
    value: Figure
    unit: str
    level: str
    text: str
    source: str


class WorthResult(TypedDict):
    """A check that would tell more."""

    check: str
    title: str
    where: str
    condition: str
    live: bool
    cautions: list[str]
    bits: float
    good_after: float
    needed: bool


class StartStepResult(TypedDict):
    """A moment of the first start, and what to watch."""

    time_s: float
    call: str
    what: str
    watch: str


class RepairProofResult(TypedDict):
    """Whether a repair is proved, with every figure."""

    call: ProvedCallResult
    verdict: ProofVerdictResult
    remaining: list[RemainingResult]
    readings: list[ProofReadingResult]
    unseen: list[UnseenResult]
    findings: list[FindingResult]
    worth: list[WorthResult]
    look_for: list[str]
    startup: list[StartStepResult]
