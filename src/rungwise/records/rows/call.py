"""The tables of calls: visits, photos, practice, forms that were sent, what was taken back."""

from __future__ import annotations

import datetime as dt
from typing import Any
from zoneinfo import ZoneInfo

from sqlalchemy import BigInteger, CheckConstraint, ForeignKey
from sqlalchemy.orm import Mapped, mapped_column, relationship

from rungwise.records.rows.base import Row, Versioned
from rungwise.records.rows.shop import Person

CALL_KINDS = ("service", "practice")
CALL_STATES = ("booked", "open", "closed")


def complaint_ids(column: str) -> tuple[str, ...]:
    """The ids in a column that holds them with commas between, or in what a form sends so."""
    return tuple(filter(None, column.split(",")))


class Call(Versioned):
    """A call. day: the day it is for, as the shop's calendar has it. suspected: a part, or "".

    complaint: ids of what the customer said, with commas between them, or "".

    unit_id is None until the unit is known; technician_id until somebody takes it.
    """

    __tablename__ = "call"
    __table_args__ = (
        CheckConstraint(f"state IN {CALL_STATES}", name="state"),
        CheckConstraint(f"kind IN {CALL_KINDS}", name="kind"),
        {"sqlite_autoincrement": True},
    )

    unit_id: Mapped[int | None] = mapped_column(ForeignKey("unit.id"), index=True)
    customer_id: Mapped[int | None] = mapped_column(ForeignKey("customer.id"), index=True)
    technician_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"), index=True)
    kind: Mapped[str] = mapped_column(default="service")
    state: Mapped[str] = mapped_column(default="open")
    title: Mapped[str] = mapped_column(default="")
    suspected: Mapped[str] = mapped_column(default="")
    complaint: Mapped[str] = mapped_column(default="", server_default="")
    note: Mapped[str] = mapped_column(default="")
    day: Mapped[dt.date] = mapped_column(index=True)
    opened_at: Mapped[dt.datetime]
    closed_at: Mapped[dt.datetime | None]

    @property
    def said(self) -> tuple[str, ...]:
        """The ids of what the customer said."""
        return complaint_ids(self.complaint)


class Visit(Versioned):
    """One stay at the unit. zone: of the person who went there."""

    __tablename__ = "visit"

    call_id: Mapped[int] = mapped_column(ForeignKey("call.id"), index=True)
    person_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"))
    arrived_at: Mapped[dt.datetime]
    left_at: Mapped[dt.datetime | None]
    zone: Mapped[str]
    note: Mapped[str] = mapped_column(default="")


class Photo(Versioned):
    """A photo of a unit or on a call, without what the camera wrote into it about itself.

    shows: what it is of: "nameplate", "wires as found", a part or a terminal. digest: SHA-256 of
    content. at: when it was sent; kept_at: when it was written down here. small: a version for
    lists. removed: taken out of sight, by whoever may do that.
    """

    __tablename__ = "photo"

    call_id: Mapped[int | None] = mapped_column(ForeignKey("call.id"), index=True)
    unit_id: Mapped[int | None] = mapped_column(ForeignKey("unit.id"), index=True)
    person_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"))
    at: Mapped[dt.datetime]
    zone: Mapped[str]
    kept_at: Mapped[dt.datetime | None]
    media_type: Mapped[str]
    width: Mapped[int]
    height: Mapped[int]
    digest: Mapped[str] = mapped_column(index=True)
    shows: Mapped[str] = mapped_column(default="")
    caption: Mapped[str] = mapped_column(default="")
    removed: Mapped[bool] = mapped_column(default=False)
    # Left in the database until asked for: a list of photos shows none of them in full.
    content: Mapped[bytes] = mapped_column(deferred=True)
    small: Mapped[bytes] = mapped_column(deferred=True)


class Practice(Row):
    """A practice call's hidden fault, and its score once it is finished.

    fault: the suspect's id. seed: of the specimen and the meter. named: the part that was named.
    """

    __tablename__ = "practice"

    call_id: Mapped[int] = mapped_column(ForeignKey("call.id"), unique=True)
    fault: Mapped[str]
    seed: Mapped[int] = mapped_column(BigInteger)
    finished_at: Mapped[dt.datetime | None]
    named: Mapped[str] = mapped_column(default="")
    right: Mapped[bool | None]
    checks: Mapped[int | None]
    wrong_parts: Mapped[int | None]
    score: Mapped[float | None]


class SentForm(Row):
    """One sending, written with all that it made or not at all.

    token: what the form carried; the database holds none twice. path: where it was sent.
    answer: the path it led to. person_id: who was working when it was filled in. at: when that was,
    by the clock of the records; device_at: by the clock of the device, None where it told none.
    kept_at: when it was written down here.
    """

    __tablename__ = "sent"

    token: Mapped[str] = mapped_column(unique=True)
    path: Mapped[str]
    answer: Mapped[str]
    person_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"))
    at: Mapped[dt.datetime]
    device_at: Mapped[dt.datetime | None]
    kept_at: Mapped[dt.datetime]


class TakenBack(Row):
    """Something that was taken back, by whom and when; the rows that told it stay.

    subject, subject_id: the table and the row that it was told of. text: what it was, as shown.
    rows: by table, for each row that was taken back its id, the id of the row that stands in its
    place now, and the id of the earlier row that this one says again, 0 where there was none.
    """

    __tablename__ = "taken_back"

    subject: Mapped[str]
    subject_id: Mapped[int] = mapped_column(index=True)
    text: Mapped[str]
    rows: Mapped[dict[str, Any]]
    person_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"))
    at: Mapped[dt.datetime]
    zone: Mapped[str]
    kept_at: Mapped[dt.datetime]
    person: Mapped[Person | None] = relationship(Person, lazy="joined", viewonly=True)

    @property
    def local(self) -> dt.datetime:
        """When, in the zone of the person who took it back."""
        return self.at.astimezone(ZoneInfo(self.zone))


class Share(Row):
    """A link to a call's customer report, for whoever is given it.

    key: what the link is signed with. language: of the report. ends_at: when it opens nothing any
    more; ended_by_id, ended_at: who took it back before that, and when.
    """

    __tablename__ = "share"

    call_id: Mapped[int] = mapped_column(ForeignKey("call.id"), index=True)
    key: Mapped[str]
    language: Mapped[str]
    person_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"))
    at: Mapped[dt.datetime]
    zone: Mapped[str]
    ends_at: Mapped[dt.datetime]
    ended_by_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"))
    ended_at: Mapped[dt.datetime | None]
