"""What a practice call hides, and how it went."""

from __future__ import annotations

import datetime as dt

from sqlalchemy import BigInteger, ForeignKey
from sqlalchemy.orm import Mapped, mapped_column

from rungwise.records.rows.base import Row

__all__ = ["Practice"]


class Practice(Row):
    """A practice call's hidden fault, and its score once it is finished.

    fault: the suspect's id. seed: of the specimen and the meter. named: the part that was named.
    """

    __tablename__ = "practice"

    call_id: Mapped[int] = mapped_column(ForeignKey("call.id"), unique=True)
    fault: Mapped[str]
    seed: Mapped[int] = mapped_column(BigInteger)
    finished_at: Mapped[dt.datetime | None]
    named: Mapped[str] = mapped_column(default="")
    right: Mapped[bool | None]
    checks: Mapped[int | None]
    wrong_parts: Mapped[int | None]
    score: Mapped[float | None]
