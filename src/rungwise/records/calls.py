"""The pages for calls and the visits to their units."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from typing import ClassVar
from zoneinfo import ZoneInfo

from sqlalchemy import ColumnElement, select

from rungwise.diagnosis import chips_named
from rungwise.errors import BadRecord
from rungwise.records.repository import Reader, Repository, day, one_of, text
from rungwise.records.rows import (
    CALL_KINDS,
    Call,
    Customer,
    Entry,
    Person,
    Site,
    Unit,
    Visit,
    complaint_ids,
)
from rungwise.wording import mark

ON_UNIT = "unit"
"""The field of a call that tells which unit it is about."""


class Visits(Repository[Visit]):
    """Who was at a unit, and from when to when."""

    row = Visit
    fields: ClassVar[Mapping[str, Reader]] = {"note": text}

    def arrive(self, call_id: int) -> Visit:
        """Whoever writes is at the unit now. A visit that is not over goes on."""
        self.hand.turn(Call, call_id)
        here = [
            each for each in self.of_call(call_id)
            if each.left_at is None and each.person_id == self.hand.person_id
        ]  # fmt: skip
        if here:
            return here[-1]
        made = Visit(
            call_id=call_id, person_id=self.hand.person_id, arrived_at=self.hand.at,
            zone=self.hand.zone,
        )  # fmt: skip
        return self.hand.add(made)

    def depart(self, number: int) -> Visit:
        """The visit is over."""
        visit = self.hand.turn(Visit, number)
        visit.left_at = max(self.hand.at, visit.arrived_at)  # a clock may have been set back
        return visit

    def of_call(self, call_id: int) -> list[Visit]:
        """The visits of a call, first to last."""
        query = select(Visit).where(Visit.call_id == call_id).order_by(Visit.arrived_at, Visit.id)
        return list(self.hand.session.scalars(query))


def _a_day(typed: str) -> dt.date:
    found = day(typed)
    if found is None:
        raise BadRecord(
            what=mark("The day of the call is empty."), next_step=mark("write it like 2026-07-14")
        )
    return found


def _complaint(typed: str) -> str:
    """Ids of what was said, with commas between. Raises UnknownName for one that is not known."""
    return ",".join(chip.id for chip in chips_named(complaint_ids(typed)))


class Calls(Repository[Call]):
    """Service calls and practice calls."""

    row = Call
    fields: ClassVar[Mapping[str, Reader]] = {
        "title": text, "suspected": text, "note": text, "day": _a_day, "complaint": _complaint,
    }  # fmt: skip

    def open(  # noqa: PLR0913  # the fields of a form, by name
        self,
        unit_id: int | None,
        *,
        title: str = "",
        customer_id: int | None = None,
        technician_id: int | None = None,
        suspected: str = "",
        complaint: Iterable[str] = (),
        note: str = "",
        day: dt.date | None = None,
        kind: str = "service",
        booked: bool = False,
    ) -> Call:
        """A new call, worked from now on, or booked for a day.

        day: today in the zone of whoever writes, when none is given. customer_id: the one of the
        unit's site when none is given. kind: "service" or "practice".
        complaint: ids of what the customer said.
        Raises UnknownName for a unit that is not there, or a complaint that is not known.
        """
        made = Call(
            unit_id=unit_id, title=title.strip(), technician_id=technician_id,
            customer_id=customer_id or self._customer_of(unit_id), suspected=suspected.strip(),
            complaint=_complaint(",".join(complaint)),
            note=note, day=day or self.today(), kind=one_of("kind of call", CALL_KINDS)(kind),
            state="booked" if booked else "open", opened_at=self.hand.at,
        )  # fmt: skip
        return self.hand.add(made)

    def today(self) -> dt.date:
        """What day it is for whoever writes or reads."""
        return self.hand.at.astimezone(ZoneInfo(self.hand.zone)).date()

    def start(self, number: int) -> Call:
        """Begin a booked call, or take up a closed one again."""
        call = self.hand.turn(Call, number)
        call.state, call.closed_at = "open", None
        return call

    def close(self, number: int) -> Call:
        """Close it."""
        call = self.hand.turn(Call, number)
        # A clock that was set back closes no call before it was opened.
        call.state, call.closed_at = "closed", max(self.hand.at, call.opened_at)
        return call

    def give(self, number: int, technician_id: int | None) -> Call:
        """Say whose call it is."""
        call = self.hand.turn(Call, number)
        call.technician_id = technician_id
        return call

    def put_on(self, number: int, unit_id: int | None, customer_id: int | None = None) -> Call:
        """Say which unit it is about, and who called."""
        was = self.get(number).unit_id
        self.leave(number, ON_UNIT, str(unit_id or ""), was=str(was or ""))
        call = self.get(number)
        call.unit_id = unit_id
        call.customer_id = customer_id or self._customer_of(unit_id) or call.customer_id
        return call

    def reset(self, number: int, entry: Entry, before: Entry | None) -> None:
        """As for any field; the unit that the call is about is one too."""
        super().reset(number, entry, before)
        if entry.field == ON_UNIT:
            told = before.typed if before else entry.was
            self.get(number).unit_id = int(told) if told else None

    def of_day(self, on: dt.date, *, kind: str = "service") -> list[Call]:
        """The calls of a day, in the order in which they came in."""
        return self._found(Call.day == on, Call.kind == kind)

    def unfinished(self, *, kind: str = "service") -> list[Call]:
        """Those that are not closed, of any day."""
        return self._found(Call.state != "closed", Call.kind == kind)

    def of_unit(self, unit_id: int) -> list[Call]:
        """The history of a unit, practice left out."""
        return self._found(Call.unit_id == unit_id, Call.kind == "service")

    def people(self, call: Call) -> tuple[Customer | None, Person | None]:
        """Who called, and whose call it is."""
        session = self.hand.session
        customer = session.get(Customer, call.customer_id) if call.customer_id else None
        person = session.get(Person, call.technician_id) if call.technician_id else None
        return customer, person

    def _found(self, *conditions: ColumnElement[bool]) -> list[Call]:
        query = select(Call).where(*conditions).order_by(Call.day, Call.id)
        return list(self.hand.session.scalars(query))

    def _customer_of(self, unit_id: int | None) -> int | None:
        unit = self.hand.get(Unit, unit_id) if unit_id else None
        site = self.hand.session.get(Site, unit.site_id) if unit and unit.site_id else None
        return site.customer_id if site else None
