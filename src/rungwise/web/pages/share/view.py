"""The links to a call's report, as its page lists them."""

from __future__ import annotations

from pydantic import Field

from rungwise.records import UnitOfWork
from rungwise.web.shown import Shown
from rungwise.wording import day_told, moment_told

SHARED = "/r/"
"""Begins the path of every report that a link opens; nothing else stands below it."""


class ShareLine(Shown):
    """A link that opens the report now. until: its last day. who, at: made by whom, and when."""

    id: int
    url: str = Field(description="what the customer is sent")
    until: str
    who: str
    at: str


def share_lines(book: UnitOfWork, number: int, address: str) -> list[ShareLine]:
    """The links of a call; address: what they begin with, without its last stroke."""
    clock = book.hand.clock
    return [
        ShareLine(
            id=each.id,
            url=f"{address}{SHARED}{book.shares.token(each)}",
            until=day_told(each.ends_at.astimezone(clock)),
            who=book.persons.get(each.person_id).name if each.person_id is not None else "",
            at=moment_told(each.at.astimezone(clock)),
        )
        for each in book.shares.of_call(number)
    ]
