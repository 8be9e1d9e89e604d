"""Signs that the fonts lack, words without end, and the lines of a bill."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.report.full import full_score

from rungwise.errors import BadInput
from rungwise.report import signs
from rungwise.report.content import Price
from rungwise.report.layout import Layout
from rungwise.report.prices import prices_in, total_of
from rungwise.report.signs import LACKING, LONGEST, printable
from rungwise.report.typeset import typeset


def test_a_sign_that_no_font_has_stands_as_an_empty_square() -> None:
    assert printable("Li 李 \N{SMILING FACE WITH SUNGLASSES}") == f"Li {LACKING} {LACKING}"
    assert printable("Ångström, Пётр, Ωµ°±≥→") == "Ångström, Пётр, Ωµ°±≥→"
    assert printable("a\x00b\x1bc\u202ed") == "abcd"


def test_no_line_ends_between_a_number_and_its_unit() -> None:
    told = printable("24.2 to 28.8 A, 20 kΩ, 99 %, 5 °F; 3 tons at 14 Mill Street, 2 Volts Road")
    gaps = [told[at - 1 : at + 2] for at, sign in enumerate(told) if sign == "\N{NO-BREAK SPACE}"]
    assert gaps == ["8\xa0A", "0\xa0k", "9\xa0%", "5\xa0°"]


@given(st.text(max_size=80))
def test_no_word_is_longer_than_a_column(text: str) -> None:
    pieces = printable(text).replace("\u200b", " ").split()
    assert max((len(each) for each in pieces), default=0) < LONGEST


@given(st.text(max_size=80))
def test_printing_twice_changes_nothing_more(text: str) -> None:
    assert printable(printable(text)) == printable(text)


def test_every_sign_that_is_let_through_can_be_set() -> None:
    """PDF/A refuses a sign without a shape; the typesetter would raise."""
    covered = "".join(
        printable(chr(code)) for low, high in signs._COVERED for code in range(low, high + 1)
    )
    told = full_score(Layout()).as_json() | {"fault": " ".join(covered)}
    assert typeset("practice", told, {}, Layout()).startswith(b"%PDF")


def test_the_lines_of_a_bill_are_added_up_in_one_money() -> None:
    prices = prices_in("# a comment\n\ndual run capacitor: 38.50 $\nlabour, 1.5 h: 180 $\n")
    assert prices == (Price("dual run capacitor", "38.50 $"), Price("labour, 1.5 h", "180 $"))
    assert total_of(prices) == "218.50 $"
    assert total_of(prices_in("part: €12,30\nvisit: €80")) == "€92.30"
    assert total_of(prices_in("compressor: $1,240\nvisit: $90.50")) == "$1330.50"
    assert total_of(prices_in("compressor: 1.240,50 €\nback: -40 €")) == "1200.50 €"
    assert total_of(prices_in("part: 12 $\nvisit: 80 €")) == ""
    assert total_of(prices_in("part: 12 $")) == ""


@pytest.mark.parametrize("typed", ["capacitor", "capacitor: free", "capacitor 38.50", ": 12"])
def test_a_line_without_an_amount_is_refused_with_its_number(typed: str) -> None:
    with pytest.raises(BadInput) as refused:
        prices_in(f"visit: 80 $\n{typed}")
    assert refused.value.line == 2
    assert refused.value.value == typed
