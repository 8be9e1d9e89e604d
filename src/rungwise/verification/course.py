"""A proof on its way: what is believed, what was read and how it stands, what is still to see."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from rungwise.diagnosis import Belief, CheckCard, id_of
from rungwise.verification.belief_after_repair import good_probability
from rungwise.verification.checking import Checked, checked_by_model, checked_by_trade
from rungwise.verification.good_band import GoodBand
from rungwise.verification.masked_faults import Hidden
from rungwise.verification.sights import Sight, Unseen, unseen_of
from rungwise.wording import say

STILL_BEHIND = 0.004
"""A cause behind the repair that is believed in by more than this is read itself before the proof:
the loose joint beside a burnt contact (our own choice: it holds a second fault in 250 proofs)."""

LOOK_AT_JOINTS = "look:joints"

NOT_DIRECT = frozenset({"amps", "held_amps", "winding_amps"})
"""Amps in a lead do not show its joint."""


@dataclass(frozen=True, eq=False)
class Course:
    """The state of a proof; `after` gives the next.

    belief: that of `belief_after`, with the readings. bands: the trade's limits by check id.
    sights: what has to be seen. opening: ids of suspects that would open the new fuse or breaker.
    out_of_reach: ids of checks that cannot be made. behind: by id of each cause that may be behind
    the repair, the sight of it, made of the checks that show it directly. made: cards of all
    readings, in order. history: their verdicts, a check that was read twice twice.
    """

    belief: Belief
    bands: Mapping[str, GoodBand]
    sights: tuple[Sight, ...] = ()
    opening: tuple[str, ...] = ()
    out_of_reach: frozenset[str] = frozenset()
    behind: Mapping[str, Sight] = field(default_factory=dict)
    made: tuple[CheckCard, ...] = ()
    history: tuple[Checked, ...] = ()

    @classmethod
    def start(
        cls,
        belief: Belief,
        hidden: Sequence[Hidden],
        bands: Mapping[str, GoodBand],
        sights: tuple[Sight, ...],
        out_of_reach: frozenset[str] = frozenset(),
    ) -> Course:
        """The course before its first reading. hidden: what the belief was made of."""
        return cls(
            belief,
            bands,
            sights,
            tuple(each.suspect.id for each in hidden if each.opens),
            out_of_reach,
            dict(_behind(belief.table.checks, hidden)),
        )

    @property
    def good(self) -> float:
        """Probability that no listed electrical fault is left."""
        return good_probability(self.belief)

    @property
    def checked(self) -> tuple[Checked, ...]:
        """The verdict on each check, of those read twice the last."""
        return tuple({each.id: each for each in self.history}.values())

    @property
    def doubtful(self) -> tuple[Checked, ...]:
        """Readings to be taken again; not those of which another check showed the same well."""
        well = {each.id for each in self.checked if each.good}
        return tuple(
            each
            for each in self.checked
            if each.level == "again" and not well & set(self.same(each))
        )

    def same(self, checked: Checked) -> Iterator[str]:
        """Ids of the other checks that show what this one shows."""
        for each in self.sights:
            if checked.id in each.checks and not each.apart:
                yield from (it for it in each.checks if it != checked.id)
        if any(card.id == checked.id and card.quantity == LOOK_AT_JOINTS for card in self.made):
            drop = id_of("drop", checked.choice)
            # Ohms of a joint at rest say little; they count where it carries nothing on a call.
            yield drop if drop in self.bands else id_of("wire", checked.choice)

    @property
    def unseen(self) -> tuple[Unseen, ...]:
        """What of the sights was not had yet, or only by a reading to be taken again."""
        taken = {card.id for card in self.made} - {each.id for each in self.doubtful}
        found = unseen_of(self.sights, taken, self.out_of_reach)
        if any(each.withholds for each in found):
            return found
        chance = self.belief.by_suspect()
        likely = [it for name, it in self.behind.items() if chance.get(name, 0.0) >= STILL_BEHIND]
        return (*found, *unseen_of(likely, taken, self.out_of_reach))

    @property
    def left(self) -> frozenset[str]:
        """Ids of the checks of the table that can still be made; a doubtful one can be again."""
        gone = {card.id for card in self.made} - {each.id for each in self.doubtful}
        return frozenset(self._known - gone - self.out_of_reach)

    def after(self, card: CheckCard, value: float | str) -> Course:
        """The course after one more reading. Raises BadReading for what the card cannot give."""
        belief, found = self._heard(card, value), self.alone(card, value)
        made = (*self.made, card)
        if found is None:
            return replace(self, belief=belief, made=made)
        if found.level == "again" and self._was_out(found):
            found = found.read_again()
        return replace(self, belief=belief, made=made, history=(*self.history, found))

    def alone(self, card: CheckCard, value: float | str) -> Checked | None:
        """The verdict on a reading as if it were the first; None where nobody can say."""
        band = self.bands.get(card.id)
        if band is not None and not isinstance(value, str):
            return checked_by_trade(card, float(value), band)
        if card.id in self._known:
            return checked_by_model(self.belief.upto(0), card, value)
        return None

    def _was_out(self, found: Checked) -> bool:
        """Whether this reading, or another of the same thing, was out of its band before."""
        same = {found.id, *self.same(found)}
        seen = [each for each in self.checked if each.id in same]
        return any(each.level in ("again", "refuse") for each in seen)

    def after_all(
        self, cards: Mapping[str, CheckCard], taken: Sequence[tuple[str, float | str]]
    ) -> Course:
        """The course after readings in their order, by check id."""
        course = self
        for name, value in taken:
            course = course.after(cards[name], value)
        return course

    def with_out_of_reach(self, checks: Collection[str]) -> Course:
        """The course where these checks cannot be made."""
        return replace(self, out_of_reach=self.out_of_reach | frozenset(checks))

    @property
    def _known(self) -> frozenset[str]:
        return frozenset(card.id for card in self.belief.table.checks)

    def _heard(self, card: CheckCard, value: float | str) -> Belief:
        """The belief with a reading; one that the trade takes for usable never speaks against."""
        if card.id not in self._known:
            return self.belief
        told = self.belief.observe(card.id, value)
        at = self.belief.table.check_index(card.id)
        if any(each.check == at for each in self.belief.readings):
            return told  # it replaces what was read before
        band = None if isinstance(value, str) else self.bands.get(card.id)
        if band is not None and band.level(float(value)) in ("good", "caution"):
            return told if good_probability(told) >= self.good else self.belief
        return told


def _behind(cards: Sequence[CheckCard], hidden: Sequence[Hidden]) -> Iterator[tuple[str, Sight]]:
    """The causes behind the repair that a reading on the very block shows."""
    for each in hidden:
        if each.why != "behind" or each.opens:
            continue  # what opens the new fuse again is seen at the start
        suspect = each.suspect
        shows = tuple(
            card.id
            for card in cards
            if card.form == "number"
            and card.quantity in suspect.shown_by - NOT_DIRECT
            and card.touches == (suspect.block,)
            and card.link != "rub"
        )
        if shows:
            yield (
                suspect.id,
                Sight(say("what may be behind it, {title}", title=suspect.title), shows),
            )
