"""The page for what practice calls hide."""

from __future__ import annotations

from sqlalchemy import select

from rungwise.errors import BadRecord
from rungwise.records.rows import Call, Practice
from rungwise.records.session import RecordSession
from rungwise.wording import mark


class Practices:
    """Hidden faults and scores."""

    def __init__(self, hand: RecordSession) -> None:
        self.hand = hand

    def hide(self, call_id: int, fault: str, seed: int) -> Practice:
        """Hide a fault in a practice call.

        Raises BadRecord when the call is a customer's, or hides one already.
        """
        call = self.hand.turn(Call, call_id)
        if call.kind != "practice":
            raise BadRecord(
                what=mark("This is a customer's call; no fault can be hidden in it."),
                value=str(call_id), next_step=mark("open a call of the kind practice"),
            )  # fmt: skip
        if self.of_call(call_id) is not None:
            raise BadRecord(
                what=mark("This call hides a fault already."), value=str(call_id),
                next_step=mark("open another practice call"),
            )  # fmt: skip
        return self.hand.add(Practice(call_id=call_id, fault=fault, seed=seed))

    def of_call(self, call_id: int) -> Practice | None:
        """What a call hides, None for a customer's call."""
        return self.hand.session.scalars(
            select(Practice).where(Practice.call_id == call_id)
        ).one_or_none()

    def finish(
        self, call_id: int, *, named: str, right: bool, checks: int, wrong_parts: int, score: float
    ) -> Practice:
        """Keep how it went; the first end counts. named: the part that was named as the culprit.

        Raises BadRecord when the call hides nothing.
        """
        self.hand.turn(Call, call_id)
        held = self.of_call(call_id)
        if held is None:
            raise BadRecord(
                what=mark("This call hides no fault."), value=str(call_id),
                next_step=mark("go back to the list of practice calls"),
            )  # fmt: skip
        if held.finished_at is None:
            held.finished_at, held.named, held.right = self.hand.at, named, right
            held.checks, held.wrong_parts, held.score = checks, wrong_parts, score
        return held

    def of_person(self, person_id: int) -> list[tuple[Call, Practice]]:
        """The practice calls of an apprentice, first to last."""
        query = select(Call, Practice).join(Practice, Practice.call_id == Call.id)
        rows = self.hand.session.execute(
            query.where(Call.technician_id == person_id).order_by(Call.id)
        )
        return [(call, practice) for call, practice in rows]
