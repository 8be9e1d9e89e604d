"""The candidate parts as the page tells them, and the fields of one that is typed in."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pydantic import Field

from rungwise.errors import BadCandidateFile
from rungwise.files import Document
from rungwise.quantity import quantity_told
from rungwise.replacement import (
    CANDIDATE_KINDS,
    Candidate,
    CandidateKind,
    Fit,
    Reason,
    Verdict,
    Weight,
    read_candidate,
)
from rungwise.unit import Unit
from rungwise.web.shown import Shown
from rungwise.wording import joined, mark, say

MARKS = {
    Weight.BARS: mark("no"),
    Weight.UNJUDGED: mark("not judged"),
    Weight.CHANGE: mark("change"),
    Weight.CAUTION: mark("look"),
    Weight.NOTE: mark("note"),
    Weight.PASSES: mark("ok"),
}

WARNED = ("live.more",)
"""Rules about what can kill: told with their signal word (ANSI Z535.4, from memory)."""

NOTHING = 1e-4
"""Of two figures the share below which the smaller one is nothing to a person."""

TEXT_LABELS = {
    "coil_hz": mark("coil frequency, Hz"),
    "listed": mark("listed for the compressor"),
    "needs_common": mark("needs a C wire"),
    "rotation": mark("rotation"),
    "torque_source": mark("where the screw torque is given"),
}
"""What a field is called that has words for its values."""

OWN = "own"
"""What a candidate is called that was typed in without a name."""


class ReasonLine(Shown):
    """One thing that speaks for or against a candidate. figures: the two that were compared."""

    mark: str
    text: str
    figures: str
    warns: bool


class FitLine(Shown):
    """A candidate with its verdict. changes: of the unit's design, with which it would serve."""

    name: str
    title: str
    verdict: str
    serves: bool
    with_work: bool
    price: str
    where: str
    reasons: list[ReasonLine]
    against: list[ReasonLine] = Field(
        description="of the reasons what bars it, else what has to be changed; one line each"
    )
    passed: list[ReasonLine]
    changes: list[str]
    not_judged: str


class OwnField(Shown):
    """A field of a candidate that is typed in. wrong: why it cannot be used."""

    key: str
    label: str
    unit: str
    needed: bool
    choices: list[str]
    typed: str
    wrong: str


def line_of_fit(told: Fit) -> FitLine:
    """A candidate that was judged."""
    candidate = told.candidate
    return FitLine(
        name=candidate.name,
        title=candidate.title,
        verdict=mark(told.verdict.value),
        serves=told.verdict.serves,
        with_work=told.verdict is Verdict.CHANGES,
        price=_price(candidate),
        where=candidate.where,
        reasons=[_reason(each) for each in told.reasons if each.weight is not Weight.PASSES],
        against=_against(told),
        passed=[_reason(each) for each in told.told(Weight.PASSES)],
        changes=[each.text for each in told.changes],
        not_judged=joined(", ", (mark(each) for each in told.not_judged)),
    )


def _against(told: Fit) -> list[ReasonLine]:
    """What decides the verdict: what bars it, else what nobody can judge, else the changes."""
    for weight in (Weight.BARS, Weight.UNJUDGED, Weight.CHANGE):
        if lines := told.told(weight):
            return [_reason(each) for each in lines if each.rule not in WARNED]
    return []


def fields_of(kind: str, typed: Mapping[str, str], wrong: Mapping[str, str]) -> list[OwnField]:
    """What is asked of a candidate of a kind: what must stand on its label first."""
    known = CANDIDATE_KINDS[kind]
    parameters = known.parameters()
    keys = [*known.label, *known.texts, *(key for key in parameters if key not in known.label)]
    return [_field(known, key, typed.get(key, ""), wrong.get(key, "")) for key in keys]


def unread_of(kind: str, typed: Mapping[str, str]) -> dict[str, str]:
    """What must stand on the label and was not typed, each with what to do."""
    told = mark("Read it off the label: a rating is not guessed.")
    return {key: told for key in CANDIDATE_KINDS[kind].label if not typed.get(key, "").strip()}


def table_of(kind: str, part: str, typed: Mapping[str, str]) -> dict[str, Any]:
    """What was typed as the table of a candidates file."""
    known = CANDIDATE_KINDS[kind]
    asked = {*known.parameters(), *known.texts, "where"}
    told = {key: text.strip() for key, text in typed.items() if key in asked and text.strip()}
    price = typed.get("price", "").strip()
    name = typed.get("name", "").strip() or f"{OWN} {known.title}"
    table = {"name": name, "for": part, "kind": kind, **told}
    return {**table, "price": price} if price else table


def with_price(table: Mapping[str, Any], candidate: Candidate) -> dict[str, Any]:
    """The table with its price as it was read, for the bill."""
    return dict(table) if candidate.price is None else {**table, "price": candidate.price}


def _field(kind: CandidateKind, key: str, typed: str, wrong: str) -> OwnField:
    parameter = kind.parameters().get(key)
    return OwnField(
        key=key,
        label=mark(parameter.what) if parameter else TEXT_LABELS[key],
        unit=parameter.unit if parameter else "",
        needed=key in kind.label,
        choices=list(kind.texts.get(key, ())),
        typed=typed,
        wrong=wrong,
    )


def _price(candidate: Candidate) -> str:
    return "" if candidate.price is None else f"{candidate.price:.2f}"


def _reason(reason: Reason) -> ReasonLine:
    figures = ""
    if reason.has is not None and reason.needs is not None:
        largest = max(abs(reason.has), abs(reason.needs))
        has, needs = (
            quantity_told(each if abs(each) > NOTHING * largest else 0.0, reason.unit)
            for each in (reason.has, reason.needs)
        )
        figures = say("has {has}, needs {needs}", has=has, needs=needs)
    return ReasonLine(
        mark=MARKS[reason.weight],
        text=reason.text,
        figures=figures,
        warns=reason.rule in WARNED,
    )


def candidate_in(table: dict[str, Any], unit: Unit) -> Candidate:
    """The candidate that a table of a candidates file describes. Raises BadCandidateFile."""
    document = Document.of_values(table, file=mark("the label"), error=BadCandidateFile)
    return read_candidate(document.root, unit)
