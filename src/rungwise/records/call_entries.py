"""What the pages for things told of a call have in common."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, ClassVar, Generic, TypeVar

from sqlalchemy import ColumnElement, select

from rungwise.errors import BadRecord
from rungwise.records.entries import EntryResult, keep, stand
from rungwise.records.rows import Call, OfCall
from rungwise.records.session import RecordSession
from rungwise.wording import mark

Line = TypeVar("Line", bound=OfCall)


class CallEntries(Generic[Line]):
    """One sort of thing that is told of a call, each superseding the last in its place.

    row: its table. place: the columns that, with the call, say what a row tells of.
    """

    row: type[Line]
    place: ClassVar[tuple[str, ...]] = ()

    def __init__(self, hand: RecordSession) -> None:
        self.hand = hand
        self._read: dict[int, list[Line]] = {}
        """Rows by call, in a book that is only read: pages ask for them time and again."""

    def read_ahead(self, calls: Iterable[int]) -> None:
        """Read the rows of several calls at once, in a book that is only read."""
        if self.hand.writes:
            return
        wanted = {number: list[Line]() for number in calls}
        query = select(self.row).where(self.row.call_id.in_(wanted), *self._more())
        for row in self.hand.session.scalars(query.order_by(self.row.id)):
            wanted[row.call_id].append(row)
        self._read.update(wanted)

    def get(self, number: int) -> Line:
        """The row of that number. Raises UnknownName when there is none."""
        return self.hand.get(self.row, number)

    def standing(self, call_id: int) -> list[Line]:
        """What stands now, in the order in which each place was first told of."""
        standing: dict[tuple[Any, ...], Line | None] = {}
        for each in self._rows(call_id):
            place = tuple(self._place(each).values())
            standing[place] = each if each.stands else standing.get(place)
        return [each for each in standing.values() if each is not None]

    def beside(self, call_id: int) -> list[Line]:
        """What came from stale forms, and waits for somebody to choose."""
        open_ones = [each for each in self._rows(call_id) if each.superseded_by_id is None]
        return [each for each in open_ones if each.beside]

    def history(self, call_id: int) -> list[Line]:
        """Everything ever told, oldest first."""
        return list(self._rows(call_id))

    def stand(self, number: int) -> Line:
        """Let a row that was kept beside another stand.

        Raises BadRecord where something newer has taken its place.
        """
        row = self.get(number)
        if row.superseded_by_id is not None:
            raise BadRecord(
                what=mark("Something newer has taken its place."), value=str(number),
                next_step=mark("look at the page again, then write it anew if it still holds"),
            )  # fmt: skip
        self.hand.turn(Call, row.call_id)
        return stand(self.hand, row, self._place(row))

    def _keep(self, call_id: int, seen: int | None, **values: Any) -> EntryResult[Line]:
        call = self.hand.turn(Call, call_id)
        row = self.row(call_id=call_id, **values, **self.hand.signed(call.version))
        return keep(self.hand, row, self._place(row), seen)

    def _place(self, row: Line) -> dict[str, Any]:
        return {each: getattr(row, each) for each in ("call_id", *self.place)}

    def _rows(self, call_id: int) -> list[Line]:
        if call_id in self._read:
            return self._read[call_id]
        query = select(self.row).where(self.row.call_id == call_id, *self._more())
        rows = list(self.hand.session.scalars(query.order_by(self.row.id)))
        if not self.hand.writes:
            self._read[call_id] = rows
        return rows

    def _more(self) -> tuple[ColumnElement[bool], ...]:
        """What else a row of this page must be."""
        return ()
