"""A place with units."""

from __future__ import annotations

from sqlalchemy import ForeignKey
from sqlalchemy.orm import Mapped, mapped_column

from rungwise.records.rows.base import Versioned

__all__ = ["Site"]


class Site(Versioned):
    """An address of a customer. note: how one gets in."""

    __tablename__ = "site"

    customer_id: Mapped[int | None] = mapped_column(ForeignKey("customer.id"), index=True)
    address: Mapped[str]
    town: Mapped[str] = mapped_column(default="")
    note: Mapped[str] = mapped_column(default="")
