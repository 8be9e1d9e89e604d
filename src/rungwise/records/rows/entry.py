"""A field of a form as it was left."""

from __future__ import annotations

from sqlalchemy import Index
from sqlalchemy.orm import Mapped, mapped_column

from rungwise.records.rows.kept import Statement

__all__ = ["Entry"]


class Entry(Statement):
    """What was typed into a field of something, with the reason where it could not be used.

    subject, subject_id: the table and the row it is about. refusal: "" where it was taken over.
    """

    __tablename__ = "entry"
    __table_args__ = (
        Index(None, "subject", "subject_id", "field"),
        {"sqlite_autoincrement": True},
    )

    subject: Mapped[str]
    subject_id: Mapped[int]
    field: Mapped[str]
    typed: Mapped[str]
    refusal: Mapped[str] = mapped_column(default="")
