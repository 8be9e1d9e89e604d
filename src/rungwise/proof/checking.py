"""Each reading after the repair, against what a good unit of this sort would read."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from rungwise.diagnosis.arrays import IntArray
from rungwise.diagnosis.band import expected_band
from rungwise.diagnosis.belief import Belief
from rungwise.diagnosis.fault_table import FaultTable
from rungwise.diagnosis.reading_model import Reading
from rungwise.diagnosis.wording import reading_text
from rungwise.proof.belief_after import GOOD_REPAIR
from rungwise.suspects.suspect_set import HEALTHY

__all__ = ["Checked", "checked", "good_limits"]

LOW_SHARE, HIGH_SHARE = 0.025, 0.975
"""The band holds 95 in 100 good specimens, before the meter's error."""

METER_ERRORS = 2.0
"""Standard deviations of the meter's error by which the band is widened at either end."""

SELDOM = 0.03
"""A choice that a good unit gives less often than this is not as it should be."""


@dataclass(frozen=True, slots=True)
class Checked:
    """One reading with its verdict.

    text: the reading in words. band: what a good unit reads, in words. good: whether it is in it.
    """

    id: str
    title: str
    text: str
    band: str
    good: bool

    def line(self) -> str:
        """In words."""
        front = self.title if self.asks else f"{self.title}:"
        if not self.good:
            return f"{front} {self.text}, NOT as it should be; good is {self.band}"
        band = "" if self.band == self.text else f" ({self.band})"
        return f"{front} {self.text}, as it should be{band}"

    @property
    def asks(self) -> bool:
        """Whether its title is a question."""
        return self.title.endswith("?")


def checked(belief: Belief) -> tuple[Checked, ...]:
    """The verdict on every reading that the belief was given."""
    return tuple(_each(belief))


def _each(belief: Belief) -> Iterator[Checked]:
    table, start = belief.table, belief.upto(0)
    for reading in belief.readings:
        card = table.checks[reading.check]
        yield Checked(
            card.id,
            card.title,
            reading_text(card, reading.value),
            expected_band(start, card.id, GOOD_REPAIR).text,
            _as_on_a_good_unit(table, reading),
        )


def good_limits(table: FaultTable, check_id: str) -> tuple[float, float]:
    """The lowest and the highest reading that a good unit gives, in the check's unit.

    The band of the solved circuit over tolerances and supply volts, widened by the meter's error.
    Infinite for OL. Raises UnknownName for the check.
    """
    at = table.check_index(check_id)
    rows = _good_rows(table)
    reading, sd = table.reading[rows, at], table.reading_sd[rows, at]
    reading, sd = reading[~np.isnan(reading)], sd[~np.isnan(reading)]
    if not len(reading):
        return -np.inf, np.inf
    low, high = np.quantile(reading, (LOW_SHARE, HIGH_SHARE), method="inverted_cdf").tolist()
    error = METER_ERRORS * float(sd.max())
    return low - error, high + error


def _as_on_a_good_unit(table: FaultTable, reading: Reading) -> bool:
    card = table.checks[reading.check]
    if card.form == "choice":
        chances = table.choice_probability[reading.check][_good_rows(table)].mean(axis=0)
        return bool(chances[int(reading.value)] >= SELDOM)
    low, high = good_limits(table, card.id)
    return low <= reading.value <= high


def _good_rows(table: FaultTable) -> IntArray:
    return np.flatnonzero(table.suspect_of == table.suspect_index(HEALTHY))
