"""Texts are measured no narrower than fonts draw them, and what goes into SVG is escaped."""

from __future__ import annotations

from xml.etree import ElementTree as ET

import pytest
from PIL import ImageFont

from rungwise.drawing.ink import colour_code, colour_words, wire_ink
from rungwise.drawing.lettering import text_width, wrapped
from rungwise.drawing.picture import LabelBox, label_box, overlaps
from rungwise.drawing.svg import Ids, document, tag, text, thing

WORDS = "The quick brown fox jumps over the lazy dog, 45 µF; HERM–FAN (C) 0.15 Ω? WIDE MMWW %"


def test_no_text_is_wider_than_measured() -> None:
    """Against the font that Pillow carries."""
    font = ImageFont.load_default(size=110)
    for word in (WORDS, *WORDS.split()):
        assert font.getlength(word) / 10 <= text_width(word, 11.0)


def test_a_name_breaks_at_spaces_and_hyphens_and_ends_in_dots() -> None:
    assert wrapped("low-pressure switch", 70) == ("low-", "pressure", "switch")
    assert wrapped("", 70) == ()
    short = wrapped("a very long name of a part that nobody can read", 60, most=2)
    assert len(short) == 2
    assert short[-1].endswith("…")
    assert all(text_width(line) <= 60 for line in short)


@pytest.mark.parametrize(
    ("colour", "code"),
    [("black", "BK"), ("yellow/black", "YEBK"), ("green/yellow", "GNYE"), ("purple", "VT")],
)
def test_letter_codes(colour: str, code: str) -> None:
    """IEC 60757 (from memory)."""
    assert colour_code(colour) == code
    assert wire_ink(colour).code == code


def test_an_unknown_colour_keeps_its_word() -> None:
    assert colour_code("beige") == "beige"
    assert colour_words(["beige/red", "red", "grey"]) == (("GY", "gray"), ("RD", "red"))


def test_boxes_that_only_touch_do_not_overlap() -> None:
    one, two = LabelBox("a", 0, 0, 10, 10), LabelBox("b", 10, 0, 10, 10)
    assert overlaps([one, two]) == ()
    assert overlaps([one, LabelBox("c", 9, 9, 10, 10)]) != ()
    ends = [label_box("word", 50, 10, anchor=each).x for each in ("start", "middle", "end")]
    assert ends == sorted(ends, reverse=True)


def test_what_people_type_is_escaped() -> None:
    named = thing(Ids("p"), "part", "a", '<b> & "c" \x00', tag("line"), fill="none", rx=None)
    svg = document(Ids("p"), (10, 10), "<t>", "&", named, text("<&>", 0, 0))
    root = ET.fromstring(svg)  # noqa: S314 - our own writing
    titles = [each.text for each in root.iter() if each.tag.endswith("title")]
    assert titles == ["<t>", '<b> & "c" ']
    assert root.get("id") == "p"
