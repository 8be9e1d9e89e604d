"""What the records hold of a call, read in one go, so that no lock is held while it is solved."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from rungwise import records
from rungwise.errors import BadRecord
from rungwise.maintenance import ClosedCall
from rungwise.records import UnitOfWork, call_values, unit_text
from rungwise.services import closed_calls
from rungwise.web.pages.call.view import EntryLine, PhotoLine
from rungwise.web.unit_contents import unit_has
from rungwise.web.unit_search import UnitLine, line_of
from rungwise.wording import mark, moment_told


@dataclass(frozen=True)
class CallContext:
    """Rows of one call. values: what its file holds. unit_text: the unit file, "" if none yet.

    told: symptoms and readings, everything ever told, oldest first. closed: the shop's calls that
    its odds start from; none where it is practice, which no shop's luck should help or hurt.
    worked: the stages of the work that the records hold as done, by `web.way`'s ids.
    """

    call: records.Call
    customer: str
    technician: str
    unit: records.Unit | None
    unit_line: UnitLine | None
    values: Mapping[str, Any]
    unit_text: str
    told: tuple[records.Reading, ...]
    photos: list[PhotoLine]
    today: dt.date
    closed: tuple[ClosedCall, ...] = ()
    worked: frozenset[str] = frozenset()

    @property
    def standing(self) -> list[records.Reading]:
        """What stands, in the order in which each was told; what was taken back is left out."""
        return [each for each in self.told if each.stands and each.typed.strip()]

    @property
    def beside(self) -> list[records.Reading]:
        """What came from stale forms."""
        return [each for each in self.told if each.beside and each.superseded_by_id is None]


def gathered(book: UnitOfWork, number: int) -> CallContext:
    """Everything of one call. Raises UnknownName when there is no such call."""
    call = book.calls.get(number)
    customer, technician = book.calls.people(call)
    unit = book.units.get(call.unit_id) if call.unit_id else None
    toml = _unit_text(unit)
    told = [*book.symptoms.history(number), *book.readings.history(number)]
    return CallContext(
        call=call,
        customer=customer.name if customer else "",
        technician=technician.name if technician else "",
        unit=unit,
        unit_line=line_of(book, unit.id) if unit else None,
        values=call_values(book, number, has=unit_has(toml)),
        unit_text=toml,
        told=tuple(told),
        photos=photo_lines(book.photos.of_call(number)),
        today=book.calls.today(),
        closed=_closed(book, call),
        worked=frozenset(_worked(book, number)),
    )


def _worked(book: UnitOfWork, number: int) -> Iterator[str]:
    """What the records alone tell of the work: a part fitted, its wires as left, a report signed.

    That the power is off or a repair verified is no fact of the records: readings are judged there.
    """
    if book.fitted.standing(number):
        yield "part"
    wires = book.wires.standing(number)
    if any(each.stage == "as left" and not each.refusal for each in wires):
        yield "wires"
    if book.sign_offs.last(number):
        yield "report"


def _closed(book: UnitOfWork, call: records.Call) -> tuple[ClosedCall, ...]:
    """What was known when this call was closed, so that its odds stay as they were signed."""
    if call.kind != "service":
        return ()
    return closed_calls(book, call.closed_at if call.state == "closed" else None)


def _unit_text(unit: records.Unit | None) -> str:
    try:
        return unit_text(unit) if unit else ""
    except BadRecord:
        return ""


def photo_lines(rows: Sequence[records.Photo]) -> list[PhotoLine]:
    """Photos for a list, newest last."""
    return [
        PhotoLine(
            id=each.id,
            shows=each.shows,
            caption=each.caption,
            width=each.width,
            height=each.height,
        )
        for each in rows
    ]


def written(row: records.Reading, today: dt.date) -> EntryLine:
    """A row as it is shown: what was typed, who and when."""
    at = row.local
    return EntryLine(
        id=row.id,
        text=row.typed or mark("taken back"),
        who=row.person.name if row.person else mark("somebody"),
        at=moment_told(at, today),
        wrong=row.refusal,
    )
