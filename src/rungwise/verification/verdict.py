"""Whether the repair is proved: yes, not yet, or refused with the reason."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from rungwise.diagnosis import Belief, percent, sentence
from rungwise.verification.belief_after_repair import good_probability
from rungwise.verification.checking import Checked
from rungwise.verification.course import Course
from rungwise.verification.finding import Finding
from rungwise.verification.masked_faults import Hidden
from rungwise.verification.sights import Unseen
from rungwise.verification.worth import ENOUGH, OFF, Worth, anything_left, checks_worth_making
from rungwise.wording import joined, mark, say

ENOUGH_AT_THE_END = 0.90
"""The same where all that a proof has to see is seen and no check is left that tells anything."""

DOUBT = 0.5
"""A repair is refused when a good unit is believed in by less than this, and readings say so."""

AGAINST_BITS = 2.0
"""The readings must have lowered the odds of a good unit by this many bits to refuse."""

WORTH_NAMING = 0.002
MOST_NAMED = 6

Standing = Literal["proved", "not yet", "refused"]


@dataclass(frozen=True, slots=True)
class Remaining:
    """What may still be wrong. why: see `Hidden`. chance: with all readings."""

    hidden: Hidden
    chance: float

    @property
    def text(self) -> str:
        """In words."""
        why = {
            "recurs": mark("the repair itself"),
            "behind": mark("behind the repair"),
            "beside": mark("beside it"),
        }[self.hidden.why]
        return say(
            "{title} ({why}, {chance})",
            title=self.hidden.suspect.title,
            why=why,
            chance=percent(self.chance),
        )


@dataclass(frozen=True, slots=True)
class Proof:
    """The verdict on a repair.

    good: probability that no listed electrical fault is left. reasons: why it is refused, or what
    stands in the way of a proof.
    remaining: what is not ruled out, likeliest first. checks: each reading with its verdict.
    unseen: what was not looked at, with what withholds the proof first.
    findings: figures against limits, of electricity, refrigerant and air. worth: the checks still
    worth making. look_for: causes that no reading of the circuit can show. seen: names of what
    was seen and is as it should be.
    """

    standing: Standing
    good: float
    reasons: tuple[str, ...]
    remaining: tuple[Remaining, ...]
    checks: tuple[Checked, ...]
    findings: tuple[Finding, ...]
    worth: tuple[Worth, ...]
    look_for: tuple[str, ...]
    unseen: tuple[Unseen, ...] = ()
    seen: tuple[str, ...] = ()

    @property
    def whole(self) -> bool:
        """Whether all of the list was seen, so that it is proved that the unit does its work."""
        return self.standing == "proved" and not any(each.sight.needed for each in self.unseen)

    @property
    def headline(self) -> str:
        """The verdict and, of a proof, what it rests on; it never says that the unit is safe."""
        if self.standing != "proved":
            return self.said
        seen = (
            "" if self.whole else say(" Seen and good: {things}.", things=joined(", ", self.seen))
        )
        return joined("", (self.said, seen, self._not_measured()))

    @property
    def said(self) -> str:
        """The verdict alone."""
        share = percent(self.good)
        match self.standing:
            case "refused":
                return say("Refused: {reason}", reason=self.reasons[0])
            case "not yet":
                return say(
                    "Not verified yet ({share} that nothing is left, by what was read).",
                    share=share,
                )
            case "proved" if self.whole:
                return say(
                    "Repair verified by these readings: the unit does its work ({share}).",
                    share=share,
                )
            case "proved":
                front = mark("Repair verified by these readings")
                return say("{front}; that the unit does all its work is not.", front=front)

    def _not_measured(self) -> str:
        left = [each.text for each in self.unseen]
        return say(" Not measured: {things}.", things=joined(", ", left)) if left else ""


def standing(
    course: Course, findings: Sequence[Finding] = (), beside: Sequence[Unseen] = ()
) -> Standing:
    """Where the proof stands.

    findings: figures that stop it where they are refused. beside: what was not seen of things
    that the course does not know, such as the air.
    """
    levels = {each.level for each in findings} | {each.level for each in course.checked}
    doubtful = bool(course.doubtful) or "again" in {each.level for each in findings}
    if "refuse" in levels or (_spoken_against(course.belief) and _confirmed(course)):
        return "refused"
    if doubtful:
        return "not yet"  # one reading may be a slip: what it says counts once it is read again
    if any(each.withholds for each in (*course.unseen, *beside)):
        return "not yet"
    if course.good >= ENOUGH:
        return "proved"
    at_the_end = course.good >= ENOUGH_AT_THE_END and not anything_left(course)
    return "proved" if at_the_end else "not yet"


def proof_of(
    course: Course,
    hidden: Sequence[Hidden],
    findings: Sequence[Finding] = (),
    beside: Sequence[Unseen] = (),
) -> Proof:
    """The verdict, with what speaks for it and what is left to do.

    course: with the readings. hidden: what its belief was made of. findings, beside: as of
    `standing`.
    """
    stands = standing(course, findings, beside)
    remaining = tuple(_remaining(course.belief, hidden))
    unseen = sorted((*course.unseen, *beside), key=lambda each: not each.withholds)
    if stands == "refused":
        reasons = tuple(_refusing(course, remaining, findings))
    else:
        reasons = (*_waiting(course, unseen, findings), *_so_far(course, unseen, findings))
    if stands == "proved":
        reasons = ()
    return Proof(
        standing=stands,
        good=course.good,
        reasons=reasons,
        remaining=remaining,
        checks=course.checked,
        findings=tuple(findings),
        worth=checks_worth_making(course) if stands == "not yet" else (),
        look_for=tuple(_look_for(hidden)),
        unseen=tuple(unseen),
        seen=tuple(_seen(course, findings)),
    )


def _seen(course: Course, findings: Sequence[Finding]) -> Iterator[str]:
    """Names of what was seen and is as it should be."""
    well = {each.id for each in course.checked if each.good}
    out = {each.id for each in course.doubtful}
    yield from (it.name for it in course.sights if it.seen_by(well) and not out & {*it.checks})
    good = {each.id for each in findings if each.level == "good"}
    yield from (name for name in (mark("air split"), "superheat", "subcooling") if name in good)


def _spoken_against(belief: Belief) -> bool:
    good, before = good_probability(belief), good_probability(belief.upto(0))
    fell = _log2_odds(before) - _log2_odds(good)
    return good < DOUBT and fell >= AGAINST_BITS


def _confirmed(course: Course) -> bool:
    """Whether more than one reading in doubt speaks, or power may not be put on to read again.

    That is so while power was not on yet and the new fuse, breaker or overload would likely open.
    """
    if len(course.doubtful) != 1:
        return True
    if any(card.condition not in OFF for card in course.made):
        return False
    chance = course.belief.by_suspect()
    return sum(chance.get(name, 0.0) for name in course.opening) > DOUBT


def _log2_odds(probability: float) -> float:
    tiny = 1e-300
    return float(np.log2(max(probability, tiny)) - np.log2(max(1.0 - probability, tiny)))


def _remaining(belief: Belief, hidden: Sequence[Hidden]) -> Iterator[Remaining]:
    by_id = {each.suspect.id: each for each in hidden}
    ranked = [(name, p) for name, p in belief.by_suspect().items() if name in by_id]
    for name, chance in ranked[:MOST_NAMED]:
        if chance >= WORTH_NAMING:
            yield Remaining(by_id[name], chance)


def _refusing(
    course: Course, remaining: Sequence[Remaining], findings: Sequence[Finding]
) -> Iterator[str]:
    refused = [each for each in findings if each.level == "refuse"]
    yield from (each.text for each in sorted(refused, key=lambda each: each.id != "charge"))
    if _spoken_against(course.belief):
        yield _against(course, remaining)
        return
    for each in course.checked:
        if each.level == "refuse" and not any(_says(course, it, each.id) for it in refused):
            twice = "" if each.choice else mark(", read twice")
            yield f"{_odd(each)}{twice}."


def _says(course: Course, figure: Finding, check: str) -> bool:
    """Whether a figure says the same as a reading; amps of a motor say it of all that are read."""
    amps = any(
        card.id == check and card.clamped and card.setting == "calling" for card in course.made
    )
    return check in (figure.check, figure.id) or (amps and figure.unit == "A")


def _against(course: Course, remaining: Sequence[Remaining]) -> str:
    """Why the readings together speak against the repair."""
    odd = [_odd(each) for each in course.checked if not each.good]
    if course.belief.none_of_these > DOUBT:
        return say(
            "the readings fit neither a good unit nor a listed fault. {joined}", joined=_joined(odd)
        ).strip()
    if not remaining:
        return say("the readings do not fit a good unit. {joined}", joined=_joined(odd)).strip()
    return f"{_left_in(remaining[0])} {_joined(odd)}".strip()


def _waiting(
    course: Course, unseen: Sequence[Unseen], findings: Sequence[Finding]
) -> Iterator[str]:
    """What stands in the way of the proof, or nothing."""
    doubtful = {each.id for each in course.doubtful}
    for each in course.doubtful:
        yield say(
            "{odd}: take it again; out of its band a second time, it is refused.", odd=_odd(each)
        )
    again = [it for it in findings if it.level == "again"]
    yield from (it.text for it in again if not any(_says(course, it, each) for each in doubtful))
    left = [each.text for each in unseen if each.withholds and not doubtful & {*each.sight.checks}]
    if left:
        yield say("Not seen yet: {things}.", things=joined(", ", left))


def _so_far(course: Course, unseen: Sequence[Unseen], findings: Sequence[Finding]) -> Iterator[str]:
    """What is proved so far, and what nobody measured though no proof waits for it."""
    seen = list(_seen(course, findings))
    if seen:
        yield say("Seen and good so far: {things}.", things=joined(", ", seen))
    left = [each.text for each in unseen if not each.withholds]
    if left:
        yield say("Not measured either: {things}.", things=joined(", ", left))


def _left_in(likeliest: Remaining) -> str:
    if likeliest.chance > DOUBT:
        return say("{likeliest} is still there.", likeliest=likeliest.text)
    return say("a fault is still there, likeliest {likeliest}.", likeliest=likeliest.text)


def _odd(each: Checked) -> str:
    front = each.title if each.asks else say("{check} reads", check=each.title)
    return say("{front} {each}, good is {band}", front=front, each=each.text, band=each.band)


def _joined(told: Sequence[str]) -> str:
    return sentence(joined("; ", told)) if told else ""


def _look_for(hidden: Sequence[Hidden]) -> Iterator[str]:
    """What the trade looks for behind the likeliest of what was put right."""
    mended = [each.suspect.behind for each in hidden if each.why == "recurs"]
    yield from (text for text in mended[:1] if text)
