"""Diagnosis: from readings to the culprit, and to the check worth making next."""

from __future__ import annotations

from rungwise.diagnosis.belief import Belief
from rungwise.diagnosis.fault_table import CheckCard, FaultTable, SuspectCard
from rungwise.diagnosis.next_check import Advice, next_check
from rungwise.diagnosis.prices import PriceList
from rungwise.diagnosis.reading_model import Doubts, ReadingModel

__all__ = [
    "Advice",
    "Belief",
    "CheckCard",
    "Doubts",
    "FaultTable",
    "PriceList",
    "ReadingModel",
    "SuspectCard",
    "next_check",
]
