"""A visit of a person to the unit of a call."""

from __future__ import annotations

import datetime as dt

from sqlalchemy import ForeignKey
from sqlalchemy.orm import Mapped, mapped_column

from rungwise.records.rows.base import Versioned

__all__ = ["Visit"]


class Visit(Versioned):
    """One stay at the unit. zone: of the person who went there."""

    __tablename__ = "visit"

    call_id: Mapped[int] = mapped_column(ForeignKey("call.id"), index=True)
    person_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"))
    arrived_at: Mapped[dt.datetime]
    left_at: Mapped[dt.datetime | None]
    zone: Mapped[str]
    note: Mapped[str] = mapped_column(default="")
