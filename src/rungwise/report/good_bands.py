"""What a good unit reads on each check of a call: the trade's limit, else the solved band.

The limits come first, as in the proof, so that a capacitor and a contact are judged by the same
figures before the repair and after it.
"""

from __future__ import annotations

from rungwise.diagnosis import Outcome, expected_band
from rungwise.faults import HEALTHY
from rungwise.services import CallDiagnosis
from rungwise.verification import ReadingLevel, good_limits, trade_bands

LEAST_SHARE = 0.1
"""A choice that a good unit gives less often than this is not what it gives."""


class GoodBands:
    """Of one call. Outcomes are those that could be made."""

    def __init__(self, answer: CallDiagnosis) -> None:
        self._start = answer.belief.upto(0)
        self._trade = trade_bands(answer.opened.unit, timed=False)
        table = self._start.table
        self._repair = table.suspects[table.suspect_index(HEALTHY)].repair

    def text(self, outcome: Outcome) -> str:
        """What a good unit reads, in words."""
        trade = self._trade.get(outcome.card.id)
        if trade is not None:
            return trade.text
        return expected_band(self._start, outcome.card.id, self._repair).text

    def level(self, outcome: Outcome) -> ReadingLevel:
        """Where an outcome stands; "again" where the model alone speaks against it."""
        trade = self._trade.get(outcome.card.id)
        if trade is not None and not isinstance(outcome.value, str):
            return trade.level(float(outcome.value or 0.0))
        return "good" if self._solved(outcome) else "again"

    def _solved(self, outcome: Outcome) -> bool:
        check = outcome.card.id
        if isinstance(outcome.value, str):
            spans = expected_band(self._start, check, self._repair).spans
            wanted = {int(low) for low, _, share in spans if share >= LEAST_SHARE}
            return outcome.card.choices.index(outcome.value) in wanted
        low, high = good_limits(self._start, check)
        return low <= float(outcome.value or 0.0) <= high
