"""The pages for verdicts, sign-offs, and what was at fault in the end."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import Any, NamedTuple, TypeVarTuple

from sqlalchemy import Select, func, select

from rungwise.records.call_entries import CallEntries
from rungwise.records.entries import EntryResult
from rungwise.records.rows import Call, SignOff, Truth, Unit, Verdict, complaint_ids
from rungwise.version import __version__

Columns = TypeVarTuple("Columns")


class KnownCause(NamedTuple):
    """What was at fault on a closed call, and on which unit. suspect: the fault, "" if unknown.

    said: ids of what the customer said.
    """

    call_id: int
    day: dt.date
    closed_at: dt.datetime | None
    part: str
    suspect: str
    unit_id: int
    installed: dt.date | None
    toml: str
    said: tuple[str, ...]


class Verdicts(CallEntries[Verdict]):
    """Verdicts as they were shown; the last one of a call stands."""

    row = Verdict

    def give(
        self,
        call_id: int,
        kind: str,
        text: str,
        *,
        suspect: str = "",
        part: str = "",
        probability: float | None = None,
        engine: str = __version__,
    ) -> EntryResult[Verdict]:
        """Keep a verdict; the same one again is kept once. Raises UnknownName for no such call."""
        return self._keep(
            call_id, None, kind=kind, text=text, suspect=suspect, part=part,
            probability=probability, engine=engine,
        )  # fmt: skip

    def last(self, call_id: int) -> Verdict | None:
        """The last one, None before the first."""
        found = self.standing(call_id)
        return found[-1] if found else None


class SignOffs(CallEntries[SignOff]):
    """Sign-offs; the last one of a call stands."""

    row = SignOff

    def sign(
        self,
        call_id: int,
        text: str,
        *,
        received_by: str = "",
        facts: Mapping[str, Any] | None = None,
        seen: int | None = None,
    ) -> EntryResult[SignOff]:
        """Keep what the customer was told, and who took it. It does not close the call.

        Raises UnknownName when there is no such call.
        """
        shown = None if facts is None else dict(facts)
        return self._keep(call_id, seen, text=text, received_by=received_by, facts=shown)

    def last(self, call_id: int) -> SignOff | None:
        """The last one, None before the first, and once it was taken back."""
        found = self.standing(call_id)
        return found[-1] if found and not found[-1].withdrawn else None


class Truths(CallEntries[Truth]):
    """What was at fault in the end, call by call."""

    row = Truth

    def tell(
        self, call_id: int, part: str, *, suspect: str = "", how: str = "", seen: int | None = None
    ) -> EntryResult[Truth]:
        """Keep the part that was at fault; suspect: its fault mode where it is known.

        Raises UnknownName when there is no such call.
        """
        return self._keep(call_id, seen, part=part, suspect=suspect, how=how)

    def last(self, call_id: int) -> Truth | None:
        """What is held for true now, None where nobody told, or took it back."""
        found = self.standing(call_id)
        return found[-1] if found and found[-1].part else None

    def known(self) -> list[KnownCause]:
        """Every closed service call whose fault is known, by day: what weights learn from.

        Those whose truth is in dispute are in it with the one that stands.
        """
        session = self.hand.session
        # Units apart: each is the subject of many calls, and its text is long.
        theirs = Unit.id.in_(_of_closed(select(Call.unit_id)))
        told = session.execute(select(Unit.id, Unit.installed, Unit.toml).where(theirs))
        units = {number: (installed, toml) for number, installed, toml in told}
        wanted = select(
            Call.id, Call.day, Call.closed_at, Truth.part, Truth.suspect, Unit.id, Call.complaint
        )
        rows = session.execute(_of_closed(wanted).order_by(Call.day, Call.id))
        return [
            KnownCause(
                number, day, closed_at, part, suspect, unit, *units[unit], complaint_ids(said)
            )
            for number, day, closed_at, part, suspect, unit, said in rows
        ]

    def mark(self) -> tuple[int, ...]:
        """Numbers that change whenever something in `known` does; cheap to ask for."""
        told = (func.count(), func.sum(Truth.id), func.sum(Call.version), func.sum(Unit.version))
        row = self.hand.session.execute(_of_closed(select(*told))).one()
        return tuple(int(each or 0) for each in row)


def _of_closed(wanted: Select[*Columns]) -> Select[*Columns]:
    """Closed service calls, their units, and the truth that stands."""
    return (
        wanted.select_from(Call)
        .join(Unit, Call.unit_id == Unit.id)
        .join(Truth, Truth.call_id == Call.id)
        .where(Call.state == "closed", Call.kind == "service")
        .where(Truth.superseded_by_id.is_(None), ~Truth.beside, Truth.part != "")
    )
