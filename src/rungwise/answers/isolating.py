"""The plan for making a unit dead, with what a fault that was found adds to it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any

from rungwise.answers.answering import Answered
from rungwise.answers.elsewhere import elsewhere
from rungwise.circuit.plan import Key
from rungwise.isolation import Caution, IsolationPlan, isolate
from rungwise.isolation.cautions import SIGNALS
from rungwise.suspects import SuspectSet
from rungwise.unit.element import FloatArray
from rungwise.unit.unit import Unit

__all__ = ["Isolation", "isolation_of"]

_FIGURE = re.compile(r"[0-9][0-9.]*")


@dataclass(frozen=True)
class Isolation:
    """How to make a zone of a unit dead.

    The plan is that of the unit as designed: a diagnosis may be wrong, and a fault that hides a
    supply may go away. cautions: worst first, those of the fault that was found among them.
    """

    plan: IsolationPlan
    cautions: tuple[Caution, ...]

    @property
    def reached(self) -> bool:
        """Whether the plan leaves nothing live and every failure of a device can be measured."""
        found = self.plan.found
        return not found.live_after and not found.proof.unproved

    def as_json(self) -> dict[str, Any]:
        """The same as plain values."""
        told = [asdict(each) for each in self.cautions]
        return {**self.plan.to_json(), "cautions": told, "reached": self.reached}


def isolation_of(unit: Unit, zone: str, answer: Answered | None = None) -> Isolation:
    """The plan for `zone` of `unit`; answer: of a call on it, if there is one.

    Raises UnknownName for a zone that does not exist.
    """
    plan = elsewhere(isolate, unit, zone=zone)
    fault = _fault(unit, answer) if answer else {}
    if not fault:
        return Isolation(plan, plan.cautions)
    with_fault = elsewhere(isolate, unit, zone=zone, values=fault)
    return Isolation(plan, _together(plan, with_fault))


def _together(plan: IsolationPlan, with_fault: IsolationPlan) -> tuple[Caution, ...]:
    """The cautions of both; of two that differ in figures only, the one of the livelier unit."""
    both = (plan, with_fault)
    livelier = sorted(both, key=lambda each: len(each.found.live_before))
    told = {_subject(caution): caution for each in livelier for caution in each.cautions}
    return tuple(sorted(told.values(), key=lambda caution: SIGNALS.index(caution.signal)))


def _subject(caution: Caution) -> str:
    """What a caution is about, its figures left out."""
    head = caution.text.partition(":")[0]
    return f"{caution.signal} {_FIGURE.sub('', head)}"


def _fault(unit: Unit, answer: Answered) -> Mapping[Key, FloatArray]:
    """The edits of the fault found or suspected; none where it is no edit of this very circuit."""
    best = answer.verdict.answer
    if best is None or not (answer.decided or answer.verdict.decided):
        return {}
    suspects = SuspectSet(unit)
    edits = suspects.typical(suspects.suspect(best.suspect.id))
    blocks = {block.name for block in unit.blocks()}
    return edits if all(block in blocks for block, _ in edits) else {}
