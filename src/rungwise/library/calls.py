"""A service call: the cause and the next check, and after the repair its proof."""

from __future__ import annotations

import os
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from rungwise.diagnosis import Call, call_from, headline, percent, verdict_lines
from rungwise.drawing import BeliefRow, belief_bars
from rungwise.errors import BadCallFile
from rungwise.library.given import GivenReadings, document_of, reading_rows
from rungwise.library.unit_model import GivenUnit, UnitModel, model_of
from rungwise.services import (
    CallDiagnosis,
    DiagnosisService,
    RepairProof,
    ResultCache,
    UnitSource,
    answer_of,
    is_call,
    open_call,
    proved_of,
)

BARS = 8
"""Suspects on the picture of an answer."""


@dataclass(frozen=True)
class Suspicion:
    """One fault and how likely it is.

    fault: its id. title: what it is. part: what is at fault. repair: what would be done about it.
    probability: 0 to 1, after all readings.
    """

    fault: str
    title: str
    part: str
    repair: str
    probability: float

    def __str__(self) -> str:
        return f"{percent(self.probability)}  {self.title} ({self.fault})"


@dataclass(frozen=True)
class Diagnosis:
    """The answer of a call.

    verdict: "found", "suspected", "undecided", "none_of_these" or "nothing_wrong_now".
    headline: it in one sentence. lines: all of it in words, what comes before a repair included.
    suspects: all faults, likeliest first. none_of_these: probability of a fault not listed.
    decided: whether there is an answer to act on. next_check: id of the check worth making next,
    None where none is; next_title: it in words; why: why that, or why none. cautions: of that
    check, with their signal words. whole: the answer as commands and pages have it.
    """

    unit: UnitModel
    verdict: str
    headline: str
    lines: tuple[str, ...]
    suspects: tuple[Suspicion, ...]
    none_of_these: float
    decided: bool
    next_check: str | None
    next_title: str
    why: str
    cautions: tuple[str, ...]
    whole: CallDiagnosis

    def __str__(self) -> str:
        lines = list(self.lines)
        if self.next_check:
            lines += [*self.cautions, f"Next: {self.next_title} ({self.next_check})"]
        return "\n".join([*lines, *(f"  {each}" for each in self.suspects[:BARS])])

    def _repr_svg_(self) -> str:
        """The likeliest faults as bars, which a notebook shows in place of the text."""
        rows = [BeliefRow(each.fault, each.title, each.probability) for each in self.suspects]
        other = BeliefRow("none-of-these", "none of these", self.none_of_these, beside=True)
        return belief_bars([*rows[:BARS], other], title=self.headline).svg


@dataclass(frozen=True)
class RepairVerdict:
    """Whether a repair is proved by what was measured after it.

    verdict: "proved", "not yet" or "refused". headline: it in one sentence. reasons: what stands
    in the way. good: probability, 0 to 1, that no listed electrical fault is left. remaining: what
    is not ruled out, in words. worth: ids of the checks still worth making, in their order, and
    cautions: theirs. whole: the answer as commands and pages have it.
    """

    unit: UnitModel
    verdict: str
    headline: str
    reasons: tuple[str, ...]
    good: float
    remaining: tuple[str, ...]
    worth: tuple[str, ...]
    cautions: tuple[str, ...]
    whole: RepairProof

    @property
    def proved(self) -> bool:
        """Whether the repair is proved."""
        return self.whole.good

    def __str__(self) -> str:
        lines = [self.headline, *(f"  {each}" for each in self.reasons)]
        lines += [f"  not ruled out: {each}" for each in self.remaining]
        lines += self.cautions
        return "\n".join([*lines, *(f"  still worth making: {each}" for each in self.worth)])


def diagnose(
    unit: GivenUnit,
    readings: GivenReadings = (),
    *,
    symptoms: Mapping[str, str] | None = None,
    complaint: Collection[str] = (),
    suspected: str = "",
) -> Diagnosis:
    """What is wrong as far as the readings tell, and which check to make next.

    unit: a unit, its file or its arrangement; or the file of a call, which then tells all of it.
    readings: by check id, as `expect` lists them. symptoms: what is seen and heard, by check id
    with or without `look-`. complaint: ids of what the customer said. suspected: the part that
    somebody takes for the culprit. The first answer on a unit takes some seconds: what every
    check reads under every fault is solved and then kept.
    Raises UnknownName, with close matches, for a check or a part that does not exist; BadReading
    for a value that a check cannot have; BadCallFile, BadUnitFile, BadShopFile for a file.
    """
    call, model = _call(
        unit,
        {
            "complaint": list(complaint),
            "suspected": suspected,
            "symptoms": dict(symptoms or {}),
            "readings": reading_rows(readings),
        },
    )
    source = UnitSource(model.whole, model.path)
    return _diagnosis(model, answer_of(call, source, _service().model(model.whole)))


def prove(
    unit: GivenUnit,
    repaired: Collection[str] = (),
    readings: GivenReadings = (),
    **more: Any,
) -> RepairVerdict:
    """Whether a repair is proved by what was measured after it.

    unit: a unit, its file or its arrangement; or the file of a call that has `[proof]`.
    repaired: parts or wires. readings: by check id, taken after the repair. more: the other keys
    of a call file's `[proof]`, such as `air` or `refrigerant`, as dicts.
    Raises UnknownName, with close matches, for a check or a part that does not exist; BadReading
    for a value that a check cannot have; BadCallFile for anything else in the table.
    """
    given = {**more, "repaired": list(repaired), "readings": reading_rows(readings)}
    asked = {key: value for key, value in given.items() if value}
    call, model = _call(unit, {"proof": asked} if asked else {})
    source = UnitSource(model.whole, model.path)
    return _repair(model, proved_of(call, source, _service().model(model.whole)))


LIMIT_BYTE = 500_000_000
"""What the library keeps at hand: some four units solved, at about 120 MB each."""


@cache
def _service() -> DiagnosisService:
    """The one service of this process, as an app has one: it keeps what was solved at hand."""
    return DiagnosisService(results=ResultCache(LIMIT_BYTE))


def _call(unit: GivenUnit, given: Mapping[str, Any]) -> tuple[Call, UnitModel]:
    """A call from the values given, or the one in a call's file."""
    told = {key: value for key, value in given.items() if value}
    if not isinstance(unit, UnitModel) and is_call(os.fspath(unit)):
        if told:
            raise BadCallFile(
                what="A call file tells its own readings, and more were given beside it.",
                file=os.fspath(unit),
                value=", ".join(told),
                next_step="add them to the file, or name the unit in place of the call",
            )
        call, source = open_call(os.fspath(unit))
        return call, UnitModel(source.unit, source.path)
    model = model_of(unit)
    return call_from(document_of({"unit": model.name, **told}, BadCallFile)), model


def _diagnosis(model: UnitModel, answer: CallDiagnosis) -> Diagnosis:
    cards = {card.id: card for card in answer.belief.table.suspects}
    check = answer.advice.check
    return Diagnosis(
        unit=model,
        verdict=answer.verdict.kind,
        headline=headline(answer.verdict),
        lines=tuple(verdict_lines(answer.verdict)),
        suspects=tuple(
            Suspicion(name, cards[name].title, cards[name].part, str(cards[name].to_do), chance)
            for name, chance in answer.belief.by_suspect().items()
            if name in cards
        ),
        none_of_these=answer.belief.none_of_these,
        decided=answer.decided,
        next_check=check.id if check else None,
        next_title=check.title if check else "",
        why=answer.advice.why,
        cautions=tuple(map(str, check.cautions)) if check else (),
        whole=answer,
    )


def _repair(model: UnitModel, answer: RepairProof) -> RepairVerdict:
    proof = answer.proof
    cautions = dict.fromkeys(it for each in proof.worth for it in each.check.cautions)
    return RepairVerdict(
        unit=model,
        verdict=proof.standing,
        headline=proof.headline,
        reasons=proof.reasons,
        good=proof.good,
        remaining=tuple(each.text for each in proof.remaining),
        worth=tuple(each.check.id for each in proof.worth),
        cautions=tuple(map(str, cautions)),
        whole=answer,
    )
