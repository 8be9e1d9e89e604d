"""A person who works for the shop."""

from __future__ import annotations

import datetime as dt
from zoneinfo import ZoneInfo

from sqlalchemy import CheckConstraint
from sqlalchemy.orm import Mapped, mapped_column

from rungwise.records.rows.base import Versioned

__all__ = ["ROLES", "Person"]

ROLES = ("technician", "owner", "apprentice", "desk")


class Person(Versioned):
    """A person. zone: an IANA name, such as America/Chicago. stock: what this one's van carries."""

    __tablename__ = "person"
    __table_args__ = (
        CheckConstraint(f"role IN {ROLES}", name="role"),
        {"sqlite_autoincrement": True},
    )

    name: Mapped[str] = mapped_column(unique=True)
    zone: Mapped[str]
    role: Mapped[str] = mapped_column(default="technician")
    active: Mapped[bool] = mapped_column(default=True)
    phone: Mapped[str] = mapped_column(default="")
    stock: Mapped[str] = mapped_column(default="")
    note: Mapped[str] = mapped_column(default="")

    def local(self, moment: dt.datetime) -> dt.datetime:
        """A moment in this person's own zone."""
        return moment.astimezone(ZoneInfo(self.zone))
