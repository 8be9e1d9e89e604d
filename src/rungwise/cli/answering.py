"""All that a call's file amounts to, worked out once for both printing and JSON."""

from __future__ import annotations

from dataclasses import dataclass

from rungwise.circuit.intent import Shortfall, shortfalls
from rungwise.cli.opening import Opened, open_call
from rungwise.cli.table_store import fault_table
from rungwise.cli.witnesses import Witness, witnesses
from rungwise.diagnosis import (
    Advice,
    Belief,
    Explanation,
    Verdict,
    explain,
    next_check,
    verdict,
)
from rungwise.diagnosis.call_file import Call, Outcome
from rungwise.diagnosis.outlook import Outlook
from rungwise.diagnosis.remarks import remarks

__all__ = ["Answered", "answered"]

SPOKEN_OF = 6
"""Repairs spoken of at each reading and at the next check."""


@dataclass(frozen=True)
class Answered:
    """A call with its answer.

    open_bits: how much about the repair is still unknown. remarks: on readings that belong
    together. shortfalls: what the unit as found does not do even when no part is at fault;
    witnesses: the readings that show it.
    """

    call: Call
    opened: Opened
    outcomes: tuple[Outcome, ...]
    belief: Belief
    verdict: Verdict
    advice: Advice
    explanation: Explanation
    open_bits: float
    remarks: tuple[str, ...]
    shortfalls: tuple[Shortfall, ...]
    witnesses: tuple[Witness, ...]

    @property
    def decided(self) -> bool:
        """Whether the cause is found: a fault, or how the circuit was put together."""
        return self.verdict.kind == "found" or bool(self.witnesses)


def answered(name: str) -> Answered:
    """The answer of the call in the file `name`. Raises BadInput for what cannot be used."""
    call, opened = open_call(name)
    table = fault_table(opened)
    suspected = call.suspected_among(dict.fromkeys(card.part for card in table.suspects))
    outcomes = call.outcomes(table.checks)
    belief = Belief.start(table)
    for outcome in outcomes:
        if outcome.value is not None:
            belief = belief.observe(outcome.card.id, outcome.value)
    out_of_reach = {each.card.id for each in outcomes if each.value is None}
    short = shortfalls(opened.unit)
    advice = next_check(
        belief, allowed=[card.id for card in table.checks if card.id not in out_of_reach]
    )
    return Answered(
        call=call,
        opened=opened,
        outcomes=outcomes,
        belief=belief,
        verdict=verdict(belief, suspected=suspected),
        advice=advice,
        explanation=explain(belief, advice.check.id if advice.check else None, at_most=SPOKEN_OF),
        open_bits=float(Outlook.of(belief).entropy_bits[0]),
        remarks=remarks(outcomes),
        shortfalls=short,
        witnesses=witnesses(opened.unit, outcomes) if short else (),
    )
