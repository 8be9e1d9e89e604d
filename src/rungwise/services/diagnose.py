"""All that a call's file amounts to, worked out once for both printing and JSON."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass

from rungwise.circuit import Shortfall, intended, shortfalls
from rungwise.diagnosis import (
    Advice,
    Belief,
    Call,
    CheckCard,
    ChipEffect,
    Expected,
    Explanation,
    FaultTable,
    Outcome,
    ReadingModel,
    Verdict,
    crossed_windings,
    expected_readings,
    explain,
    next_check,
    not_judged,
    reading_text,
    remarks,
    slip_remarks,
    starved_remarks,
    taken_again,
    verdict,
)
from rungwise.parts import Line
from rungwise.services.input_files import UnitSource, open_call
from rungwise.services.runtime.progress import Watching, unwatched
from rungwise.services.runtime.table_store import fault_table
from rungwise.services.stated_limits import by_stated_limit
from rungwise.services.wording.band_words import band_text
from rungwise.services.wording.complaint_words import also_said, said_of, weights_before
from rungwise.unit import Unit
from rungwise.wording import say

SPOKEN_OF = 6
"""Repairs spoken of at each reading and at the next check."""


@dataclass(frozen=True)
class CallDiagnosis:
    """A call with its answer.

    open_bits: how much about the repair is still unknown. remarks: on readings that belong
    together. shortfalls: what the unit as found does not do even when no part is at fault;
    witnesses: the readings that show it. said: what the customer said, and whom it moved.
    """

    call: Call
    opened: UnitSource
    outcomes: tuple[Outcome, ...]
    belief: Belief
    verdict: Verdict
    advice: Advice
    explanation: Explanation
    open_bits: float
    remarks: tuple[Line, ...]
    shortfalls: tuple[Shortfall, ...]
    witnesses: tuple[Witness, ...]
    said: tuple[ChipEffect, ...]

    @property
    def decided(self) -> bool:
        """Whether there is an answer to act on: a fault, nothing wrong, or how it was put together.

        A fault that is suspected and not shown is one once no reading is advised before its repair,
        which then begins with the reading that shows it.
        """
        acted_on = self.verdict.decided and (self.verdict.kind == "found" or self.advice.stop)
        return acted_on or bool(self.witnesses)


def answered(
    name: str, watching: Watching = unwatched, complaint: Collection[str] = ()
) -> CallDiagnosis:
    """The answer of the call in the file `name`. Raises BadInput for what cannot be used.

    complaint: ids of what the customer said, besides those in the file.
    """
    call, opened = open_call(name)
    call = also_said(call, complaint)
    return answer_of(call, opened, fault_table(opened, watching))


def answer_of(
    call: Call,
    opened: UnitSource,
    known: FaultTable | ReadingModel,
    *,
    asked: str | None = None,
    skipped: Collection[str] = (),
) -> CallDiagnosis:
    """The answer of a call on the unit that was opened, by that unit's fault table.

    known: the table, or what it was made into, to share that between calls.
    asked: a check that the technician would rather make next; what it would tell is explained in
    place of the advised one. skipped: checks not to advise, besides those out of reach.
    The odds start from `Call.own`, where the call has weights of its shop, and from what the
    customer said.
    Raises UnknownName and BadReading for what cannot be used.
    """
    table = known.table if isinstance(known, ReadingModel) else known
    belief = Belief.start(known, weights_before(call, table.suspects), said=call.complaint)
    suspected = call.suspected_among(dict.fromkeys(card.part for card in table.suspects))
    outcomes = call.outcomes(table.checks)
    for outcome in outcomes:
        if outcome.value is not None:
            belief = belief.observe(outcome.card.id, outcome.value)
    left_out = {each.card.id for each in outcomes if each.value is None} | set(skipped)
    in_reach = frozenset(card.id for card in table.checks) - left_out
    short, crossed = shortfalls(opened.unit), tuple(crossed_windings(opened.unit, outcomes))
    advice = next_check(belief, allowed=in_reach)
    shown = asked or (advice.check.id if advice.check else None)
    return CallDiagnosis(
        call=call,
        opened=opened,
        outcomes=outcomes,
        belief=belief,
        verdict=by_stated_limit(
            verdict(belief, suspected=suspected, allowed=in_reach), opened.unit
        ),
        advice=advice,
        explanation=explain(belief, shown, at_most=SPOKEN_OF),
        open_bits=advice.open_bits,
        remarks=(
            *remarks(outcomes),
            *taken_again(outcomes, belief.model),
            # R and S exchanged are told once, with what tells which is which.
            *(crossed or slip_remarks(opened.unit, belief)),
            *starved_remarks(belief),
            *not_judged(opened.unit, table.checks),
        ),
        shortfalls=short,
        witnesses=witnesses(opened.unit, outcomes) if short else (),
        said=said_of(call, table.suspects),
    )


MARGIN = 0.1
"""Of the band's middle: meter error, generously."""


@dataclass(frozen=True, slots=True)
class Witness:
    """A reading that fits the circuit as found and not the intended one.

    read: as taken. here, intended: what the two circuits make it, healthy.
    """

    card: CheckCard
    read: str
    here: str
    intended: str

    def line(self) -> str:
        """In words."""
        return say(
            "{title}: {read} fits this circuit ({here}), and not the one that its "
            "arrangement means ({intended}).",
            title=self.card.title,
            read=self.read,
            here=self.here,
            intended=self.intended,
        )


def witnesses(unit: Unit, outcomes: Iterable[Outcome]) -> tuple[Witness, ...]:
    """The readings of a call that show how the unit differs from its arrangement."""
    meant = {each.id: each for each in expected_readings(intended(unit))}
    here = {each.id: each for each in expected_readings(unit)}
    return tuple(_witnesses(outcomes, here, meant))


def _witnesses(
    outcomes: Iterable[Outcome], here: dict[str, Expected], meant: dict[str, Expected]
) -> Iterator[Witness]:
    for each in outcomes:
        name = each.card.id
        if not isinstance(each.value, float) or name not in meant or name not in here:
            continue
        if _fits(here[name], each.value) and not _fits(meant[name], each.value):
            read = reading_text(each.card, each.value)
            yield Witness(each.card, read, band_text(here[name]), band_text(meant[name]))


def _fits(expected: Expected, value: float) -> bool:
    """Whether a reading lies within the band, meter error allowed for."""
    if expected.low is None or expected.high is None or expected.typical is None:
        return True
    margin = MARGIN * abs(expected.typical) + 0.05
    return expected.low - margin <= value <= expected.high + margin
