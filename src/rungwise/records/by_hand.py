"""What the shop writes by hand for a customer's page, as fields of a call."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from rungwise.diagnosis.by_hand import PAPER_LISTS, PAPER_TEXTS, ByHand
from rungwise.records.rows import Entry
from rungwise.records.toml_text import lines, quoted
from rungwise.records.unit_of_work import UnitOfWork

__all__ = ["PAPER_FIELD", "by_hand_of", "keep_by_hand", "paper_rows"]

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


def paper_rows(told: ByHand) -> Iterator[str]:
    """The table `[paper]` of a call's file, nothing where nobody wrote anything."""
    typed = told.as_typed()
    if not typed:
        return
    yield from ("", "[paper]")
    yield from lines({key: typed[key] for key in PAPER_TEXTS if key in typed})
    for key in PAPER_LISTS:
        rows = getattr(told, key)
        if rows:
            yield f"{key} = [{', '.join(quoted(each) for each in rows)}]"
