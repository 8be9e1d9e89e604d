"""What the shop writes by hand for a customer's page, as fields of a call."""

from __future__ import annotations

from collections.abc import Mapping

from rungwise.diagnosis import ByHand
from rungwise.records.rows import Entry
from rungwise.records.unit_of_work import UnitOfWork

PAPER_FIELD = "paper."
"""Begins the name of the field that keeps a key of `[paper]`."""


def by_hand_of(entries: Mapping[str, Entry]) -> ByHand:
    """What stands in the fields of a call."""
    return ByHand.typed(
        {name.removeprefix(PAPER_FIELD): each.typed for name, each in entries.items()
         if name.startswith(PAPER_FIELD)}
    )  # fmt: skip


def keep_by_hand(book: UnitOfWork, call_id: int, told: ByHand) -> None:
    """Leave what a file tells in the fields of a call."""
    for key, text in told.as_typed().items():
        book.calls.leave(call_id, f"{PAPER_FIELD}{key}", text)
