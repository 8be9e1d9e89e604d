"""The page for visits."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

from sqlalchemy import select

from rungwise.records.repository import Reader, Repository, text
from rungwise.records.rows import Call, Visit

__all__ = ["Visits"]


class Visits(Repository[Visit]):
    """Who was at a unit, and from when to when."""

    row = Visit
    fields: ClassVar[Mapping[str, Reader]] = {"note": text}

    def arrive(self, call_id: int) -> Visit:
        """Whoever writes is at the unit now. A visit that is not over goes on."""
        self.hand.turn(Call, call_id)
        here = [
            each for each in self.of_call(call_id)
            if each.left_at is None and each.person_id == self.hand.person_id
        ]  # fmt: skip
        if here:
            return here[-1]
        made = Visit(
            call_id=call_id, person_id=self.hand.person_id, arrived_at=self.hand.at,
            zone=self.hand.zone,
        )  # fmt: skip
        return self.hand.add(made)

    def depart(self, number: int) -> Visit:
        """The visit is over."""
        visit = self.hand.turn(Visit, number)
        visit.left_at = max(self.hand.at, visit.arrived_at)  # a clock may have been set back
        return visit

    def of_call(self, call_id: int) -> list[Visit]:
        """The visits of a call, first to last."""
        query = select(Visit).where(Visit.call_id == call_id).order_by(Visit.arrived_at, Visit.id)
        return list(self.hand.session.scalars(query))
