"""Signal words can be read in the sun: each at 7:1 on its own ground."""

from __future__ import annotations

import re
from importlib import resources

import pytest

AAA = 7.0
WORDS = ("DANGER", "WARNING", "CAUTION", "NOTICE")


def light(colour: str) -> float:
    """Relative luminance by WCAG 2.2, from linearised sRGB (published-checks 13, W3C, memory)."""
    digits = colour.lstrip("#")
    if len(digits) == 3:
        digits = "".join(2 * each for each in digits)
    parts = [int(digits[at : at + 2], 16) / 255 for at in (0, 2, 4)]
    red, green, blue = (
        each / 12.92 if each <= 0.04045 else ((each + 0.055) / 1.055) ** 2.4 for each in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    bright, dim = sorted((light(one), light(other)), reverse=True)
    return (bright + 0.05) / (dim + 0.05)


def test_the_formula_gives_what_is_known_of_it() -> None:
    assert contrast("#fff", "#000") == pytest.approx(21.0)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.005)


@pytest.mark.parametrize("word", WORDS)
def test_a_signal_word_reaches_aaa(word: str) -> None:
    """Its rule in the style sheet has both colours plain, the same in sun and at night."""
    css = (resources.files("rungwise.web") / "static" / "rungwise.css").read_text(encoding="utf-8")
    rules = re.findall(rf"\.signal\.{word} b {{ background: (#\w+); color: (#\w+);", css)
    assert len(rules) == 1
    assert contrast(*rules[0]) >= AAA
