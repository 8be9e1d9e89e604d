"""The page for forms that were sent: each counts once, whatever sends it again."""

from __future__ import annotations

import datetime as dt

from sqlalchemy import select
from sqlalchemy.dialects import postgresql, sqlite

from rungwise.records.rows import SentForm
from rungwise.records.session import RecordSession


class SentForms:
    """Forms by the token that they carried."""

    def __init__(self, hand: RecordSession) -> None:
        self.hand = hand

    def of(self, token: str) -> SentForm | None:
        """The sending of that token, None while it has not been kept."""
        query = select(SentForm).where(SentForm.token == token)
        fresh = query.execution_options(populate_existing=True)
        return self.hand.session.scalars(fresh).one_or_none()

    def claim(
        self, token: str, path: str, *, answer: str = "", device_at: dt.datetime | None = None
    ) -> bool:
        """Keep that this form was sent; False where it was kept before, and then write nothing.

        Call it before anything else is written: of two that send one form at once, the second
        waits here for the first, on whichever server it is.
        """
        self.hand.may_write()
        insert = sqlite.insert if self._on_sqlite() else postgresql.insert
        made = self.hand.session.execute(
            insert(SentForm)
            .values(
                token=token, path=path, answer=answer, person_id=self.hand.person_id,
                at=self.hand.at, device_at=device_at, kept_at=self.hand.kept_at,
            )
            .on_conflict_do_nothing(index_elements=[SentForm.token])
            .returning(SentForm.id)
        )  # fmt: skip
        return made.scalar_one_or_none() is not None

    def led(self, token: str, answer: str) -> None:
        """Say where a form leads, once that is known."""
        sent = self.of(token)
        if sent is not None:
            sent.answer = answer

    def _on_sqlite(self) -> bool:
        return self.hand.session.connection().dialect.name == "sqlite"
