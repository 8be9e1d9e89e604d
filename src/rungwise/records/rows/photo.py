"""A photo."""

from __future__ import annotations

import datetime as dt

from sqlalchemy import ForeignKey
from sqlalchemy.orm import Mapped, mapped_column

from rungwise.records.rows.base import Versioned

__all__ = ["Photo"]


class Photo(Versioned):
    """A photo of a unit or on a call, without what the camera wrote into it about itself.

    shows: what it is of: "nameplate", "wires as found", a part or a terminal. digest: SHA-256 of
    content. at: when it was sent; kept_at: when it was written down here. small: a version for
    lists. removed: taken out of sight, by whoever may do that.
    """

    __tablename__ = "photo"

    call_id: Mapped[int | None] = mapped_column(ForeignKey("call.id"), index=True)
    unit_id: Mapped[int | None] = mapped_column(ForeignKey("unit.id"), index=True)
    person_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"))
    at: Mapped[dt.datetime]
    zone: Mapped[str]
    kept_at: Mapped[dt.datetime | None]
    media_type: Mapped[str]
    width: Mapped[int]
    height: Mapped[int]
    digest: Mapped[str] = mapped_column(index=True)
    shows: Mapped[str] = mapped_column(default="")
    caption: Mapped[str] = mapped_column(default="")
    removed: Mapped[bool] = mapped_column(default=False)
    # Left in the database until asked for: a list of photos shows none of them in full.
    content: Mapped[bytes] = mapped_column(deferred=True)
    small: Mapped[bytes] = mapped_column(deferred=True)
