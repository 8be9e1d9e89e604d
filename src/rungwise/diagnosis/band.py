"""What a check should read if a certain repair is the right one."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.special import ndtri

from rungwise.diagnosis.arrays import FloatArray
from rungwise.diagnosis.belief import Belief
from rungwise.diagnosis.fault_table import CheckCard
from rungwise.diagnosis.foresight import Foresight
from rungwise.diagnosis.wording import either, reading_text
from rungwise.wording import mark, say

TAIL = 0.05  # of the weight is left out at each end
ROUNDING = 1e-9
WORTH_SAYING = 0.1  # rarer outcomes are not spoken of
GAP = 0.25  # on the scale, without a reading, makes two bands of one
GAP_ERRORS = 1.5  # and at least so many deviations of what is foretold
SPREAD = 3.0  # meter errors; a narrower band is said as one value
POINTS = ndtri((np.arange(9) + 0.5) / 9)  # by which each normal is laid out


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
    weight = belief.particle_weight()[0][rows]
    weight = weight / weight.sum() if weight.sum() > 0.0 else np.full(len(rows), 1.0 / len(rows))
    card = table.checks[check]
    if card.form == "choice":
        shares = weight @ table.choice_probability[check][rows]
        return _band(card, [(float(n), float(n), share) for n, share in enumerate(shares)], 0.0)
    foresight = belief.foresee(rows, np.array([check]))
    spans = _number_spans(foresight, weight)
    sd = table.reading_sd[rows, check]
    finite = np.isfinite(table.reading[rows, check])
    return _band(card, spans, float(sd[finite].min(initial=np.inf)))


def _number_spans(foresight: Foresight, weight: FloatArray) -> list[tuple[float, float, float]]:
    """Bands of a check's readings, from the normals laid out in points."""
    scale, check = foresight.model.scale, int(foresight.checks[0])
    z = (foresight.mean + foresight.sd * POINTS).ravel()
    share = np.repeat(weight / len(POINTS), len(POINTS))
    over = z > scale.top[check]
    # Of a path that is open nearly every reading is OL; the few below it are of insulation, and of
    # no ohms that a circuit of the table has.
    open_path = foresight.mean[:, 0] > scale.top[check]
    over |= np.isposinf(z) | np.repeat(open_path, len(POINTS))
    spans = [(np.inf, np.inf, float(share[over].sum()))]
    rising = np.flatnonzero(~over & np.isfinite(z) & (share > 0.0))
    rising = rising[np.argsort(z[rising])]
    gap = max(GAP, GAP_ERRORS * float(weight @ foresight.sd[:, 0]))
    for rows in np.split(rising, np.flatnonzero(np.diff(z[rising]) > gap) + 1):
        total = float(share[rows].sum())
        if total > 0.0:
            low, high = _middle_part(z[rows], share[rows])
            # No meter here shows less than nothing, or more than any circuit of the table gives; a
            # wide normal around a small or a large reading would.
            ends = np.minimum([low, high], scale.most[check])
            ends = np.maximum(scale.to_reading(check, ends), 0.0).tolist()
            spans.append((ends[0], ends[1], total))
    return spans


def _middle_part(rising: FloatArray, share: FloatArray) -> tuple[float, float]:
    """The values at the tails of some that rise."""
    rise = np.cumsum(share)
    ends = np.array([TAIL, 1.0 - TAIL]) - ROUNDING  # shares alike must not fall by rounding
    low, high = np.searchsorted(rise, ends * rise[-1])
    return float(rising[low]), float(rising[min(high, len(rising) - 1)])


def _band(card: CheckCard, spans: list[tuple[float, float, float]], sd: float) -> Band:
    likely = sorted(spans, key=lambda span: -span[2])
    kept = tuple(span for span in likely if span[2] >= WORTH_SAYING - ROUNDING)
    if not kept:
        return Band((), mark("anything"))
    return Band(kept, either([_span_text(card, low, high, sd) for low, high, _ in kept]))


def _span_text(card: CheckCard, low: float, high: float, sd: float) -> str:
    if np.isinf(low) or high - low <= SPREAD * sd:
        middle = low if np.isinf(low) else 0.5 * (low + high)
        return reading_text(card, middle, sd if np.isfinite(sd) else 0.0)
    first, last = reading_text(card, low, sd), reading_text(card, high, sd)
    if first == last:
        return first
    if low <= 0.0:
        return say("up to {last}", last=last)
    number, _, unit = first.partition(" ")
    return say(
        "{low} to {high}", low=number if unit == last.partition(" ")[2] else first, high=last
    )
