"""A service call, or a practice call with a hidden fault."""

from __future__ import annotations

import datetime as dt

from sqlalchemy import CheckConstraint, ForeignKey
from sqlalchemy.orm import Mapped, mapped_column

from rungwise.records.rows.base import Versioned

__all__ = ["CALL_KINDS", "CALL_STATES", "Call"]

CALL_KINDS = ("service", "practice")
CALL_STATES = ("booked", "open", "closed")


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
        return tuple(filter(None, self.complaint.split(",")))
