"""The end of a call, signed."""

from __future__ import annotations

from typing import Any

from sqlalchemy.orm import Mapped, mapped_column

from rungwise.records.rows.kept import OfCall

__all__ = ["SignOff"]


class SignOff(OfCall):
    """What was told to the customer, and who took it.

    received_by: the name of the person who signed for it. facts: anything else that was shown.
    """

    __tablename__ = "sign_off"

    text: Mapped[str]
    received_by: Mapped[str] = mapped_column(default="")
    facts: Mapped[dict[str, Any] | None]
