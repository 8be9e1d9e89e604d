"""A customer of the shop."""

from __future__ import annotations

from sqlalchemy.orm import Mapped, mapped_column

from rungwise.records.rows.base import Versioned

__all__ = ["Customer"]


class Customer(Versioned):
    """Whoever calls and pays."""

    __tablename__ = "customer"

    name: Mapped[str]
    phone: Mapped[str] = mapped_column(default="")
    email: Mapped[str] = mapped_column(default="")
    note: Mapped[str] = mapped_column(default="")
