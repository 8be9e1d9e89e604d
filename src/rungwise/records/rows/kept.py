"""What somebody told or measured: who and when, and what came after it."""

from __future__ import annotations

import datetime as dt
from zoneinfo import ZoneInfo

from sqlalchemy import ForeignKey
from sqlalchemy.orm import Mapped, declared_attr, mapped_column, relationship

from rungwise.records.rows.base import Row
from rungwise.records.rows.person import Person

__all__ = ["OfCall", "Statement"]


class Statement(Row):
    """A row that is never changed and never taken away, only superseded.

    at: when it was told, UTC. zone: the person's own at that moment. kept_at: when it was written
    down here, which is later for what waited on a phone; None where it is not known.
    version: of the thing it was told of.
    beside: told on a form that had not seen the row that stands; kept until somebody chooses.
    superseded_by_id: the row that took its place.
    """

    __abstract__ = True

    person_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"), sort_order=20)

    @declared_attr
    def person(self) -> Mapped[Person | None]:
        """Who, with the name."""
        return relationship(Person, lazy="joined", viewonly=True)

    at: Mapped[dt.datetime] = mapped_column(sort_order=21)
    zone: Mapped[str] = mapped_column(sort_order=22)
    kept_at: Mapped[dt.datetime | None] = mapped_column(sort_order=22)
    version: Mapped[int] = mapped_column(sort_order=23)
    beside: Mapped[bool] = mapped_column(default=False, sort_order=24)

    @declared_attr
    def superseded_by_id(self) -> Mapped[int | None]:
        """The row that took the place of this one."""
        return mapped_column(ForeignKey(f"{self.__tablename__}.id"), sort_order=25)

    @property
    def local(self) -> dt.datetime:
        """When, in the zone of the person who told it."""
        return self.at.astimezone(ZoneInfo(self.zone))

    @property
    def stands(self) -> bool:
        """Whether it counts: neither superseded nor waiting beside another."""
        return self.superseded_by_id is None and not self.beside


class OfCall(Statement):
    """The same, told of a call."""

    __abstract__ = True

    call_id: Mapped[int] = mapped_column(ForeignKey("call.id"), index=True, sort_order=-9)
