"""Work on a unit: made dead, a part chosen, wires moved to it, loose wires placed again."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from rungwise.errors import BadCandidateFile, BadWiresFile
from rungwise.library.calls import Diagnosis
from rungwise.library.given import GivenTable, document_of
from rungwise.library.unit_model import GivenUnit, UnitModel, model_of
from rungwise.parts import EARTH, Caution
from rungwise.replacement import Fit, Weight, candidates_from
from rungwise.rewiring import recover as recovered
from rungwise.rewiring import rewire as rewired
from rungwise.rewiring import wires_from
from rungwise.services import (
    EARTH_KEY,
    Fitting,
    Isolation,
    RecoverAnswer,
    RewireAnswer,
    crowded_text,
    fitting_among,
    isolation_of,
)


@dataclass(frozen=True)
class DeadPlan:
    """How a place of work is made dead, or why there is no plan.

    It says what to open and what must then be measured; only the readings along its steps can
    show that something is dead.
    reached: whether there is a plan. steps: in words, in their order, each reading with what it
    must be. stays_live: terminals that stay live, or can come live, to the end. cautions: with
    their signal words. refusals: why there is no plan, and what to add. whole: as commands and
    pages have it.
    """

    unit: UnitModel
    hands: str
    reached: bool
    steps: tuple[str, ...]
    stays_live: tuple[str, ...]
    cautions: tuple[str, ...]
    refusals: tuple[str, ...]
    whole: Isolation

    def __str__(self) -> str:
        steps = [f"{at}. {step}" for at, step in enumerate(self.steps, start=1)]
        live = [f"STAYS LIVE: {', '.join(self.stays_live)}"] if self.stays_live else []
        return "\n".join([*self.cautions, *live, *steps, *self.refusals])


@dataclass(frozen=True)
class FitVerdict:
    """One candidate, judged.

    parts: of the unit, whose place it takes. name: what the shop calls it. verdict: "fits",
    "fits with changes", "not judged" or "will not work". reasons: weightiest first, in words.
    not_judged: what nobody has looked at. whole: with every figure that was compared.
    """

    parts: tuple[str, ...]
    name: str
    verdict: str
    reasons: tuple[str, ...]
    not_judged: tuple[str, ...]
    whole: Fit

    @property
    def serves(self) -> bool:
        """Whether it may go in, with changes or without."""
        return self.whole.verdict.serves

    def __str__(self) -> str:
        return "\n".join([f"{self.name}: {self.verdict}", *(f"  {each}" for each in self.reasons)])


@dataclass(frozen=True)
class FitRanking:
    """The candidates for a unit's parts, best first for each part.

    strangers: candidates for parts that the unit does not have. whole: as commands and pages
    have it.
    """

    unit: UnitModel
    fits: tuple[FitVerdict, ...]
    strangers: tuple[str, ...]
    whole: Fitting

    def __str__(self) -> str:
        return "\n".join(str(each) for each in self.fits)


@dataclass(frozen=True)
class WireMoves:
    """The moves of the wires to a new part, and what the wires as left do.

    passes: whether nothing has to be put right. moves: in words, in working order. wrong: what
    the unit does otherwise than meant, as the wires were left. cautions: with their signal words.
    whole: as commands and pages have it.
    """

    unit: UnitModel
    passes: bool
    moves: tuple[str, ...]
    wrong: tuple[str, ...]
    cautions: tuple[str, ...]
    whole: RewireAnswer

    def __str__(self) -> str:
        moves = [f"{at}. {move}" for at, move in enumerate(self.moves, start=1)]
        return "\n".join([*self.cautions, *moves, *(f"WRONG: {each}" for each in self.wrong)])


@dataclass(frozen=True)
class WiresFound:
    """What loose wires may be.

    found: whether it is known where each goes; nothing may be powered up before. remaining: how
    many ways are left. placed: the terminal of each loose end that a reading of its own has placed
    so far. may_belong: of each end the terminals that it may go to, with their shares, 0 to 1.
    next_check: the two points (`part.terminal`, a loose end, or "earth") of the continuity check
    to make next, None where none helps. whole: as commands and pages have it.
    """

    unit: UnitModel
    found: bool
    remaining: int
    placed: Mapping[str, str]
    may_belong: Mapping[str, Mapping[str, float]]
    next_check: tuple[str, str] | None
    cautions: tuple[str, ...]
    whole: RecoverAnswer

    def __str__(self) -> str:
        lines = [*self.cautions, f"{self.remaining} ways left"]
        if not self.found:
            lines.append(str(Caution("NOTICE", "Not all is known yet; leave the power off.")))
        lines += [f"  {end} to {terminal}" for end, terminal in self.placed.items()]
        if self.next_check:
            lines.append(f"Next: continuity, {' to '.join(self.next_check)}")
        return "\n".join(lines)


def isolate(
    unit: GivenUnit,
    hands: str = "cabinet",
    *,
    diagnosis: Diagnosis | None = None,
    runs_on: bool | None = None,
) -> DeadPlan:
    """How the place where the hands go is made dead and proved.

    hands: "cabinet", "disconnect", "indoor" or "everything". diagnosis: of a call on the unit,
    which tells whether it can be stopped. runs_on: whether it runs with the thermostat off, where
    that is known.
    Raises UnknownName, with close matches, for a place that does not exist; BadUnitFile.
    """
    model = model_of(unit)
    found = isolation_of(
        model.whole, hands, diagnosis.whole if diagnosis else None, runs_on=runs_on
    )
    plan = found.plan
    return DeadPlan(
        unit=model,
        hands=hands,
        reached=found.reached,
        steps=tuple(f"{each.whole} {each.must_read}".strip() for each in plan.steps),
        stays_live=tuple(t for each in plan.stays_live for t in each.terminals),
        cautions=tuple(map(str, plan.cautions)),
        refusals=tuple(f"{each.what} {each.add}" for each in plan.refusals),
        whole=found,
    )


def fit(
    unit: GivenUnit,
    candidates: GivenTable | Sequence[Mapping[str, Any]],
    *,
    parts: Collection[str] = (),
) -> FitRanking:
    """Whether candidate parts may go into a unit, and why.

    candidates: a file of them, one dict or a list of dicts with the keys of that file (`name`,
    `for`, `kind`, `coil_volt` and so on). parts: only for these parts of the unit.
    Raises BadCandidateFile for a candidate that cannot be used; UnknownName, with close matches,
    for a part that no candidate is for; BadUnitFile.
    """
    model = model_of(unit)
    document = document_of(_candidate_table(candidates), BadCandidateFile)
    found = fitting_among(model.whole, candidates_from(document, model.whole), tuple(parts))
    return FitRanking(
        unit=model,
        fits=tuple(_fit(each) for fits in found.by_part.values() for each in fits),
        strangers=tuple(each.candidate.name for each in found.strangers),
        whole=found,
    )


def rewire(unit: GivenUnit, wires: GivenTable) -> WireMoves:
    """The moves of the wires to a new part, and what each does as it was left.

    wires: a wires file, or a dict with its keys (`part`, `new`, `as_found`, `as_left`).
    Raises BadWiresFile for a record that cannot be used; NoSettling where a wiring's contacts
    come to no rest; BadUnitFile.
    """
    model = model_of(unit)
    found = rewired(model.whole, wires_from(document_of(wires, BadWiresFile), model.whole))
    steps = found.moves.steps if found.moves else ()
    wrong = [*found.left.whole, *found.left.part] if found.left else []
    return WireMoves(
        unit=model,
        passes=found.passes,
        moves=tuple(f"{each.does} {each.wire.name}: {each.old} to {each.new}" for each in steps),
        wrong=(
            *(each.text for each in wrong),
            *(crowded_text(found.unit, each) for each in found.crowded),
        ),
        cautions=tuple(map(str, found.cautions)),
        whole=RewireAnswer(found),
    )


def recover(unit: GivenUnit, wires: GivenTable) -> WiresFound:
    """What loose wires may be, what to measure next, and at last where each of them goes.

    wires: a wires file, or a dict with its keys (`off`, `loose`, `readings`).
    Raises BadWiresFile for a record that cannot be used; BadUnitFile.
    """
    model = model_of(unit)
    found = recovered(model.whole, wires_from(document_of(wires, BadWiresFile), model.whole))
    check = found.standing.next_check
    return WiresFound(
        unit=model,
        found=found.found,
        remaining=found.standing.remaining,
        placed=dict(found.standing.placed),
        may_belong=dict(found.standing.may_belong()),
        next_check=(_point(check.a), _point(check.b)) if check else None,
        cautions=tuple(map(str, found.cautions)),
        whole=RecoverAnswer(found),
    )


def _point(name: str) -> str:
    return EARTH_KEY if name == EARTH else name


def _candidate_table(given: GivenTable | Sequence[Mapping[str, Any]]) -> GivenTable:
    """One candidate, or several, as the table that a file of them is."""
    if isinstance(given, Mapping):
        return given if "candidates" in given else {"candidates": [given]}
    if isinstance(given, Sequence) and not isinstance(given, str):
        return {"candidates": list(given)}
    return given


def _fit(told: Fit) -> FitVerdict:
    weights = (Weight.BARS, Weight.UNJUDGED, Weight.CHANGE, Weight.CAUTION, Weight.NOTE)
    return FitVerdict(
        parts=told.candidate.parts,
        name=told.candidate.name,
        verdict=told.verdict.value,
        reasons=tuple(each.text for each in told.told(*weights)),
        not_judged=told.not_judged,
        whole=told,
    )
