"""Keeping what is told: the old is superseded, never overwritten, and no stale form wins."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from sqlalchemy import select

from rungwise.records.rows import Statement
from rungwise.records.session import RecordSession

Told = TypeVar("Told", bound=Statement)


@dataclass(frozen=True)
class EntryResult(Generic[Told]):
    """What became of something that was left in a form.

    row: as it is kept. other: what somebody else wrote there meanwhile, which still stands; None
    where `row` stands.
    """

    row: Told
    other: Told | None = None

    @property
    def stale(self) -> bool:
        """Whether it was kept beside another, for somebody to choose between the two."""
        return self.other is not None


def keep(
    hand: RecordSession, new: Told, place: Mapping[str, Any], seen: int | None
) -> EntryResult[Told]:
    """Keep `new` in its place, the columns that say what it tells of.

    The caller holds the lock of the thing it is told of. seen: the version that the form showed,
    None when it comes from no form. Where somebody else wrote there after that, `new` is kept
    beside; one's own is superseded, because a form that saves field by field is never fresh.
    Telling the same again keeps nothing twice, so that a form may be sent again.
    """
    held = _held(hand, type(new), place)
    standing = next((row for row in held if not row.beside), None)
    if standing is not None and _same(standing, new):
        return EntryResult(standing)
    if standing is not None and _unseen(standing, new, seen):
        same = [row for row in held if row.beside and _same(row, new)]
        new.beside = True
        return EntryResult(same[0] if same else hand.add(new), standing)
    _supersede(hand, held, hand.add(new))
    return EntryResult(new)


def stand(hand: RecordSession, row: Told, place: Mapping[str, Any]) -> Told:
    """Let a row that was kept beside stand, and supersede what else is in its place."""
    others = [each for each in _held(hand, type(row), place) if each.id != row.id]
    row.beside = False
    _supersede(hand, others, row)
    return row


def dismiss(hand: RecordSession, row: Statement, standing: Statement) -> None:
    """Let what stands stand, and a row that was kept beside it go into the history."""
    row.superseded_by_id = standing.id
    hand.session.flush()


def _unseen(standing: Statement, new: Statement, seen: int | None) -> bool:
    own = standing.person_id is not None and standing.person_id == new.person_id
    return seen is not None and standing.version > seen and not own


def _held(hand: RecordSession, kind: type[Told], place: Mapping[str, Any]) -> list[Told]:
    """All in this place that nothing has superseded, those kept beside among them."""
    there = [getattr(kind, column) == value for column, value in place.items()]
    query = select(kind).where(kind.superseded_by_id.is_(None), *there).order_by(kind.id)
    fresh = query.execution_options(populate_existing=True)  # as it is now that the lock is held
    return list(hand.session.scalars(fresh))


def _supersede(hand: RecordSession, old: list[Told], new: Told) -> None:
    for row in old:
        row.superseded_by_id = new.id
    hand.session.flush()


SIGNED = {"id", "person_id", "at", "zone", "kept_at", "version", "beside", "superseded_by_id",
          "was"}  # fmt: skip
"""Columns that do not belong to what is told."""


def _same(one: Statement, other: Statement) -> bool:
    names = (column.key for column in type(one).__table__.columns)
    return all(
        _told(getattr(one, each)) == _told(getattr(other, each))
        for each in names
        if each not in SIGNED
    )


def _told(value: object) -> object:
    """A column that is not written yet is None, and has its empty text only afterwards."""
    return None if value in ("", False) else value
