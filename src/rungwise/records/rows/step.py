"""A step of making a zone dead, ticked."""

from __future__ import annotations

from sqlalchemy.orm import Mapped, mapped_column

from rungwise.records.rows.kept import OfCall

__all__ = ["Step"]


class Step(OfCall):
    """A step as the plan had it, done or not, with what was read where it asks for a reading.

    text: the step's own words, because a later plan may number its steps otherwise.
    """

    __tablename__ = "step"

    zone_of_work: Mapped[str]
    number: Mapped[int]
    text: Mapped[str]
    done: Mapped[bool]
    typed: Mapped[str] = mapped_column(default="")
    reading: Mapped[float | None]
    unit: Mapped[str] = mapped_column(default="")
    refusal: Mapped[str] = mapped_column(default="")
