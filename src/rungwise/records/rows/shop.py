"""The shop whose records these are."""

from __future__ import annotations

from typing import Any

from sqlalchemy.orm import Mapped, mapped_column

from rungwise.records.rows.base import Versioned

__all__ = ["Shop"]


class Shop(Versioned):
    """The shop. prices: its price list for checks. stock: van stock, a candidates file's text."""

    __tablename__ = "shop"

    name: Mapped[str]
    zone: Mapped[str] = mapped_column(default="UTC")
    address: Mapped[str] = mapped_column(default="")
    phone: Mapped[str] = mapped_column(default="")
    licence: Mapped[str] = mapped_column(default="")
    stock: Mapped[str] = mapped_column(default="")
    prices: Mapped[dict[str, Any] | None]
    note: Mapped[str] = mapped_column(default="")
