"""The line of a bill for a part that is installed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rungwise.records import UnitOfWork
from rungwise.web.pages.paper.papers import PRICES, prices_wrong


def line_of(table: Mapping[str, Any]) -> str:
    """What a part costs, as a line of the bill; "" for a part without a price."""
    price = table.get("price")
    return f"{table['name']}: ${price:.2f}" if isinstance(price, int | float) else ""


def put_on_bill(book: UnitOfWork, call: int, table: Mapping[str, Any]) -> None:
    """Put a part on a call's bill, once; what else stands there stays."""
    line, lines = line_of(table), _lines(book, call)
    if line and line not in lines:
        _keep(book, call, [*lines, line])


def take_off_bill(book: UnitOfWork, call: int, table: Mapping[str, Any]) -> None:
    """Take a part off a call's bill; a line that somebody changed since stays."""
    line, lines = line_of(table), _lines(book, call)
    if line in lines:
        _keep(book, call, [each for each in lines if each != line])


def _lines(book: UnitOfWork, call: int) -> list[str]:
    kept = book.calls.entries(call).get(PRICES)
    return [each for each in (kept.typed if kept else "").splitlines() if each.strip()]


def _keep(book: UnitOfWork, call: int, lines: list[str]) -> None:
    text = "\n".join(lines)
    book.calls.leave(call, PRICES, text, refusal=prices_wrong(text))
