"""What the readings spoke for, at a moment of a call."""

from __future__ import annotations

from sqlalchemy.orm import Mapped, mapped_column

from rungwise.records.rows.kept import OfCall

__all__ = ["Verdict"]


class Verdict(OfCall):
    """A verdict as it was shown. engine: the version of Rungwise that gave it."""

    __tablename__ = "verdict"

    kind: Mapped[str]
    suspect: Mapped[str] = mapped_column(default="")
    part: Mapped[str] = mapped_column(default="")
    probability: Mapped[float | None]
    text: Mapped[str]
    engine: Mapped[str]
