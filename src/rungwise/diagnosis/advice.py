"""Which check to make next, and when to stop measuring.

Greedy information per minute (de Kleer and Williams 1987 for the information, Heckerman, Breese
and Rommelse 1995 for costs and stopping), with a second step of look-ahead for the few best
checks when the belief is small enough to afford it. Before it stops, what is owed comes first: a
reading on the accused part itself, what excludes a short behind an effect, a flagged reading that
the answer rests on. A unit that seems healthy gets its own short proof, and an end.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass

from rungwise.diagnosis.accused_compressor import may_be_named
from rungwise.diagnosis.behind import owed_checks
from rungwise.diagnosis.belief import Belief
from rungwise.diagnosis.candidate import Candidate
from rungwise.diagnosis.fault_table import CheckCard
from rungwise.diagnosis.flagged import leans_on
from rungwise.diagnosis.healthy_proof import (
    ACQUITTED,
    called_for_heat,
    checks_made,
    in_the_weather,
    needs_running,
    odd_readings,
    proof_left,
    read_again,
    runs_on,
    seems_healthy,
    stands,
    unseen,
)
from rungwise.diagnosis.likely_slip import likely_slip
from rungwise.diagnosis.look_ahead import LookAhead
from rungwise.diagnosis.look_card import LOOKING
from rungwise.diagnosis.prices import PriceList
from rungwise.diagnosis.season import resting_till_summer
from rungwise.diagnosis.shown import (
    deciding_check,
    is_ghostly,
    metered,
    most_likely_suspect,
    read_directly,
    reads_directly,
    showing,
)
from rungwise.diagnosis.value_of_information import Outlook

ROUGH_PARTICLES = 2000
FULL_CHECKS = 32
MOST_READINGS = 25
"""No call is worth more; what is not decided by then is said to be undecided."""

SURE = "sure enough to act"
NOTHING_LEFT = "nothing left that would tell"
WORTH_MEASURING = "worth measuring"
SHOW_FIRST = "a reading on the part itself comes first"
OWED_FIRST = "a reading owed before the repair comes first"
AGAIN = "the answer rests on a reading to take again"
SLIP = "a reading that is likely a slip"
PROOF = "the proof that nothing is wrong"
PROVED = "nothing wrong now"
ENOUGH_MEASURED = "as many readings as a call is worth"

WORTH_SHOWING = 0.15
"""Probability from which a repair is read on its own part before the call is given up."""

READ_MINUTES = 100.0
"""What a repair in vain costs from which the very part is read first: a contactor, a board."""

LIKELY = 0.5
"""Probability from which the call is about one repair."""

MOST_DIRECT = 6
"""Readings on the accused part itself, after which it is not asked for another."""

MOST_OF_HEALTHY = 8
"""Checks after which a unit that seems healthy is let go once its proof is complete and what was
read leaves no fault that stands out."""

MOST_STILL_OPEN = 12
"""Checks after which a unit that can neither be let go nor be accused is left undecided."""

TELLS_ALONE = 0.1
"""Bits of a single check at which none is looked for that tells only beside another."""

TELLS_ANYTHING = 0.002
"""Bits under which a reading on an accused part is not worth the way to it."""

TELLS_AN_EYE = 0.15
"""Bits from which a plunger is looked at before a unit that seems healthy is let go, and from which
a check is made where the call would end with no repair more likely than all others together."""

TELLS_MUCH = 0.3
"""Bits from which a check is made before a call ends with the likeliest part itself unread, or with
one repair nearly sure."""

NEARLY = 0.8
"""Probability from which a repair is nearly sure."""

FIRST_BY_RATE = 6
DECISIVE = 2
"""Of the checks looked beyond: by information per minute, and by what they leave to lose."""

STOPS = frozenset({SURE, NOTHING_LEFT, PROVED, ENOUGH_MEASURED})


@dataclass(frozen=True, slots=True)
class Advice:
    """What to do next.

    stop: act (or give up measuring) instead of making `check`. why: one of `STOPS`, or why the
    check is made: `WORTH_MEASURING` for what it tells, or what is owed before acting.
    act_cost: expected minutes lost by acting on the most probable repair now.
    open_bits: how much about the repair is still unknown.
    candidates: all checks that could be made, best first.
    """

    stop: bool
    why: str
    act_cost: float
    open_bits: float
    candidates: tuple[Candidate, ...]

    @property
    def check(self) -> CheckCard | None:
        """The check to make, or None when measuring should stop."""
        return None if self.stop else self.candidates[0].check


def next_check(
    belief: Belief,
    prices: PriceList | None = None,
    *,
    allowed: Collection[str] | None = None,
    look_ahead: bool = True,
) -> Advice:
    """The best next check under a belief, or the advice to stop.

    allowed: ids of the checks that can be made at all; None for every check of the table.
    """
    call = _Call.of(belief, prices or PriceList(), allowed)
    if len(belief.readings) >= MOST_READINGS:
        return call.stopping(ENOUGH_MEASURED)
    slip = None if call.sure else _slipped(call)
    if slip is not None:
        return slip
    if seems_healthy(belief):
        return _of_healthy(call)
    if call.sure:
        return _owed(call) or _sure(call)
    return _unsure(call, look_ahead=look_ahead)


def open_checks(belief: Belief, allowed: Collection[str] | None = None) -> list[int]:
    """Columns of the checks not yet made. Raises `UnknownName` for an unknown one in `allowed`."""
    table = belief.table
    made = {reading.check for reading in belief.readings}
    columns = range(len(table.checks)) if allowed is None else map(table.check_index, allowed)
    return sorted(column for column in columns if column not in made)


def last_set_up(belief: Belief) -> CheckCard | None:
    """The last check that brought the unit into a condition; a look leaves it as it was."""
    taken = (belief.table.checks[reading.check] for reading in reversed(belief.readings))
    return next((card for card in taken if card.condition != LOOKING), None)


def _tells_now(belief: Belief, check: int) -> bool:
    """Whether a check can be asked for: no ghost volts, nothing under load while it stands."""
    card = belief.table.checks[check]
    return not is_ghostly(card) and not (needs_running(card) and stands(belief))


def _in_the_cold(belief: Belief) -> frozenset[str]:
    """What is not asked for on a call for heat: what the day's air makes of a unit that cools.

    That air is not told, and is colder than any that the readings are foretold for. Nor what rests
    until summer, unless it was seen to run.
    """
    if not called_for_heat(belief):
        return frozenset()
    rests = frozenset() if runs_on(belief) else resting_till_summer(belief.table)
    return in_the_weather(belief.table) | rests


@dataclass(frozen=True, slots=True, eq=False)
class _Call:
    """Where a call stands.

    repair: the most probable one. best: its probability. sure: whether it may be named. prices:
    with what acting now costs in vain. ranked: candidates by information per minute; of equals,
    dead checks first.
    """

    belief: Belief
    outlook: Outlook
    prices: PriceList
    allowed: Collection[str] | None
    repair: str
    best: float
    sure: bool
    ranked: list[Candidate]

    @classmethod
    def of(cls, belief: Belief, prices: PriceList, allowed: Collection[str] | None) -> _Call:
        outlook = Outlook.of(belief)
        repair, _ = belief.best_repair()
        sure, best = may_be_named(belief, repair, prices, allowed), float(outlook.best[0])
        prices = prices.of_repair(most_likely_suspect(belief, repair))
        cold, cards = _in_the_cold(belief), belief.table.checks
        warm = (at for at in open_checks(belief, allowed) if cards[at].id not in cold)
        open_ones = [at for at in warm if _tells_now(belief, at)]
        ranked = _ranked(belief, outlook, open_ones, prices)
        return cls(belief, outlook, prices, allowed, repair, best, sure, ranked)

    def stopping(self, why: str) -> Advice:
        return self._advice(why, self.ranked, stop=True)

    def measuring(self, ranked: Sequence[Candidate], why: str = WORTH_MEASURING) -> Advice:
        return self._advice(why, ranked, stop=False)

    def telling(self, bits: float, most_minutes: float = math.inf) -> Advice | None:
        """To make what tells so many bits or more in time, best first; None where nothing does."""
        open_ones = (each for each in self.ranked if each.minutes <= most_minutes)
        told = [each for each in open_ones if each.bits >= bits]
        return self.measuring(told) if told else None

    def making(self, card: CheckCard, why: str) -> Advice:
        """To make this check before all others."""
        known = next((each for each in self.ranked if each.check is card), None)
        first = known or Candidate.of(
            card, last_set_up(self.belief), self.prices, bits=0.0, best_after=self.best
        )
        return self.measuring([first, *(each for each in self.ranked if each is not first)], why)

    def retaking(self, place: int, why: str) -> Advice | None:
        """To take the reading at a place of the belief's again; None where it is out of reach."""
        card = self.belief.table.checks[self.belief.readings[place].check]
        in_reach = self.allowed is None or card.id in self.allowed
        return self.making(card, why) if in_reach else None

    def minutes(self, card: CheckCard) -> float:
        return self.prices.price(card, last_set_up(self.belief))

    def worth(self, candidate: Candidate) -> bool:
        """Whether a check informs at a fair rate, or by itself saves more than it costs."""
        unknown = float(self.outlook.entropy_bits[0])
        act_cost = self.prices.wrong_repair(self.best)
        saves = candidate.cost < act_cost
        return saves or self.prices.informs(
            candidate.bits, candidate.effort, unknown=unknown, act_cost=act_cost
        )

    def deciding(self, repair: str) -> CheckCard | None:
        """The check that would show a repair's fault, where it is cheap beside doing it in vain."""
        card = deciding_check(self.belief, repair, self.minutes, self.allowed)
        prices = self.prices.of_repair(most_likely_suspect(self.belief, repair))
        return card if card is not None and prices.shows_cheaply(self.minutes(card)) else None

    def _advice(self, why: str, ranked: Sequence[Candidate], *, stop: bool) -> Advice:
        act_cost = self.prices.wrong_repair(self.best)
        return Advice(stop, why, act_cost, float(self.outlook.entropy_bits[0]), tuple(ranked))


def _slipped(call: _Call) -> Advice | None:
    """The reading that is likely a slip, once more while the meter is there."""
    slip = likely_slip(call.belief)
    return call.retaking(slip.place, SLIP) if slip is not None else None


def _of_healthy(call: _Call) -> Advice:
    """The proof that a working unit is judged by, its most telling reading first, and an end."""
    left = {card.id for card in proof_left(call.belief, call.allowed)}
    first = next((each for each in call.ranked if each.check.id in left), None)
    if first:
        return call.making(first.check, PROOF)
    odd = read_again(call.belief, call.allowed)
    if odd:
        return call.making(odd, AGAIN)
    # A single contactor is no part of the batch: it is looked at where somebody has heard it.
    heard = next((each for each in call.ranked if each.check.thing == "plunger"), None)
    if heard is not None and heard.bits >= TELLS_AN_EYE:
        return call.making(heard.check, WORTH_MEASURING)
    further = _by_worth(call, look_ahead=False)
    acquitted = unseen(call.belief) >= ACQUITTED and not any(odd_readings(call.belief))
    if acquitted and checks_made(call.belief) >= MOST_OF_HEALTHY:
        return call.stopping(PROVED)
    if further.stop and not acquitted:
        further = _still_open(call) or further
    return call.stopping(PROVED) if further.stop else further


def _still_open(call: _Call) -> Advice | None:
    """What tells most, where a unit that seems healthy can neither be let go nor be accused.

    Many faults that are each seldom may be likelier together than nothing wrong: a drop on the way
    to the unit lies in one of a dozen poles and joints.
    """
    in_time = checks_made(call.belief) < MOST_STILL_OPEN
    return call.telling(TELLS_ALONE) if in_time else None


def _owed(call: _Call) -> Advice | None:
    """What must come before a sure answer is acted on; None when nothing is owed."""
    belief, repair = call.belief, call.repair
    if not showing(belief, repair, call.allowed) and read_directly(belief, repair) < MOST_DIRECT:
        card = call.deciding(repair) or _unread(call)
        if card is not None:
            return call.making(card, SHOW_FIRST)
    owed = owed_checks(belief, most_likely_suspect(belief, repair), call.allowed)
    if owed:
        return call.making(owed[0], OWED_FIRST)
    at = leans_on(belief, repair, call.prices.enough_probability)
    return call.retaking(at, AGAIN) if at is not None else None


def _unread(call: _Call) -> CheckCard | None:
    """The most telling reading on a part itself, where none was taken and none would decide.

    Without one a dear part is not named at all, and the call would end there; nor is a contactor
    or a board changed for what other parts read.
    """
    suspect = most_likely_suspect(call.belief, call.repair)
    if suspect.wrong_minutes < READ_MINUTES or read_directly(call.belief, call.repair):
        return None
    telling = (each.check for each in call.ranked if each.bits >= TELLS_ANYTHING)
    return next((card for card in telling if reads_directly(card, suspect)), None)


def _sure(call: _Call) -> Advice:
    """Act when measuring once more costs more than it is expected to save."""
    act_cost = call.prices.wrong_repair(call.best)
    ranked = sorted(call.ranked, key=lambda candidate: (candidate.loss, *candidate.rank))
    saves = any(candidate.cost < act_cost for candidate in ranked)
    return call.measuring(ranked) if saves else call.stopping(SURE)


def _unsure(call: _Call, *, look_ahead: bool) -> Advice:
    """Measuring goes on while it informs; then the likeliest are read on the part itself."""
    advice = _by_worth(call, look_ahead=look_ahead)
    if not advice.stop:
        return advice
    likely = [each for each, share in call.belief.by_repair().items() if share >= WORTH_SHOWING]
    unread = [repair for repair in likely if not metered(call.belief, repair)]
    if call.best >= LIKELY and not showing(call.belief, call.repair, call.allowed):
        unread.append(call.repair)  # its own reading decided nothing: another on it may
    cards = (call.deciding(repair) for repair in unread)
    card = next((each for each in cards if each is not None), None)
    if card is None and call.best >= LIKELY:
        # A call may end undecided at an effect; what clears its cause is read all the same.
        owed = owed_checks(call.belief, most_likely_suspect(call.belief, call.repair), call.allowed)
        if owed:
            return call.making(owed[0], OWED_FIRST)
    if card is not None:
        return call.making(card, SHOW_FIRST)
    at_last = (_seen_again, _rival_again, _odd_again, _around, _scattered, _nearly)
    return next((each for each in (rule(call) for rule in at_last) if each is not None), advice)


def _odd_again(call: _Call) -> Advice | None:
    """What was seen that no good unit shows, once more, before a call ends scattered by it.

    It may be a slip of the eye. Not on a call for heat, where what rests until summer stays odd.
    """
    if call.best >= LIKELY or called_for_heat(call.belief):
        return None
    card = read_again(call.belief, call.allowed)
    return call.making(card, AGAIN) if card is not None and card.form == "choice" else None


def _scattered(call: _Call) -> Advice | None:
    """What tells most, while the call is about no one repair yet.

    Among many faults no check tells at a fair rate, and the first that decides would never be made.
    """
    return call.telling(TELLS_AN_EYE) if call.best < LIKELY else None


def _nearly(call: _Call) -> Advice | None:
    """What tells much, where one repair is nearly sure: one reading more often makes it so.

    Only where it costs less than acting now is expected to lose.
    """
    most_minutes = call.prices.wrong_repair(call.best) if call.best >= NEARLY else 0.0
    return call.telling(TELLS_MUCH, most_minutes)


def _around(call: _Call) -> Advice | None:
    """What tells most, though it is dear, where the likeliest part's own reading cannot be taken.

    A cheap part may be put in on a guess; a call that ends undecided leaves the customer without.
    """
    suspect = most_likely_suspect(call.belief, call.repair)
    has_own = any(reads_directly(card, suspect) for card in call.belief.table.checks)
    if not has_own or read_directly(call.belief, call.repair):
        return None
    return call.telling(TELLS_MUCH)


def _seen_again(call: _Call) -> Advice | None:
    """The look that shows the likeliest fault, once more: what is left may be a slip of the eye.

    Where a meter decides, it is read in place of a second look.
    """
    if call.best < LIKELY or not showing(call.belief, call.repair, call.allowed):
        return None
    card = _seen_once(call.belief, call.repair)
    if card is None:
        return None
    meter = call.deciding(call.repair)
    if meter is not None and meter.form == "number":
        return call.making(meter, SHOW_FIRST)
    return call.making(card, AGAIN)


def _rival_again(call: _Call) -> Advice | None:
    """The look that spoke against the only rival left, once more: that may be the slip.

    A thermostat that is said to be set, and does not call, is bad, or was not looked at well.
    """
    shares = call.belief.by_repair()
    rival = next((each for each in shares if each != call.repair), None)  # the likeliest first
    if rival is None or call.best < NEARLY or shares[rival] < 0.5 * (1.0 - call.best):
        return None
    card = _seen_once(call.belief, rival)
    return call.making(card, AGAIN) if card is not None else None


def _seen_once(belief: Belief, repair: str) -> CheckCard | None:
    """The first look at the very fault that a repair mends, where it was looked at only once."""
    suspect, cards = most_likely_suspect(belief, repair), belief.table.checks
    for reading in belief.readings:
        card = cards[reading.check]
        if card.form == "choice" and reading.times < 2 and reads_directly(card, suspect):
            return card
    return None


def _by_worth(call: _Call, *, look_ahead: bool) -> Advice:
    """Under `enough_probability`, measuring goes on while anything informs at a fair rate.

    One step ahead would undervalue it: two checks may tell what neither tells alone.
    """
    informs = any(map(call.worth, call.ranked))
    if not look_ahead:
        return call.measuring(call.ranked) if informs else call.stopping(NOTHING_LEFT)
    ahead = LookAhead(call.belief.table, call.outlook, call.prices, _with_decisive(call.ranked))
    if informs:
        return call.measuring(ahead.reordered())
    if any(each.bits >= TELLS_ALONE for each in call.ranked):
        return call.stopping(NOTHING_LEFT)  # too dear for what it tells, and no pair makes it less
    first = ahead.first_of_pair()
    if first is None or not call.worth(first):
        return call.stopping(NOTHING_LEFT)
    return call.measuring([first, *(each for each in call.ranked if each.check != first.check)])


def _with_decisive(ranked: list[Candidate]) -> list[Candidate]:
    """The same, with those that by themselves leave least to lose among the first.

    A dear reading that would decide tells little per minute and would wait behind every cheap look.
    """
    first, later = ranked[:FIRST_BY_RATE], ranked[FIRST_BY_RATE:]
    decisive = sorted(later, key=lambda each: each.loss)[:DECISIVE]
    return [*first, *decisive, *(each for each in later if each not in decisive)]


def _ranked(
    belief: Belief, outlook: Outlook, checks: Sequence[int], prices: PriceList
) -> list[Candidate]:
    """Candidates by information per minute; of equals, dead checks first.

    A large belief is first looked at through some of its particles; the best of all checks are
    then looked at through all.
    """
    if len(outlook.weight) <= ROUGH_PARTICLES:
        return _priced(belief, outlook, checks, prices)
    rough = _priced(belief, outlook.thinned(ROUGH_PARTICLES), checks, prices)
    best = sorted(belief.table.check_index(each.check.id) for each in rough[:FULL_CHECKS])
    return [*_priced(belief, outlook, best, prices), *rough[FULL_CHECKS:]]


def _priced(
    belief: Belief, outlook: Outlook, checks: Sequence[int], prices: PriceList
) -> list[Candidate]:
    table, last = belief.table, last_set_up(belief)
    told = outlook.prospects(checks)
    worth = zip(checks, told.bits[:, 0].tolist(), told.best_after[:, 0].tolist(), strict=True)
    candidates = [
        Candidate.of(table.checks[check], last, prices, bits=bits, best_after=best_after)
        for check, bits, best_after in worth
    ]
    return sorted(candidates, key=lambda candidate: candidate.rank)
