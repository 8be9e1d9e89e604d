"""Links to the customer reports of calls: made, signed, ended."""

from __future__ import annotations

import datetime as dt
import hashlib
import hmac
import re
import secrets

from sqlalchemy import select

from rungwise.errors import UnknownName
from rungwise.records.rows import Call, Share
from rungwise.records.session import NUMBERS, RecordSession
from rungwise.wording import mark

_TOKEN = re.compile(
    rf"(?P<number>[0-9]{{1,{len(str(NUMBERS[-1]))}}})\.(?P<end>[0-9]+)\.(?P<signature>[0-9a-f]{{40}})"
)


class Shares:
    """Links of a shop; each opens one report, until its end."""

    def __init__(self, hand: RecordSession) -> None:
        self.hand = hand

    def make(self, call_id: int, stands: dt.timedelta, language: str) -> Share:
        """A new link. Raises UnknownName when there is no such call."""
        self.hand.locked(Call, call_id)
        made = Share(
            call_id=call_id, key=secrets.token_hex(32), language=language,
            person_id=self.hand.person_id, at=self.hand.at, zone=self.hand.zone,
            ends_at=self.hand.kept_at + stands,
        )  # fmt: skip
        return self.hand.add(made)

    def end(self, call_id: int, number: int) -> Share:
        """Let a link open nothing any more. Raises UnknownName where the call has no such link."""
        found = self.hand.locked(Share, number)
        if found.call_id != call_id:
            raise UnknownName(what=mark("This call has no such link."), value=str(number))
        if found.ended_at is None:
            found.ended_at, found.ended_by_id = self.hand.kept_at, self.hand.person_id
        return found

    def of_call(self, call_id: int) -> list[Share]:
        """The links of a call that open something now, oldest first."""
        query = select(Share).where(
            Share.call_id == call_id, Share.ended_at.is_(None), Share.ends_at > self.hand.kept_at
        )
        return list(self.hand.session.scalars(query.order_by(Share.id)))

    def token(self, share: Share) -> str:
        """What stands in the link: its number, its end, and a signature over both and the call."""
        return f"{share.id}.{_end(share)}.{_signature(share)}"  # `_TOKEN` reads it

    def opened(self, token: str) -> Share | None:
        """The link of a token that was made here, stands, and was not ended; None for any other."""
        told = _TOKEN.fullmatch(token)
        number = int(told["number"]) if told else 0
        found = self.hand.session.get(Share, number) if number in NUMBERS else None
        if told is None or found is None or told["end"] != _end(found):
            return None
        if not hmac.compare_digest(told["signature"], _signature(found)):
            return None
        now = self.hand.kept_at
        return found if found.ended_at is None and now < found.ends_at else None


def _end(share: Share) -> str:
    return str(int(share.ends_at.timestamp()))


def _signature(share: Share) -> str:
    """HMAC-SHA-256 with the link's own key, which no page shows."""
    told = f"{share.id} {share.call_id} {_end(share)}".encode()
    return hmac.new(bytes.fromhex(share.key), told, hashlib.sha256).hexdigest()[:40]
