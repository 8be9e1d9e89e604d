"""What is wrong, as far as the readings tell."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from rungwise.diagnosis.belief import Belief
from rungwise.diagnosis.fault_table import CheckCard, SuspectCard
from rungwise.diagnosis.ordering import best_order
from rungwise.diagnosis.prices import PriceList
from rungwise.diagnosis.wording import percent, reading_text, sentence, strength

__all__ = ["Answer", "Taken", "Verdict", "WrongPart", "most_likely_suspect", "verdict"]

TEMPTING = 0.05  # a part never believed above this tempted nobody
RUNNER_UP = 0.01
CLEARING_BITS = 1.0
DOUBTFUL_BITS = 2.0  # by which a reading fits anything better than the listed suspects


@dataclass(frozen=True, slots=True)
class Answer:
    """A repair with its probability.

    suspect: the most probable of the suspects that the repair puts right.
    """

    repair: str
    suspect: SuspectCard
    probability: float


@dataclass(frozen=True, slots=True)
class Taken:
    """A reading as taken. text: the outcome in words. bits: what it said about the matter."""

    check: CheckCard
    text: str
    bits: float


@dataclass(frozen=True, slots=True)
class WrongPart:
    """The part that would have been swapped for nothing.

    believed: its highest probability once the symptoms were known. now: its probability at the
    end. cleared_by: the readings that spoke against it, most telling first.
    """

    part: str
    believed: float
    now: float
    cleared_by: tuple[Taken, ...]

    def lines(self) -> list[str]:
        """In words, one thought a line."""
        told = [f"The wrong part would have been: {self.part} ({percent(self.believed)} at first)."]
        told += [
            f"{taken.check.title}: {taken.text} {strength(taken.bits)} it."
            for taken in self.cleared_by
        ]
        return told


@dataclass(frozen=True, slots=True)
class Verdict:
    """The answer of a call.

    kind: "found", "undecided" (several repairs are left), or "none_of_these" (nothing listed fits
    the readings). probability: of `answer`, or of none of these.
    answer: None for "none_of_these". runners_up: the other repairs not ruled out, likeliest first.
    try_order: when undecided, the order of trying repairs that costs least on average.
    doubtful: the readings that fit nothing; they should be taken again.
    wrong_part: what would have been swapped for nothing, None if no other part was ever likely.
    """

    kind: Literal["found", "undecided", "none_of_these"]
    probability: float
    answer: Answer | None
    runners_up: tuple[Answer, ...]
    try_order: tuple[Answer, ...]
    doubtful: tuple[Taken, ...]
    wrong_part: WrongPart | None

    def lines(self) -> list[str]:
        """In words, one thought a line."""
        told = [self._headline()]
        if self.kind == "found" and self.answer:
            told += _cause_lines(self.answer.suspect)
        if self.try_order:
            told.append("Least work on average: try in this order.")
            told += [
                f"{place}. {sentence(answer.suspect.repair_text)} ({percent(answer.probability)})"
                for place, answer in enumerate(self.try_order, start=1)
            ]
        elif self.runners_up:
            left = [
                f"{each.suspect.title} ({percent(each.probability)})" for each in self.runners_up
            ]
            told.append(f"Not ruled out: {'; '.join(left)}.")
        for taken in self.doubtful:
            told.append(f"{taken.check.title}: {taken.text} fits nothing known. Take it again.")
        return told + (self.wrong_part.lines() if self.wrong_part else [])

    def _headline(self) -> str:
        if self.kind == "none_of_these" or self.answer is None:
            return f"None of the listed faults fits the readings ({percent(self.probability)})."
        name = f"{self.answer.suspect.title} ({percent(self.probability)})"
        return f"Found: {name}." if self.kind == "found" else f"Not decided. Likeliest: {name}."


def verdict(
    belief: Belief, prices: PriceList | None = None, *, suspected: str | None = None
) -> Verdict:
    """What the readings so far amount to.

    suspected: the part that somebody took for the culprit. Without it the wrong part is the one
    that was most believed after the symptoms, besides the answer's.
    Raises `UnknownName` when no suspect sits in that part.
    """
    enough = (prices or PriceList()).enough_probability
    answers = _answers(belief)
    best, none = answers[0], belief.none_of_these
    doubtful = doubtful_readings(belief)
    if none > best.probability:
        return Verdict("none_of_these", none, None, (), (), doubtful, None)
    wrong = _wrong_part(belief, best.suspect.part, suspected)
    found = best.probability >= enough
    runners_up = tuple(each for each in answers[1:] if each.probability >= RUNNER_UP)
    return Verdict(
        kind="found" if found else "undecided",
        probability=best.probability,
        answer=best,
        runners_up=runners_up,
        try_order=() if found else _try_order((best, *runners_up)),
        doubtful=doubtful,
        wrong_part=wrong,
    )


def most_likely_suspect(belief: Belief, repair: str) -> SuspectCard:
    """The most probable of the suspects that a repair puts right. Raises `UnknownName`."""
    table = belief.table
    return table.suspects[int(belief.best_of_repair[table.by_repair.index(repair)])]


def doubtful_readings(belief: Belief) -> tuple[Taken, ...]:
    """The readings that fit nothing known, the oddest first. bits: by how much."""
    surprise = belief.surprise()
    odd = [at for at in np.argsort(-surprise) if surprise[at] >= DOUBTFUL_BITS]
    return tuple(_taken(belief, int(at), float(surprise[at])) for at in odd)


def _answers(belief: Belief) -> list[Answer]:
    return [
        Answer(repair, most_likely_suspect(belief, repair), probability)
        for repair, probability in belief.by_repair().items()
    ]


def _try_order(answers: tuple[Answer, ...]) -> tuple[Answer, ...]:
    order = best_order(
        [each.probability for each in answers], [each.suspect.repair_minutes for each in answers]
    )
    return tuple(answers[at] for at in order)


def _wrong_part(belief: Belief, right: str, suspected: str | None) -> WrongPart | None:
    parts = belief.table.by_part
    stages = np.array([stage.posterior(parts) for stage in _stages(belief)])
    peak = stages.max(axis=0)
    if suspected is None:
        others = np.where(np.array(parts.names) == right, -1.0, peak)
        at = int(np.argmax(others))
        if others[at] < TEMPTING:
            return None
    else:
        at = parts.index(suspected)
        if suspected == right:
            return None
    evidence = belief.evidence(parts)[:, at]
    against = [place for place in np.argsort(evidence) if evidence[place] <= -CLEARING_BITS]
    cleared_by = tuple(_taken(belief, int(place), float(evidence[place])) for place in against)
    return WrongPart(parts.names[at], float(peak[at]), float(stages[-1, at]), cleared_by)


def _stages(belief: Belief) -> list[Belief]:
    """The beliefs of the call from the moment when what can be seen and heard was known."""
    forms = [belief.table.checks[reading.check].form for reading in belief.readings]
    looks = next((at for at, form in enumerate(forms) if form == "number"), 0)
    return [belief.upto(count) for count in range(looks, len(forms) + 1)]


def _taken(belief: Belief, place: int, bits: float) -> Taken:
    reading = belief.readings[place]
    card = belief.table.checks[reading.check]
    return Taken(card, reading_text(card, reading.value), bits)


def _cause_lines(suspect: SuspectCard) -> list[str]:
    told = [sentence(text) for text in (suspect.cause_text, suspect.effect_text) if text]
    told.append(f"To do: {sentence(suspect.repair_text)}")
    if suspect.behind:
        told.append(f"Look behind it: {sentence(suspect.behind)}")
    return told
