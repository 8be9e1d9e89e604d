"""A unit, held as the text of its unit file."""

from __future__ import annotations

import datetime as dt

from sqlalchemy import CheckConstraint, ForeignKey
from sqlalchemy.orm import Mapped, mapped_column

from rungwise.records.rows.base import Versioned

__all__ = ["UNIT_STATES", "Unit"]

UNIT_STATES = ("draft", "whole")


class Unit(Versioned):
    """A unit. toml: its unit file. state: "draft" until the file can be used."""

    __tablename__ = "unit"
    __table_args__ = (
        CheckConstraint(f"state IN {UNIT_STATES}", name="state"),
        {"sqlite_autoincrement": True},
    )

    site_id: Mapped[int | None] = mapped_column(ForeignKey("site.id"), index=True)
    title: Mapped[str]
    toml: Mapped[str] = mapped_column(default="")
    state: Mapped[str] = mapped_column(default="draft")
    installed: Mapped[dt.date | None]
    note: Mapped[str] = mapped_column(default="")
    added_at: Mapped[dt.datetime]
