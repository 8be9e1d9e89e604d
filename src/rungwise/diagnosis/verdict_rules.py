"""What is wrong, as far as the readings tell."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
import numpy.typing as npt

from rungwise.diagnosis.accused_compressor import may_be_named
from rungwise.diagnosis.arrays import ranked
from rungwise.diagnosis.behind import causes_behind, owed_checks
from rungwise.diagnosis.belief import Belief
from rungwise.diagnosis.fault_table import CheckCard, SuspectCard
from rungwise.diagnosis.flagged import impossible, leans_on
from rungwise.diagnosis.healthy_proof import (
    NOT_READ_HERE,
    NOT_READ_IN_THE_COLD,
    NOT_STANDING_OUT,
    called_for_heat,
    odd_readings,
    proof_left,
    proof_of,
    seems_healthy,
    unseen,
)
from rungwise.diagnosis.prices import PriceList
from rungwise.diagnosis.shown import (
    DEAR_MINUTES,
    Confirmation,
    bears_weight,
    confirmation,
    deciding_check,
    most_likely_suspect,
    showing,
)
from rungwise.diagnosis.verdict_words import verdict_lines, wrong_part_lines
from rungwise.diagnosis.wording import reading_text
from rungwise.faults import HEALTHY

Kind = Literal["found", "suspected", "undecided", "none_of_these", "nothing_wrong_now"]

TEMPTING = 0.05  # a part never believed above this tempted nobody
RUNNER_UP = 0.01
CLEARING_BITS = 1.0
MOST_OF_NONE = 0.5
"""The most that is claimed where nothing listed fits: in 8 of 16 such calls of the other world
(seeds 405 to 407) the fault was a strange one or there were two; in the others it was listed, and
the model had missed what was there."""

WATCHED = 3  # of the faults that may come and go, told with an acquittal


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
        return wrong_part_lines(self)


@dataclass(frozen=True, slots=True)
class Verdict:
    """The answer of a call.

    kind: "found" (shown by a reading on the part itself, or nothing else is left), "suspected"
    (sure, but something is owed before the repair), "undecided" (several repairs are left),
    "none_of_these" (nothing listed fits the readings) or "nothing_wrong_now".
    probability: of `answer`, or of none of these, at most `MOST_OF_NONE`.
    answer: None for "none_of_these". runners_up: the other repairs not ruled out, likeliest first.
    try_order: when undecided, the order of trying repairs that costs least on average.
    shown: whether a reading on the answer's own part speaks for it.
    confirm: the reading on the part with which its repair begins, when it is not shown.
    first: checks owed before the repair may be done, in their order: what excludes a short before
    a reset or a new fuse, volts at unit and panel before the utility is called.
    again: the flagged reading that the answer rests on, to be taken again.
    causes: what may have brought the answer about, when it is an effect; likeliest first.
    watch: when nothing is wrong now, what may come and go. not_read: what the acquittal does not
    rest on. impossible readings stand in `doubtful`; they should be taken again.
    clashes: pairs of readings that cannot both be right.
    wrong_part: what would have been swapped for nothing, None if no other part was ever likely.
    """

    kind: Kind
    probability: float
    answer: Answer | None
    runners_up: tuple[Answer, ...]
    try_order: tuple[Answer, ...]
    doubtful: tuple[Taken, ...]
    wrong_part: WrongPart | None
    shown: bool = False
    confirm: Confirmation | None = None
    first: tuple[CheckCard, ...] = ()
    again: Taken | None = None
    causes: tuple[Answer, ...] = ()
    watch: tuple[Answer, ...] = ()
    not_read: tuple[str, ...] = ()
    clashes: tuple[tuple[Taken, Taken], ...] = ()

    @property
    def decided(self) -> bool:
        """Whether there is an answer to act on, be it that its repair begins with a reading."""
        return self.kind in ("found", "suspected", "nothing_wrong_now")

    def lines(self) -> list[str]:
        """In words, one thought a line."""
        return verdict_lines(self)


def verdict(
    belief: Belief,
    prices: PriceList | None = None,
    *,
    suspected: str | None = None,
    allowed: Collection[str] | None = None,
) -> Verdict:
    """What the readings so far amount to.

    suspected: the part that somebody took for the culprit. Without it the wrong part is the one
    that was most believed after the symptoms, besides the answer's.
    allowed: ids of the checks that can be made at all; None for every check of the table.
    Raises `UnknownName` when no suspect sits in that part.
    """
    prices = prices or PriceList()
    answers = _answers(belief)
    best, none = answers[0], belief.none_of_these
    doubtful = tuple(_taken(belief, at, 0.0) for at in impossible(belief))
    clashes = tuple(_pair(belief, *places) for places in belief.clashes())
    if none > best.probability:
        told = min(none, MOST_OF_NONE)
        return Verdict("none_of_these", told, None, (), (), doubtful, None, clashes=clashes)
    runners_up = tuple(each for each in answers[1:] if each.probability >= RUNNER_UP)
    plain = Verdict(
        kind="undecided",
        probability=best.probability,
        answer=best,
        runners_up=runners_up,
        try_order=(),
        doubtful=doubtful,
        wrong_part=_wrong_part(belief, best.suspect.part, suspected),
        clashes=clashes,
    )
    if seems_healthy(belief):
        return _of_healthy(belief, plain, allowed)
    if not may_be_named(belief, best.repair, prices, allowed):
        return replace(plain, try_order=_try_order((best, *runners_up)))
    return _named(belief, plain, best, prices.enough_probability, allowed)


def _of_healthy(belief: Belief, plain: Verdict, allowed: Collection[str] | None) -> Verdict:
    """An acquittal once its proof is complete as far as it can be."""
    healthy = next(each for each in _answers(belief) if each.suspect.id == HEALTHY)
    healthy = replace(healthy, probability=unseen(belief))
    odd = any(odd_readings(belief))
    if odd or proof_left(belief, allowed) or healthy.probability < NOT_STANDING_OUT:
        return replace(plain, try_order=_try_order((plain.answer or healthy, *plain.runners_up)))
    table, made = belief.table, {reading.check for reading in belief.readings}
    left_out = [c.title for c in proof_of(belief) if table.check_index(c.id) not in made]
    cold = (NOT_READ_IN_THE_COLD,) if called_for_heat(belief) else ()
    others = [plain.answer, *plain.runners_up]
    watch = [each for each in others if each is not None and each.suspect.id != HEALTHY]
    return replace(
        plain,
        kind="nothing_wrong_now",
        answer=healthy,
        probability=healthy.probability,
        runners_up=tuple(watch),
        watch=tuple(watch[:WATCHED]),
        not_read=(*left_out, *cold, *NOT_READ_HERE),
    )


def _named(
    belief: Belief, plain: Verdict, best: Answer, enough: float, allowed: Collection[str] | None
) -> Verdict:
    """A sure answer: found, or suspected while anything is owed before its repair."""
    suspect, is_shown = best.suspect, showing(belief, best.repair, allowed)
    owed = tuple(owed_checks(belief, suspect, allowed))
    again = leans_on(belief, best.repair, enough) if best.probability >= enough else None
    causes = _causes(belief, suspect) if suspect.is_effect else ()
    clear = is_shown and not owed and again is None
    hidden = sum(each.probability for each in causes) > 1.0 - enough
    confirm = None if is_shown else _confirmation(belief, best, allowed)
    if not is_shown and confirm is None and suspect.wrong_minutes >= DEAR_MINUTES:
        return replace(plain, try_order=_try_order((best, *plain.runners_up)), causes=causes)
    return replace(
        plain,
        kind="found" if clear and not hidden else "suspected",
        shown=is_shown,
        confirm=confirm,
        first=owed,
        again=None if again is None else _taken(belief, again, 0.0),
        causes=causes,
    )


def _confirmation(
    belief: Belief, best: Answer, allowed: Collection[str] | None
) -> Confirmation | None:
    """The reading on the part with which its repair begins."""
    card = deciding_check(belief, best.repair, lambda each: each.minutes + each.risk, allowed)
    if card is None:
        return None
    return confirmation(belief, card, best.repair, str(best.suspect.to_do))


def _causes(belief: Belief, effect: SuspectCard) -> tuple[Answer, ...]:
    return tuple(Answer(each.repair, each, share) for each, share in causes_behind(belief, effect))


def _pair(belief: Belief, one: int, other: int) -> tuple[Taken, Taken]:
    return _taken(belief, one, 0.0), _taken(belief, other, 0.0)


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


def best_order(probability: npt.ArrayLike, check_cost: npt.ArrayLike) -> list[int]:
    """The order of trying causes at the least expected cost: by probability per cost of the check.

    Heckerman, Breese and Rommelse, "Decision-theoretic troubleshooting", CACM 38(3), 1995 (from
    memory). probability, check_cost: float [causes], costs above 0.
    """
    worth = np.asarray(probability, dtype=np.float64) / np.asarray(check_cost, dtype=np.float64)
    return [int(at) for at in ranked(worth)]


def _wrong_part(belief: Belief, right: str, suspected: str | None) -> WrongPart | None:
    parts = belief.table.by_part
    stages = np.array([stage.posterior(parts) for stage in _stages(belief)])
    peak = stages.max(axis=0)
    if suspected is None:
        others = np.where(np.array(parts.names) == right, -1.0, peak)
        at = int(ranked(others)[0])
        if others[at] < TEMPTING:
            return None
    else:
        at = parts.index(suspected)
        if suspected == right:
            return None
    evidence = belief.evidence(parts)[:, at]
    against = [
        place
        for place in np.argsort(evidence)
        if evidence[place] <= -CLEARING_BITS and bears_weight(belief, int(place))
    ]
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
