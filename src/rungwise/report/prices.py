"""The lines of a bill, as somebody typed them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from decimal import Decimal

from rungwise.errors import BadInput
from rungwise.report.content import Price

_LINE = re.compile(r"(?P<what>.*\S)\s*[:=]\s*(?P<amount>[^:=]*\d[^:=]*)")
_SUM = r"-?(?:\d{1,3}(?:,\d{3})+(?:\.\d{1,2})?|\d{1,3}(?:\.\d{3})+,\d{1,2}|\d+(?:[.,]\d{1,2})?)"
"""Money has two digits of cents at most: a comma before three digits sets thousands apart."""

_AMOUNT = re.compile(
    rf"(?P<before>[^\d\s.,+-]{{0,4}})\s?(?P<sum>{_SUM})\s?(?P<after>[^\d\s.,+-]{{0,4}})"
)
_MONEY = re.compile(r"(?P<whole>.*?)(?:[.,](?P<cents>\d{1,2}))?")


def prices_in(text: str) -> tuple[Price, ...]:
    """The lines of a bill, one a line: "dual run capacitor: 38.50 $".

    Raises BadInput for a line that has no amount at its end.
    """
    return tuple(_prices(text))


def total_of(prices: Iterable[Price]) -> str:
    """The amounts added up, "" where they are not all in the same money, or there is one only."""
    read = [_AMOUNT.fullmatch(each.amount) for each in prices]
    told = [each for each in read if each is not None]
    signs = {(each["before"], each["after"]) for each in told}
    if len(read) < 2 or len(told) < len(read) or len(signs) != 1:
        return ""
    total = sum((_money(each["sum"]) for each in told), Decimal(0))
    ((before, after),) = signs
    return f"{before}{total:.2f}{' ' + after if after else ''}"


def _money(amount: str) -> Decimal:
    """What was typed as money: "1,234.50", "1.234,50" or "38,5"."""
    found = _MONEY.fullmatch(amount)
    whole, cents = (found["whole"], found["cents"]) if found else (amount, None)
    return Decimal("".join(re.split(r"[.,]", whole)) + (f".{cents}" if cents else ""))


def _prices(text: str) -> Iterator[Price]:
    for number, row in enumerate(text.splitlines(), start=1):
        line = row.strip()
        if not line or line.startswith("#"):
            continue
        found = _LINE.fullmatch(line)
        amount = _AMOUNT.fullmatch(found["amount"].strip()) if found else None
        if found is None or amount is None:
            raise BadInput(
                what="This line of the bill has no amount at its end.",
                line=number, value=line, allowed="what it is for, a colon, and the amount",
                next_step="write it like dual run capacitor: 38.50 $",
            )  # fmt: skip
        yield Price(found["what"].strip(), found["amount"].strip())
