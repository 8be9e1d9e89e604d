"""The fits whose answers were written first, and how the engine answers them."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from pathlib import Path

from rungwise.errors import RungwiseError
from rungwise.files.document import Document
from rungwise.replacement import Candidate, Reason, Weight, fit
from rungwise.replacement.candidate_file import candidates_from
from rungwise.unit.unit_file import unit_from

FOLDER = Path(__file__).parent
OPEN, HELD_OUT = FOLDER / "fit_cases.toml", FOLDER / "fit_cases_held_out.toml"

FITS = {"fits", "fits with changes"}
REFUSED = "refused as input"


@dataclass(frozen=True)
class Case:
    """One fit. answers: what may be answered. names: what a reason that bars it must name."""

    id: str
    unit: str
    candidate: str
    answers: frozenset[str]
    names: str


@dataclass(frozen=True)
class Answer:
    """What the engine said of a case."""

    case: Case
    verdict: str
    reasons: tuple[Reason, ...] = ()

    @property
    def right(self) -> bool:
        """One of the answers that may be given, and where it bars, for the reason that is meant."""
        barring = " ".join(each.text for each in self.reasons if each.weight is Weight.BARS)
        named = self.verdict in FITS or self.case.names.lower() in barring.lower()
        return self.verdict in self.case.answers and (named or not self.reasons)

    @property
    def unsafe(self) -> bool:
        """Called fit where it is not, or where nobody can say."""
        return self.verdict in FITS and not self.case.answers & FITS

    @property
    def needless(self) -> bool:
        """Not called fit where it is."""
        return self.verdict not in FITS and self.case.answers <= FITS


def cases_in(path: Path) -> list[Case]:
    """The cases of a file, in its order."""
    tables = tomllib.loads(path.read_text(encoding="utf-8"))["cases"]
    return [
        Case(each["id"], each["unit"], each["candidate"], frozenset(each["answers"]),
             each.get("names", ""))
        for each in tables
    ]  # fmt: skip


def answered(cases: Sequence[Case]) -> Iterator[Answer]:
    """The engine's answers; the candidates for one unit are asked of it together."""
    for unit, group in groupby(sorted(cases, key=lambda each: each.unit), lambda each: each.unit):
        yield from _of_one_unit(unit, list(group))


def _of_one_unit(text: str, cases: list[Case]) -> Iterator[Answer]:
    unit = unit_from(Document(text, file="the unit of a case"), name="unit")
    known: list[Case] = []
    candidates: list[Candidate] = []
    for case in cases:
        table = case.candidate.replace("[terminals]", "[candidates.terminals]")
        try:
            candidates += candidates_from(
                Document(f"[[candidates]]\n{table}", file="the candidate of a case"), unit
            )
            known.append(case)
        except RungwiseError:
            yield Answer(case, REFUSED)
    for case, told in zip(known, fit(unit, candidates), strict=True):
        yield Answer(case, told.verdict.value, told.reasons)
