"""Whether a fault is shown by a reading on the accused part, or only suspected.

A wrong part is bought on indirect evidence. A fault is *shown* when a reading taken on its very
block, of a quantity that shows it, speaks for it against a good unit; or when no such reading can
be made and nothing else is left. Until then it is suspected, and the first step of its repair is
that reading, with the numbers at which to go on and at which to stop.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass

from rungwise.circuit import FINE_VOLTS
from rungwise.diagnosis.band import Band, expected_band
from rungwise.diagnosis.belief import Belief
from rungwise.diagnosis.fault_table import CheckCard, SuspectCard
from rungwise.diagnosis.healthy_proof import healthy_repair, needs_running, stands
from rungwise.diagnosis.look_card import ON_CALL
from rungwise.diagnosis.prices import PriceList
from rungwise.diagnosis.wording import reading_text, sentence
from rungwise.faults import HEALTHY
from rungwise.wording import say

SPEAKS_FOR_NATS = math.log(3.0)
"""A reading shows a fault that makes it three times as likely as a good unit does."""

DEAR_MINUTES = 300.0
"""A part that costs this in vain is never named without a reading on it."""

LEFT_ALONE = 0.9
"""Probability of a block at which nothing else is left, where no reading on it can be made."""

PART_MINUTES = 90.0
UNREAD_ENOUGH = 0.97
"""Of a part that costs this in vain: how probable it is when it is named although nothing can be
read on it, by what was read around it."""

PLAIN_DROP_VOLT = 2.0
"""A drop above this speaks for itself; a smaller one only beside amps in the same lead, for
without current every contact reads next to nothing (common practice, no source)."""

CARRIES_AMP = 1.0

LEAST_AMP = 0.3
"""No amps show that a path is open somewhere, and nothing of the part that they would drive."""

SHARE_IN_REPAIR = 0.1
"""Suspects below this share of their repair are not what the repair is about."""

MOST_RIVALS = 8
NEAR_RIVALS = 2
LEAST_RIVAL = 0.01
MOST_NATS = 50.0

HUNDRED = 100.0

TELLS = 0.7
"""A check decides when at least this share of the fault's readings lies outside the good ones."""

Span = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Confirmation:
    """The reading on the accused part that comes before its repair.

    go, stop: the readings at which to go on with the repair and at which the part is good, as
    (low, high) with infinite ends; (inf, inf) is OL; for a choice both are its number. What lies
    in neither decides nothing. repair_text: what going on means.
    """

    check: CheckCard
    go: tuple[Span, ...]
    stop: tuple[Span, ...]
    repair_text: str

    def lines(self) -> list[str]:
        """In words: the reading, when to go on, when to stop."""
        go, stop = (
            ", or ".join(self._text(each) for each in part) for part in (self.go, self.stop)
        )
        told = [
            say(
                "First read, before anything is changed: {sentence}",
                sentence=sentence(self.check.title),
            )
        ]
        told.append(
            say(
                "{sentence}: go on, {repair_text}.",
                sentence=sentence(go)[:-1],
                repair_text=self.repair_text,
            )
        )
        if stop:
            told.append(
                say("{sentence}: stop, that is a good reading.", sentence=sentence(stop)[:-1])
            )
        return told

    def _text(self, span: Span) -> str:
        low, high = span
        if low == high:
            return reading_text(self.check, low)
        if low == -math.inf:
            return f"under {reading_text(self.check, high)}"
        if high == math.inf:
            return f"over {reading_text(self.check, low)}"
        return f"{reading_text(self.check, low)} to {reading_text(self.check, high)}"


def reads_directly(card: CheckCard, suspect: SuspectCard) -> bool:
    """Whether a check reads, on the suspect's own block, a quantity that shows its fault."""
    return card.quantity in suspect.shown_by and suspect.part in card.touches


def showing(belief: Belief, repair: str, allowed: Collection[str] | None = None) -> bool:
    """Whether the fault that a repair puts right is shown."""
    accused = _accused(belief, repair)
    if any(shows(belief, place, suspect) for suspect in accused for place in _places(belief)):
        return True
    best = most_likely_suspect(belief, repair)
    if best.shown_by and best.wrong_minutes >= DEAR_MINUTES:
        return False
    return not _direct(belief, accused, allowed) and _left_alone(belief, accused)


def sure_enough(
    belief: Belief, repair: str, prices: PriceList, allowed: Collection[str] | None = None
) -> bool:
    """Whether a repair may be named.

    An effect that is shown is as sure as it is with all that may stand behind it, and with what
    else may have opened the same part: what is read before it is put back is the same.
    """
    suspect, share = most_likely_suspect(belief, repair), belief.by_repair()[repair]
    if not suspect.is_effect and _out_of_reach(belief, repair, suspect, allowed):
        return share >= max(UNREAD_ENOUGH, prices.enough_probability)
    if share >= prices.enough_probability or not suspect.is_effect:
        return share >= prices.enough_probability
    together = _with_causes(belief, suspect)
    return together >= prices.enough_probability and showing(belief, repair, allowed)


def _out_of_reach(
    belief: Belief, repair: str, suspect: SuspectCard, allowed: Collection[str] | None
) -> bool:
    """Whether a dear part is accused that was not read on itself and cannot be any more."""
    dear = bool(suspect.shown_by) and suspect.wrong_minutes >= PART_MINUTES
    return dear and not _direct(belief, _accused(belief, repair), allowed)


def _with_causes(belief: Belief, effect: SuspectCard) -> float:
    """Probability of an effect, alone or behind its causes, and of its part's other faults."""
    return sum(
        share
        for name, share in belief.by_suspect().items()
        if effect.id == belief.table.suspect(name).cause_of
        or belief.table.suspect(name).part == effect.part
    )


def read_directly(belief: Belief, repair: str) -> int:
    """How many readings were taken on the accused part, of what shows its fault."""
    return len(_read_on(belief, repair))


def metered(belief: Belief, repair: str) -> bool:
    """Whether a meter was among them; a look that found nothing does not settle a part."""
    return any(card.form == "number" for card in _read_on(belief, repair))


def _read_on(belief: Belief, repair: str) -> list[CheckCard]:
    accused = _accused(belief, repair)
    cards = (belief.table.checks[reading.check] for reading in belief.readings)
    return [card for card in cards if any(reads_directly(card, each) for each in accused)]


def deciding_check(
    belief: Belief,
    repair: str,
    price: Callable[[CheckCard], float],
    allowed: Collection[str] | None = None,
) -> CheckCard | None:
    """The cheapest check not yet made whose reading would show the fault, or clear the part.

    price: of a check, minutes. None where there is none.
    """
    made = {reading.check for reading in belief.readings}
    direct = _direct(belief, _accused(belief, repair), allowed)
    still = stands(belief)
    open_ones = [
        card
        for card in direct
        if belief.table.check_index(card.id) not in made and not (still and needs_running(card))
    ]
    ranked = sorted(open_ones, key=lambda card: (price(card), card.live))
    return next((card for card in ranked if _tells(belief, card, repair)), None)


def confirmation(belief: Belief, card: CheckCard, repair: str, repair_text: str) -> Confirmation:
    """What a check reads where the repair is due and where the part is good, by the model."""
    alone = _alone(belief, _accused(belief, repair))
    fault, good = (_band(alone, card, name) for name in (repair, healthy_repair(belief.table)))
    if card.form == "choice":
        go = tuple(span for span in _spans(fault) if span not in _spans(good))
        return Confirmation(card, go, _spans(good), repair_text)
    stop = tuple(_tidy(span, from_nothing=card.quantity == "drop") for span in _spans(good))
    sides = (_side(span, stop) for span in map(_tidy, _spans(fault)))
    wrong = sorted({side for side in sides if side is not None and side not in stop})
    return Confirmation(card, tuple(wrong), stop, repair_text)


def bears_weight(belief: Belief, place: int) -> bool:
    """Whether a reading can clear or accuse anything by itself.

    Ghost volts of a 10 MΩ meter at rest cannot, nor can a drop without current.
    """
    reading = belief.readings[place]
    card = belief.table.checks[reading.check]
    if is_ghostly(card):
        return False
    small = card.instrument == FINE_VOLTS.name and abs(reading.value) < PLAIN_DROP_VOLT
    return not small or _carries(belief, card)


def is_ghostly(card: CheckCard) -> bool:
    """Whether a 10 MΩ meter reads a wire at rest, what follows the cable, the bundle and itself."""
    return card.quantity == "ghost"


def most_likely_suspect(belief: Belief, repair: str) -> SuspectCard:
    """The most probable of the suspects that a repair puts right. Raises `UnknownName`."""
    table = belief.table
    return table.suspects[int(belief.best_of_repair[table.by_repair.index(repair)])]


def _places(belief: Belief) -> range:
    return range(len(belief.readings))


def shows(belief: Belief, place: int, suspect: SuspectCard) -> bool:
    """Whether a reading on the suspect's own part accuses it, against a good one and its rivals."""
    card = belief.table.checks[belief.readings[place].check]
    if not reads_directly(card, suspect) or not bears_weight(belief, place):
        return False
    if card.unit == "A" and belief.readings[place].value < LEAST_AMP:
        return False
    if card.live and card.unit == "µF" and belief.readings[place].value == 0.0:
        return False  # no amps, or no volts to divide by: of a section that is not fed
    if healthy_repair(belief.table) is None:
        return False
    if belief.log_ratio(suspect.id, place, HEALTHY) < SPEAKS_FOR_NATS:
        return False
    # Whatever brings an effect about makes the same part read the same.
    return suspect.is_effect or _against_rivals(belief, place, suspect) >= SPEAKS_FOR_NATS


def _against_rivals(belief: Belief, place: int, suspect: SuspectCard) -> float:
    """How a reading speaks for a suspect against all that was likely elsewhere before it, nats.

    No amps in a lead of a unit without power say nothing of its motor, though a good one draws.
    """
    rivals = _rivals(belief.upto(place), suspect)
    if not rivals:
        return math.inf
    worse = (
        share * math.exp(min(-belief.log_ratio(suspect.id, place, name), MOST_NATS))
        for name, share in rivals.items()
    )
    return -math.log(max(sum(worse) / sum(rivals.values()), math.exp(-MOST_NATS)))


def _rivals(belief: Belief, suspect: SuspectCard) -> dict[str, float]:
    """What was likeliest on other blocks; not what brings this very fault about."""
    found: dict[str, float] = {}
    for name, share in belief.by_suspect().items():
        card = belief.table.suspect(name)
        if len(found) == MOST_RIVALS or share < LEAST_RIVAL:
            break
        if card.part != suspect.part and card.cause_of != suspect.id:
            found[name] = share
    return found


def _carries(belief: Belief, drop: CheckCard) -> bool:
    """Whether current was read in the same lead on the call: of the wire itself, or of a motor."""
    table = belief.table
    own = {card.id for card in table.checks if _amps_on_call(card) and _meet(card, drop)}
    taken = [(table.checks[each.check], each.value) for each in belief.readings]
    through = [
        value for card, value in taken if _amps_on_call(card) and (not own or card.id in own)
    ]
    return any(value >= CARRIES_AMP for value in through)


def _amps_on_call(card: CheckCard) -> bool:
    return card.quantity in ("amps", "held_amps") and card.condition == ON_CALL


def _meet(one: CheckCard, other: CheckCard) -> bool:
    return bool(set(one.touches) & set(other.touches))


def _accused(belief: Belief, repair: str) -> list[SuspectCard]:
    """The suspects that the repair is about, those with a fair share of its probability."""
    table, believed = belief.table, belief.by_suspect()
    members = [suspect for suspect in table.suspects if suspect.repair == repair]
    most = sum(believed[suspect.id] for suspect in members)
    return [each for each in members if believed[each.id] >= SHARE_IN_REPAIR * most]


def _direct(
    belief: Belief, accused: list[SuspectCard], allowed: Collection[str] | None
) -> list[CheckCard]:
    reach = [card for card in belief.table.checks if allowed is None or card.id in allowed]
    return [card for card in reach if any(reads_directly(card, each) for each in accused)]


def _left_alone(belief: Belief, accused: list[SuspectCard]) -> bool:
    parts = belief.table.by_part
    believed = belief.posterior(parts)
    return any(believed[parts.index(each.part)] >= LEFT_ALONE for each in accused)


def _tells(belief: Belief, card: CheckCard, repair: str) -> bool:
    """Whether the fault of a repair mostly reads otherwise than a good unit and than its rivals.

    By what each makes the check read on a unit of which nothing has been read yet.
    """
    suspect = most_likely_suspect(belief, repair)
    rivals = [belief.table.suspect(name) for name in _rivals(belief, suspect)]
    near = [each for each in rivals if each.repair != repair][:NEAR_RIVALS]
    alone = _alone(belief, [suspect, *near])
    fault = expected_band(alone, card.id, repair)
    others = dict.fromkeys(each.repair for each in (*near, *_healthy(belief)))
    return all(_apart(fault, expected_band(alone, card.id, other)) >= TELLS for other in others)


def _alone(belief: Belief, suspects: Sequence[SuspectCard]) -> Belief:
    """The belief before any reading in which only these suspects and the good unit are left."""
    kept = {each.id for each in (*suspects, *_healthy(belief))}
    weights = {each.id: float(each.id in kept) for each in belief.table.suspects}
    return Belief.start(belief.model, weights)


def _healthy(belief: Belief) -> list[SuspectCard]:
    return [each for each in belief.table.suspects if each.id == HEALTHY]


def _apart(fault: Band, other: Band) -> float:
    """The share of one band that lies outside the other."""
    return sum(
        share
        for low, high, share in fault.spans
        if not any(low <= top and bottom <= high for bottom, top, _ in other.spans)
    )


def _band(belief: Belief, card: CheckCard, repair: str | None) -> Band:
    return expected_band(belief, card.id, repair) if repair else Band((), "")


def _spans(band: Band) -> tuple[Span, ...]:
    return tuple((low, high) for low, high, _ in band.spans)


def _tidy(span: Span, *, from_nothing: bool = False) -> Span:
    """A band as it is said: nothing below nothing, and no digits that no meter shows."""
    low, high = (_two_digits(end) for end in span)
    return (-math.inf if (from_nothing or low <= 0.0) and high > low else low), high


def _two_digits(value: float) -> float:
    if not math.isfinite(value) or value == 0.0:
        return value
    return round(value, (1 if abs(value) < HUNDRED else 2) - math.floor(math.log10(abs(value))))


def _side(span: Span, good: Sequence[Span]) -> Span | None:
    """On which side of the good readings a fault's readings lie, to halfway between; None: in it.

    An open circuit stays OL; what is good only when it is OL is bad up to the fault's own end.
    """
    low, high = span
    finite = [each for each in good if each[1] < math.inf]
    if math.isinf(low) and low > 0.0:
        return span
    if not finite:
        return -math.inf, high
    bottom, top = min(each[0] for each in finite), max(each[1] for each in finite)
    if high <= bottom:
        return -math.inf, _halfway(high, bottom)
    return (_halfway(top, low), math.inf) if low >= top else None


def _halfway(near: float, far: float) -> float:
    """Halfway between two readings as meters err: by a share of the reading."""
    middle = math.sqrt(near * far) if near > 0.0 else 0.5 * far
    return min(max(_two_digits(middle), near), far)
