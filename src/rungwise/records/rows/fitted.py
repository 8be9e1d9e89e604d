"""A part that was or will be fitted."""

from __future__ import annotations

from typing import Any

from sqlalchemy.orm import Mapped, mapped_column

from rungwise.records.rows.kept import OfCall

__all__ = ["FittedPart"]


class FittedPart(OfCall):
    """A part fitted, in place of `part`. candidate: its table as in a candidates file; None: none.

    typed: what was typed where it is not a candidate that can be used, refusal says why.
    """

    __tablename__ = "fitted"

    part: Mapped[str]
    candidate: Mapped[dict[str, Any] | None]
    typed: Mapped[str] = mapped_column(default="")
    refusal: Mapped[str] = mapped_column(default="")
    note: Mapped[str] = mapped_column(default="")
