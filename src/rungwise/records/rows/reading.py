"""An outcome of a check: a symptom, a reading, or a reading that proves the work."""

from __future__ import annotations

from sqlalchemy import CheckConstraint, ForeignKey
from sqlalchemy.orm import Mapped, mapped_column

from rungwise.records.rows.kept import OfCall

__all__ = ["READING_KINDS", "Reading"]

READING_KINDS = ("symptom", "reading", "proof")


class Reading(OfCall):
    """An outcome as it was typed, and what it was taken for.

    number, unit: of a measurement, number infinite for an open circuit. choice: of a look.
    Both are None where it could not be made, or where it is refused; refusal then says why.
    taken: the how-manieth time this check was made on the call, from 1.
    visit_id: the visit on which it was taken.
    """

    __tablename__ = "reading"
    __table_args__ = (
        CheckConstraint(f"kind IN {READING_KINDS}", name="kind"),
        {"sqlite_autoincrement": True},
    )

    kind: Mapped[str] = mapped_column(default="reading")
    check: Mapped[str]
    taken: Mapped[int] = mapped_column(default=1)
    typed: Mapped[str]
    number: Mapped[float | None]
    choice: Mapped[str | None]
    unit: Mapped[str] = mapped_column(default="")
    note: Mapped[str] = mapped_column(default="")
    refusal: Mapped[str] = mapped_column(default="")
    visit_id: Mapped[int | None] = mapped_column(ForeignKey("visit.id"))

    @property
    def value(self) -> float | str | None:
        """The outcome as the belief takes it."""
        return self.number if self.choice is None else self.choice

    @property
    def counts(self) -> bool:
        """Whether something stands here that the belief can use."""
        return self.stands and bool(self.typed.strip()) and not self.refusal
