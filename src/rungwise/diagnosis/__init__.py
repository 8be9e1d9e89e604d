"""Diagnosis: from readings to the culprit, and to the check worth making next."""

from __future__ import annotations

from rungwise.diagnosis.band import Band, expected_band
from rungwise.diagnosis.belief import Belief
from rungwise.diagnosis.explain import Explanation, explain
from rungwise.diagnosis.fault_table import CheckCard, FaultTable, SuspectCard
from rungwise.diagnosis.next_check import Advice, next_check
from rungwise.diagnosis.policies import half_splitting, most_likely_first
from rungwise.diagnosis.prices import PriceList
from rungwise.diagnosis.reading_model import Doubts, ReadingModel
from rungwise.diagnosis.verdict import Verdict, verdict

__all__ = [
    "Advice",
    "Band",
    "Belief",
    "CheckCard",
    "Doubts",
    "Explanation",
    "FaultTable",
    "PriceList",
    "ReadingModel",
    "SuspectCard",
    "Verdict",
    "expected_band",
    "explain",
    "half_splitting",
    "most_likely_first",
    "next_check",
    "verdict",
]
