"""The wires as found, or as left."""

from __future__ import annotations

from sqlalchemy import CheckConstraint
from sqlalchemy.orm import Mapped, mapped_column

from rungwise.records.rows.kept import OfCall

__all__ = ["STAGES", "Wires"]

STAGES = ("as found", "as left")


class Wires(OfCall):
    """A wires file's text. refusal: why it cannot be used, "" where it can."""

    __tablename__ = "wires"
    __table_args__ = (
        CheckConstraint(f"stage IN {STAGES}", name="stage"),
        {"sqlite_autoincrement": True},
    )

    stage: Mapped[str]
    toml: Mapped[str]
    refusal: Mapped[str] = mapped_column(default="")
