"""Each reading after the repair, against what a good unit of this sort would read."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from rungwise.diagnosis import (
    Belief,
    CheckCard,
    FaultTable,
    IntArray,
    either,
    expected_band,
    reading_text,
)
from rungwise.faults import HEALTHY
from rungwise.verification.belief_after_repair import GOOD_REPAIR
from rungwise.verification.good_band import GoodBand, ReadingLevel, band_text
from rungwise.verification.sights import RUNS_ON
from rungwise.wording import mark, say

METER_ERRORS = 3.0
"""Standard deviations of the meter's error by which the band is widened at either end."""

SELDOM = 0.03
"""A choice that a good unit gives less often than this is not as it should be."""

WIDER = 0.6
"""By this share of its own width, on the scale that readings are judged on, a solved band is
widened at either end before a reading outside it is asked for again: it holds nine good specimens
in ten, from -1.6 to 1.6 standard deviations, and widened from -3.6 to 3.6."""


@dataclass(frozen=True, slots=True)
class Checked:
    """One reading with its verdict.

    text: the reading in words. band: what a good unit reads, in words. good: whether it lets the
    proof stand. level: see `ReadingLevel`; "caution" is good and told. choice: of a look.
    """

    id: str
    title: str
    text: str
    band: str
    good: bool
    level: ReadingLevel = "good"
    choice: str = ""

    def line(self) -> str:
        """In words."""
        front = self.title if self.asks else f"{self.title}:"
        if not self.good:
            return say(
                "{front} {text}, NOT as it should be; good is {band}",
                front=front,
                text=self.text,
                band=self.band,
            )
        if self.level == "caution":
            return say(
                "{front} {text}, it works; to maintenance, good is {band}",
                front=front,
                text=self.text,
                band=self.band,
            )
        band = "" if self.band == self.text else f" ({self.band})"
        return say("{front} {text}, as it should be{band}", front=front, text=self.text, band=band)

    @property
    def asks(self) -> bool:
        """Whether its title is a question."""
        return self.title.endswith("?")

    def read_again(self) -> Checked:
        """The same once it came out of its band a second time: it stops the proof."""
        return replace(self, level="refuse")


@dataclass(frozen=True, slots=True)
class ReadingLimits:
    """What one check is judged by after a repair, here and on a phone without signal.

    spans: of numbers, lowest, highest and the level there, the first that holds counts. choices:
    those of a look that are good. wrong: the level of everything else.
    """

    spans: tuple[tuple[float, float, ReadingLevel], ...] = ()
    choices: tuple[int, ...] = ()
    wrong: ReadingLevel = "again"

    def level(self, number: float) -> ReadingLevel:
        """Where a reading stands; a look by the number of its choice."""
        if number in self.choices:
            return "good"
        held = (level for low, high, level in self.spans if low <= number <= high)
        return next(held, self.wrong)


def limits_by_trade(band: GoodBand) -> ReadingLimits:
    """The trade's limits of a check."""
    good = (band.low, band.high, "good")
    return ReadingLimits((good, (band.least, band.most, "caution")))  # type: ignore[arg-type]


def limits_by_model(start: Belief, card: CheckCard) -> ReadingLimits:
    """What a good unit reads as solved. start: the belief before any reading."""
    # A unit that runs on with the thermostat off is left so by nobody.
    wrong: ReadingLevel = "refuse" if card.id == RUNS_ON else "again"
    if card.form == "choice":
        at = start.table.check_index(card.id)
        chances = start.table.choice_probability[at][good_rows(start.table)].mean(axis=0)
        good = np.flatnonzero(chances >= SELDOM)
        return ReadingLimits(choices=tuple(good.tolist()), wrong=wrong)
    spans = tuple(_wide_spans(start, card.id)) or ((-math.inf, math.inf),)
    return ReadingLimits(tuple((low, high, "good") for low, high in spans), wrong=wrong)


def checked_by_trade(card: CheckCard, value: float, band: GoodBand) -> Checked:
    """The verdict on a reading by the trade's limits."""
    level = limits_by_trade(band).level(value)
    text = reading_text(card, value)
    return Checked(card.id, card.title, text, band.text, level in ("good", "caution"), level)


def checked_by_model(start: Belief, card: CheckCard, value: float | str) -> Checked:
    """The verdict on a reading by the solved good unit. start: the belief before any reading."""
    number = float(card.choices.index(value)) if isinstance(value, str) else float(value)
    level = limits_by_model(start, card).level(number)
    good, band = level == "good", model_band_text(start, card)
    choice = value if isinstance(value, str) and card.form == "choice" else ""
    return Checked(card.id, card.title, reading_text(card, number), band, good, level, choice)


def model_band_text(start: Belief, card: CheckCard) -> str:
    """What a good unit reads as solved, in words; not finer than a meter shows."""
    if card.form == "choice":
        return _usual(start, card.id)
    spans = expected_band(start, card.id, GOOD_REPAIR).spans
    return either([band_text(card, low, high) for low, high, _ in spans]) or mark("anything")


def good_limits(start: Belief, check_id: str) -> tuple[float, float]:
    """The lowest and the highest reading of which nothing is said, in the check's unit.

    start: the belief before any reading. What a solved good unit reads, widened (`WIDER`) and by
    the meter's error; infinite for OL, and where nobody can say. Raises UnknownName for the check.
    """
    spans = tuple(_wide_spans(start, check_id)) or ((-math.inf, math.inf),)
    return min(low for low, _ in spans), max(high for _, high in spans)


def _usual(start: Belief, check_id: str) -> str:
    return expected_band(start, check_id, GOOD_REPAIR).text


def _wide_spans(start: Belief, check_id: str) -> Iterator[tuple[float, float]]:
    """The solved bands, wide enough that hardly a good unit reads outside; OL is a band itself."""
    at = start.table.check_index(check_id)
    sd = start.table.reading_sd[good_rows(start.table), at]
    error = METER_ERRORS * float(np.nanmin(sd, initial=np.inf))
    scale = start.model.scale
    for low, high, _ in expected_band(start, check_id, GOOD_REPAIR).spans:
        if math.isinf(low) or math.isinf(high):
            yield low, math.inf
            continue
        first, last = (float(scale.of_reading(at, each)) for each in (low, high))
        spare = WIDER * (last - first)
        least, most = scale.to_reading(at, first - spare), scale.to_reading(at, last + spare)
        yield float(least) - error, float(most) + error


def middle_of_good(belief: Belief, check_id: str) -> float:
    """What a number most likely reads on a good unit, by the belief; NaN where it cannot be read.

    The middle of the likeliest band of its readings, on the scale that readings are judged on.
    """
    at = belief.table.check_index(check_id)
    spans = expected_band(belief, check_id, GOOD_REPAIR).spans
    if not spans:
        return math.nan
    low, high, _ = spans[0]
    scale = belief.model.scale
    middle = 0.5 * (scale.of_reading(at, low) + scale.of_reading(at, high))
    return float(scale.to_reading(at, float(middle)))


def good_rows(table: FaultTable) -> IntArray:
    """Rows of the particles of a unit without a fault."""
    return np.flatnonzero(table.suspect_of == table.suspect_index(HEALTHY))
