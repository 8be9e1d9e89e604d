"""Candidate parts for a unit, judged and ranked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rungwise.errors import UnknownName
from rungwise.replacement import Candidate, Fit, Reason, fit, ranked, read_candidates
from rungwise.services.results import FitResult, FittingResult, NamedResult, ReasonResult
from rungwise.unit import Unit


@dataclass(frozen=True)
class Fitting:
    """The candidates for each part, best first; those for parts that the unit lacks stand apart."""

    by_part: dict[tuple[str, ...], tuple[Fit, ...]]
    strangers: tuple[Fit, ...]

    @property
    def served(self) -> bool:
        """Whether every part that was asked about has a candidate that serves."""
        return bool(self.by_part) and all(fits[0].verdict.serves for fits in self.by_part.values())

    def as_json(self) -> FittingResult:
        """The same as plain values, with every figure that was compared."""
        return {
            "served": self.served,
            "parts": [
                {"for": list(parts), "candidates": [_fit_json(each) for each in fits]}
                for parts, fits in self.by_part.items()
            ],
            "not_for_this_unit": [_named(each.candidate) for each in self.strangers],
        }


def fitting_of(unit: Unit, file: str, only: Sequence[str]) -> Fitting:
    """The candidates in `file` judged for `unit`; `only`: parts to look at, all if empty.

    Raises BadCandidateFile, and UnknownName for a part that no candidate is for.
    """
    return fitting_among(unit, read_candidates(file, unit), only, file)


def fitting_among(
    unit: Unit, candidates: Sequence[Candidate], only: Sequence[str], file: str | None = None
) -> Fitting:
    """The same of candidates that are read already. Raises UnknownName as `fitting_of`."""
    wanted = [name for each in candidates for name in each.parts]
    for name in only:
        if name not in wanted:
            what = "No candidate in this file is for that part."
            raise UnknownName(what=what, name=name, known=dict.fromkeys(wanted), file=file)
    return fitting(unit, [c for c in candidates if not only or set(c.parts) & set(only)])


def fitting(unit: Unit, candidates: Sequence[Candidate]) -> Fitting:
    """The candidates judged and ranked, part by part in the order of the file."""
    by_part: dict[tuple[str, ...], list[Fit]] = {}
    strangers = []
    for each in fit(unit, candidates):
        if all(name in unit.part_by_name for name in each.candidate.parts):
            by_part.setdefault(each.candidate.parts, []).append(each)
        else:
            strangers.append(each)
    return Fitting({parts: ranked(fits) for parts, fits in by_part.items()}, tuple(strangers))


def _named(candidate: Candidate) -> NamedResult:
    return {
        "name": candidate.name,
        "for": list(candidate.parts),
        "kind": candidate.kind_name,
        "price": candidate.price,
        "where": candidate.where or None,
    }


def _fit_json(told: Fit) -> FitResult:
    return {
        **_named(told.candidate),
        "verdict": told.verdict.value,
        "reasons": [_reason_json(each) for each in told.reasons],
        "loads": [
            {"situation": situation, "part": part, "meant": meant, "does": does}
            for (situation, part), (meant, does) in told.loads.items()
        ],
        "possible_changes": [each.text for each in told.changes],
        "not_judged": list(told.not_judged),
    }


def _reason_json(reason: Reason) -> ReasonResult:
    return {
        "weight": reason.weight.value,
        "rule": reason.rule,
        "text": reason.text,
        "situation": reason.situation or None,
        "has": reason.has,
        "needs": reason.needs,
        "unit": reason.unit or None,
        "source": reason.source,
    }
