"""What was at fault in the end."""

from __future__ import annotations

from sqlalchemy.orm import Mapped, mapped_column

from rungwise.records.rows.kept import OfCall

__all__ = ["Truth"]


class Truth(OfCall):
    """The part that was at fault, known after the repair; upkeep learns its weights from it.

    suspect: the fault mode, such as ``contactor.coil_open``, where it is known. how: how it is
    known, such as "runs since the new part" or "seen when cut open".
    """

    __tablename__ = "truth"

    part: Mapped[str]
    suspect: Mapped[str] = mapped_column(default="")
    how: Mapped[str] = mapped_column(default="")
