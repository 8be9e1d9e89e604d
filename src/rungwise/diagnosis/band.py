"""What a check should read if a certain repair is the right one."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rungwise.diagnosis.arrays import FloatArray, IntArray
from rungwise.diagnosis.belief import Belief
from rungwise.diagnosis.fault_table import CheckCard
from rungwise.diagnosis.wording import reading_text

__all__ = ["Band", "expected_band"]

TAIL = 0.05  # of the weight is left out at each end
WORTH_SAYING = 0.1  # rarer outcomes are not spoken of
GAP = 10.0  # meter errors without a particle make two bands of one
SPREAD = 3.0  # meter errors; a narrower band is said as one value


@dataclass(frozen=True, slots=True)
class Band:
    """The outcomes to expect, likeliest first.

    spans: (low, high, share) of each band of readings; both inf for OL; for a choice both are its
    number. text: the same in words, such as "24 to 27 V" or "OL, or 3 to 5 Ω".
    """

    spans: tuple[tuple[float, float, float], ...]
    text: str


def expected_band(belief: Belief, check_id: str, repair: str) -> Band:
    """What a check should read under a belief if `repair` is the answer.

    Raises `UnknownName` for the check or the repair.
    """
    table = belief.table
    check, group = table.check_index(check_id), table.by_repair.index(repair)
    rows = np.flatnonzero(table.by_repair.of_suspect[table.suspect_of] == group)
    weight = belief.forecast_weight()[rows]
    weight = weight / weight.sum() if weight.sum() > 0.0 else np.full(len(rows), 1.0 / len(rows))
    card = table.checks[check]
    if card.form == "choice":
        shares = weight @ table.choice_probability[check][rows]
        return _band(card, [(float(n), float(n), share) for n, share in enumerate(shares)], 0.0)
    sd = table.reading_sd[rows, check]
    spans = _number_spans(table.reading[rows, check], sd, weight)
    finite = np.isfinite(table.reading[rows, check])
    return _band(card, spans, float(sd[finite].min(initial=np.inf)))


def _number_spans(
    reading: FloatArray, sd: FloatArray, weight: FloatArray
) -> list[tuple[float, float, float]]:
    over = float(weight[np.isposinf(reading)].sum())
    spans = [(np.inf, np.inf, over)]
    finite = np.flatnonzero(np.isfinite(reading))
    rising = finite[np.argsort(reading[finite])]
    rising = rising[weight[rising] > 0.0]
    gaps = np.diff(reading[rising]) > GAP * np.maximum(sd[rising][1:], sd[rising][:-1])
    for rows in np.split(rising, np.flatnonzero(gaps) + 1):
        share = float(weight[rows].sum())
        if share > 0.0:
            spans.append((*_middle_part(reading, weight, rows), share))
    return spans


def _middle_part(reading: FloatArray, weight: FloatArray, rows: IntArray) -> tuple[float, float]:
    """The readings at the tails of some rows that rise in reading."""
    rise = np.cumsum(weight[rows])
    low, high = np.searchsorted(rise, [TAIL * rise[-1], (1.0 - TAIL) * rise[-1]])
    return float(reading[rows[low]]), float(reading[rows[min(high, len(rows) - 1)]])


def _band(card: CheckCard, spans: list[tuple[float, float, float]], sd: float) -> Band:
    likely = sorted(spans, key=lambda span: -span[2])
    kept = tuple(span for span in likely if span[2] >= WORTH_SAYING)
    if not kept:
        return Band((), "anything")
    return Band(kept, ", or ".join(_span_text(card, low, high, sd) for low, high, _ in kept))


def _span_text(card: CheckCard, low: float, high: float, sd: float) -> str:
    if np.isinf(low) or high - low <= SPREAD * sd:
        middle = low if np.isinf(low) else 0.5 * (low + high)
        return reading_text(card, middle, sd if np.isfinite(sd) else 0.0)
    first, last = reading_text(card, low, sd), reading_text(card, high, sd)
    number, _, unit = first.partition(" ")
    return f"{number if unit == last.partition(' ')[2] else first} to {last}"
