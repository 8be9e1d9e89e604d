"""A form that was sent, under the token that makes it count once."""

from __future__ import annotations

import datetime as dt

from sqlalchemy import ForeignKey
from sqlalchemy.orm import Mapped, mapped_column

from rungwise.records.rows.base import Row

__all__ = ["SentForm"]


class SentForm(Row):
    """One sending, written with all that it made or not at all.

    token: what the form carried; the database holds none twice. path: where it was sent.
    answer: the path it led to. person_id: who was working when it was filled in. at: when that was,
    by the clock of the records; device_at: by the clock of the device, None where it told none.
    kept_at: when it was written down here.
    """

    __tablename__ = "sent"

    token: Mapped[str] = mapped_column(unique=True)
    path: Mapped[str]
    answer: Mapped[str]
    person_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"))
    at: Mapped[dt.datetime]
    device_at: Mapped[dt.datetime | None]
    kept_at: Mapped[dt.datetime]
