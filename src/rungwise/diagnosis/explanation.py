"""Why the belief is what it is, in the trade's words."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rungwise.diagnosis.arrays import FloatArray
from rungwise.diagnosis.band import Band, expected_band
from rungwise.diagnosis.belief import Belief
from rungwise.diagnosis.fault_table import CheckCard, SuspectCard
from rungwise.diagnosis.shown import most_likely_suspect
from rungwise.diagnosis.wording import percent, reading_text, sentence, strength

WORTH_SAYING_BITS = 0.5
SUSPECTED = 0.02  # a repair below this, before and after a reading, is not spoken of


@dataclass(frozen=True, slots=True)
class Opinion:
    """What one reading said of one repair. bits: of evidence against all other repairs."""

    repair: str
    suspect: SuspectCard
    bits: float


@dataclass(frozen=True, slots=True)
class Told:
    """What one reading said.

    text: the outcome in words. opinions: those for, strongest first, then those against.
    surprise: bits by which it fits anything better than the listed suspects. impossible: whether
    no suspect gives it at all; a reading may well be odd and right.
    """

    check: CheckCard
    text: str
    opinions: tuple[Opinion, ...]
    surprise: float
    impossible: bool

    def lines(self) -> list[str]:
        """In words: the reading, then what it said of whom."""
        told = [f"{self.check.title}: {self.text}"]
        told += [f"  {strength(each.bits)}: {each.suspect.title}" for each in self.opinions]
        if not self.opinions:
            told.append("  says nothing of the suspects that are left")
        if self.impossible:
            told.append("  is not possible; retake it")
        return told


@dataclass(frozen=True, slots=True)
class Forecast:
    """What a repair that is still suspected would make the next check read."""

    repair: str
    suspect: SuspectCard
    probability: float
    band: Band

    def line(self) -> str:
        """In words: "24 to 27 V: contactor coil open (40%)"."""
        return f"{self.band.text}: {self.suspect.title} ({percent(self.probability)})"


@dataclass(frozen=True, slots=True)
class Explanation:
    """readings: in the order taken. next_check: None if none was asked about."""

    readings: tuple[Told, ...]
    next_check: CheckCard | None
    forecasts: tuple[Forecast, ...]

    def lines(self) -> list[str]:
        """In words, for a narrow terminal; deeper lines are indented by two."""
        told = [line for reading in self.readings for line in reading.lines()]
        if self.next_check:
            card = self.next_check
            told.append(f"Next: {sentence(card.title)}")
            told += [f"  {sentence(text)}" for text in (card.where, card.condition) if text]
            told += [f"  {each.line()}" for each in self.forecasts]
        return told


def explain(belief: Belief, next_check_id: str | None = None, *, at_most: int = 3) -> Explanation:
    """Why a belief is what it is, and what the next check would say.

    at_most: repairs spoken of on each side of a reading, and twice as many at the next check.
    Raises `UnknownName` for the check.
    """
    table = belief.table
    evidence = belief.evidence(table.by_repair)
    surprise = belief.surprise()
    readings = tuple(
        _told(belief, place, evidence[place], float(surprise[place]), at_most)
        for place in range(len(belief.readings))
    )
    if next_check_id is None:
        return Explanation(readings, None, ())
    card = table.check(next_check_id)
    return Explanation(readings, card, _forecasts(belief, next_check_id, 2 * at_most))


def _told(belief: Belief, place: int, evidence: FloatArray, surprise: float, at_most: int) -> Told:
    reading = belief.readings[place]
    card = belief.table.checks[reading.check]
    repairs = belief.table.by_repair
    around = [belief.upto(count).posterior(repairs) for count in (place, place + 1)]
    telling = (np.max(around, axis=0) >= SUSPECTED) & (np.abs(evidence) >= WORTH_SAYING_BITS)
    rising = [int(at) for at in np.argsort(evidence, kind="stable") if telling[at]]
    speaks_for = [at for at in reversed(rising) if evidence[at] > 0.0][:at_most]
    speaks_against = [at for at in rising if evidence[at] < 0.0][:at_most]
    opinions = tuple(_opinion(belief, at, evidence) for at in (*speaks_for, *speaks_against))
    text, out = reading_text(card, reading.value), belief.impossible(place)
    return Told(card, text, opinions, surprise, out)


def _opinion(belief: Belief, repair: int, evidence: FloatArray) -> Opinion:
    name = belief.table.by_repair.names[repair]
    return Opinion(name, most_likely_suspect(belief, name), float(evidence[repair]))


def _forecasts(belief: Belief, check_id: str, at_most: int) -> tuple[Forecast, ...]:
    left = [item for item in belief.by_repair().items() if item[1] >= SUSPECTED][:at_most]
    return tuple(
        Forecast(
            repair,
            most_likely_suspect(belief, repair),
            probability,
            expected_band(belief, check_id, repair),
        )
        for repair, probability in left
    )
