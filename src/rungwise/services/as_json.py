"""Answers as plain values for JSON: the same story as the printed page, with every figure."""

from __future__ import annotations

import math
from typing import Any

from rungwise.circuit import Shortfall
from rungwise.diagnosis import (
    Answer,
    Band,
    Candidate,
    CheckCard,
    Confirmation,
    Forecast,
    OwnWeights,
    Taken,
    Verdict,
    WrongPart,
    acquittal_lines,
    doubt_lines,
    headline,
    owed_lines,
    to_do_lines,
)
from rungwise.services.diagnose import CallDiagnosis
from rungwise.services.diagnosis_result import (
    AnswerResult,
    BandResult,
    CallResult,
    CandidateResult,
    CheckResult,
    ConfirmationResult,
    DiagnosisResult,
    LimitsResult,
    NextResult,
    OwnWeightsResult,
    ShortfallResult,
    SpanResult,
    TakenResult,
    VerdictResult,
    WrongPartResult,
)
from rungwise.services.results import UnitResult
from rungwise.services.wording.complaint_words import complaint_json
from rungwise.unit import Unit


def _call(answer: CallDiagnosis) -> CallResult:
    """Whose call it is and on which unit."""
    call, unit = answer.call, answer.opened.unit
    return {
        "title": call.title,
        "customer": call.customer,
        "technician": call.technician,
        "date": call.date.isoformat() if call.date else None,
        "suspected": call.suspected or None,
        "unit": unit_json(unit),
        "own_weights": _own(call.own) if call.own else None,
        "complaint": complaint_json(answer.said),
    }


def _own(own: OwnWeights) -> OwnWeightsResult:
    """What the odds start from, where it is not the start weights."""
    return {"calls": own.calls, "age_y": own.age_y}


def unit_json(unit: Unit) -> UnitResult:
    """Which unit, and of which arrangement."""
    return {"name": unit.name, "title": unit.title, "arrangement": unit.arrangement or None}


def diagnosis_json(answer: CallDiagnosis) -> DiagnosisResult:
    """Whose call it is, verdict, next check, and what each reading said."""
    told: DiagnosisResult = {
        "call": _call(answer),
        "verdict": _verdict(answer.verdict),
        "next": _next(answer),
        "readings": [
            {
                "check": told.check.id,
                "title": told.check.title,
                "read": told.text,
                "surprise_bits": told.surprise,
                "impossible": told.impossible,
                "said": [
                    {"repair": each.repair, "suspect": each.suspect.id, "bits": each.bits}
                    for each in told.opinions
                ],
            }
            for told in answer.explanation.readings
        ],
        "remarks": [str(each) for each in answer.remarks],
        "not_taken": [each.card.id for each in answer.outcomes if each.value is None],
        "shortfalls": [shortfall_json(each) for each in answer.shortfalls],
        "witnesses": [
            {"check": each.card.id, "read": each.read, "here": each.here, "intended": each.intended}
            for each in answer.witnesses
        ],
    }
    plain: DiagnosisResult = strict(told)
    return plain


def _check(card: CheckCard) -> CheckResult:
    """One check: what it is and how it is made."""
    return {
        "id": card.id,
        "title": card.title,
        "unit": card.unit or None,
        "choices": list(card.choices),
        "instrument": card.instrument,
        "where": card.where,
        "condition": card.condition,
        "needs": list(card.needs),
        "cautions": [str(each) for each in card.cautions],
        "minutes": card.minutes,
        "live": card.live,
        "quantity": card.quantity,
        "touches": list(card.touches),
    }


def shortfall_json(found: Shortfall) -> ShortfallResult:
    """A load that the unit as found does not serve."""
    return {
        "part": found.found.part,
        "condition": found.found.condition,
        "found": {"does": found.found.does.words, "watt": found.found.watt},
        "intended": {"does": found.intended.does.words, "watt": found.intended.watt},
        "remedies": list(found.remedies),
        "text": found.line(),
    }


def _verdict(told: Verdict) -> VerdictResult:
    return {
        "kind": told.kind,
        "probability": told.probability,
        "answer": _answer(told.answer) if told.answer else None,
        "runners_up": [_answer(each) for each in told.runners_up],
        "try_order": [each.repair for each in told.try_order],
        "doubtful": [_taken(each) for each in told.doubtful],
        "wrong_part": _wrong_part(told.wrong_part) if told.wrong_part else None,
        "shown": told.shown,
        "confirm": _confirmation(told.confirm) if told.confirm else None,
        "first": [card.id for card in told.first],
        "again": _taken(told.again) if told.again else None,
        "causes": [_answer(each) for each in told.causes],
        "watch": [_answer(each) for each in told.watch],
        "not_read": list(told.not_read),
        "clashes": [(_taken(one), _taken(other)) for one, other in told.clashes],
        "words": {
            "headline": headline(told),
            "owed": owed_lines(told),
            "to_do": [str(line) for line in to_do_lines(told)],
            "acquittal": acquittal_lines(told),
            "doubts": doubt_lines(told),
        },
    }


def _confirmation(told: Confirmation) -> ConfirmationResult:
    """The reading with which the repair begins: spans at which to go on, and to stop."""
    go, stop = ([_limits(span) for span in part] for part in (told.go, told.stop))
    return {"check": _check(told.check), "go": go, "stop": stop}


def _limits(span: tuple[float, float]) -> LimitsResult:
    """Both ends of a span; None where it has no end, infinite at both for OL."""
    low, high = span
    if low == high:
        return {"low": low, "high": high}
    return {"low": _end(low), "high": _end(high)}


def _end(value: float) -> float | None:
    return value if math.isfinite(value) else None


def _answer(answer: Answer | Forecast) -> AnswerResult:
    card = answer.suspect
    return {
        "repair": answer.repair,
        "probability": answer.probability,
        "suspect": card.id,
        "title": card.title,
        "part": card.part,
        "to_do": str(card.to_do),
        "behind": card.behind or None,
        "known": card.known,
        "is_effect": card.is_effect,
    }


def _taken(taken: Taken) -> TakenResult:
    return {"check": taken.check.id, "read": taken.text, "bits": taken.bits}


def _wrong_part(wrong: WrongPart) -> WrongPartResult:
    return {
        "part": wrong.part,
        "believed": wrong.believed,
        "now": wrong.now,
        "cleared_by": [_taken(each) for each in wrong.cleared_by],
    }


def _next(answer: CallDiagnosis) -> NextResult:
    advice = answer.advice
    return {
        "stop": advice.stop,
        "why": advice.why,
        "check": _check(advice.check) if advice.check else None,
        "forecasts": [
            {**_answer(each), "reads": _band(each.band)} for each in answer.explanation.forecasts
        ],
        "open_bits": answer.open_bits,
        "candidates": [_candidate(each) for each in advice.candidates[:5]],
    }


def _candidate(candidate: Candidate) -> CandidateResult:
    return {"check": candidate.check.id, "bits": candidate.bits, "minutes": candidate.minutes}


def _band(band: Band) -> BandResult:
    """The outcomes to expect, likeliest first."""
    spans: list[SpanResult] = [
        {"low": low, "high": high, "share": share} for low, high, share in band.spans
    ]
    return {"text": band.text, "spans": spans}


def strict(value: Any) -> Any:
    """`value` without numbers that JSON does not have: OL for infinite, None for none."""
    if isinstance(value, dict):
        return {key: strict(each) for key, each in value.items()}
    if isinstance(value, list | tuple):
        return [strict(each) for each in value]
    if isinstance(value, float) and not math.isfinite(value):
        return "OL" if value > 0 else None
    return value
