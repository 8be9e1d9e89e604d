"""What checks and mistakes cost, in minutes."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TypeVar

from rungwise.diagnosis.arrays import FloatArray
from rungwise.diagnosis.fault_table import CheckCard, SuspectCard
from rungwise.diagnosis.look_card import COOLED, DEAD, LOOKING

Probability = TypeVar("Probability", float, FloatArray)


@dataclass(frozen=True, slots=True)
class PriceList:
    """The shop's prices, all in minutes or shares of one. Defaults: common practice, no source.

    wrong_repair_minutes: a part swapped for nothing, with the way back to the truth, where the
    suspect's card does not say.
    way_back_minutes: a wrong repair costs no less, however cheap it is in itself: the unit still
    stands, and the search begins again.
    minutes_per_risk: a minute-equivalent of danger on a check's card counts as this.
    dead_minutes: to switch off, lock, and prove the unit dead; about half a minute a step of the
    plan for the outdoor cabinet.
    cooling_minutes: until a compressor that has tripped starts again: half an hour, of which half
    is used for something else.
    condition_change_minutes: to bring a live unit into another condition than that of the last
    check, and to give power back to one that was dead.
    asking_minutes: on top of that when checks are chosen: to read what is asked, turn from the unit
    and answer with gloves on. Three looks that hardly tell anything are not cheaper than the
    reading that decides.
    least_minutes: no check is cheaper, a look costs something too.
    enough_probability: no repair is advised under it while any check still informs.
    least_bits: a check expected to bring less says nothing.
    worth_showing: a reading on the accused part is made before the repair where it costs less
    than this share of doing the repair in vain.
    """

    wrong_repair_minutes: float = 150.0
    way_back_minutes: float = 90.0
    minutes_per_risk: float = 1.0
    dead_minutes: float = 15.0
    cooling_minutes: float = 15.0
    condition_change_minutes: float = 3.0
    asking_minutes: float = 5.0
    least_minutes: float = 0.25
    enough_probability: float = 0.9
    least_bits: float = 0.05
    worth_showing: float = 0.5

    def price(self, check: CheckCard, last: CheckCard | None) -> float:
        """Minutes that a check costs right after the check `last` (None: the first of the call).

        A look at what lies open needs no set-up, and after it the unit is as it was. `last` is
        therefore the last check that needed a condition, where the caller knows it.
        """
        minutes = check.minutes + self.minutes_per_risk * check.risk
        return max(minutes + self._set_up(check, last), self.least_minutes)

    def effort(self, check: CheckCard, last: CheckCard | None) -> float:
        """By which checks are chosen: the price, and what it takes to be asked at all."""
        return self.price(check, last) + self.asking_minutes

    def _set_up(self, check: CheckCard, last: CheckCard | None) -> float:
        now = last.condition if last is not None else LOOKING
        if check.condition in (LOOKING, now):
            return 0.0
        if check.condition == DEAD:
            return self.dead_minutes
        if check.condition == COOLED:
            return self.cooling_minutes
        return 0.0 if now == LOOKING else self.condition_change_minutes

    def of_repair(self, suspect: SuspectCard) -> PriceList:
        """The same with what the repair of this suspect costs when it is done in vain.

        Where the repair is to let it cool, the wait is made in any case: what is read at the start
        after it costs no more than another start.
        """
        waits = suspect.repair == f"{suspect.part}:let_cool"
        cooling = self.condition_change_minutes if waits else self.cooling_minutes
        vain = max(suspect.wrong_minutes, self.way_back_minutes)
        minutes = vain if suspect.wrong_minutes else self.wrong_repair_minutes
        return replace(self, wrong_repair_minutes=minutes, cooling_minutes=cooling)

    def informs(self, bits: float, minutes: float, *, unknown: float, act_cost: float) -> bool:
        """Whether a check that brings `bits` in `minutes` is worth making.

        At its rate, what is unknown (bits) must be settled before the minutes that acting now
        would lose (`act_cost`) have gone.
        """
        return bits >= self.least_bits and unknown * minutes <= act_cost * bits

    def shows_cheaply(self, minutes: float) -> bool:
        """Whether a reading on the accused part costs little beside the repair in vain."""
        return minutes <= self.worth_showing * self.wrong_repair_minutes

    def wrong_repair(self, best: Probability) -> Probability:
        """Expected minutes lost by acting on a repair of probability `best`, number or array."""
        return self.wrong_repair_minutes * (1.0 - best)
