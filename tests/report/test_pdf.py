"""The file itself: what it is, that it stays the same, and that nothing runs off a page."""

from __future__ import annotations

import io
from collections.abc import Callable
from typing import Any

import pytest
from PIL import Image, ImageChops
from tests.report.full import (
    HEAD,
    LONG,
    PHOTOS,
    READINGS,
    UNBROKEN,
    full_page,
    full_record,
    full_score,
)
from tests.report.reading_back import fonts_of, opened, root_of, spots_of, text_of, xmp_of

from rungwise.report import Layout, Paper
from rungwise.report.typeset import typeset

Make = Callable[[Layout], Paper]
MAKES = (full_record, full_page, full_score)
LETTER, A4 = Layout("letter", "us"), Layout("a4", "si")
POINTS = {"letter": (612.0, 792.0), "a4": (595.28, 841.89)}
"""ANSI A and ISO 216 A4, in points of 1/72 inch."""

MARGIN = 54.0
FOOT = 24.0
"""Points at the edges that nothing may stand in; the foot of a page lies below its margin."""

DRAWN = 2.0
"""The bar of a heading and a stroke reach so far over the edge of the text."""


@pytest.fixture(scope="module", params=MAKES, ids=lambda make: make.__name__)
def pdf(request: pytest.FixtureRequest) -> bytes:
    return bytes(request.param(LETTER).pdf())


def test_the_same_content_gives_the_same_bytes() -> None:
    """With photos and pictures; set in another folder each time."""
    assert full_record(A4).pdf() == full_record(A4).pdf()


def test_it_says_that_it_is_pdf_a_2a_and_pdf_ua_1(pdf: bytes) -> None:
    told = xmp_of(pdf)
    assert "<pdfaid:part>2</pdfaid:part>" in told
    assert "<pdfaid:conformance>A</pdfaid:conformance>" in told
    assert "<pdfuaid:part>1</pdfuaid:part>" in told
    root = root_of(pdf)
    assert root["/MarkInfo"]["/Marked"]
    assert str(root["/Lang"]) == "en"
    assert "/OutputIntents" in root


def test_its_headings_are_bookmarks_and_its_title_is_shown(pdf: bytes) -> None:
    read = opened(pdf)
    outline: Any = read.outline
    top, below = outline
    assert HEAD.title in str(read.metadata and read.metadata.title)
    assert str(top["/Title"]) in ("Service record", "Service report", "Practice score")
    assert len(below) >= 5
    assert root_of(pdf)["/ViewerPreferences"]["/DisplayDocTitle"]
    assert not read.is_encrypted


def test_its_date_is_the_day_of_the_call(pdf: bytes) -> None:
    told = opened(pdf).metadata
    assert told is not None
    assert str(told["/CreationDate"]).startswith("D:20260714")
    assert HEAD.title in str(told["/Title"])


def test_a_call_without_a_day_gives_the_same_bytes_too() -> None:
    paper = full_score(LETTER)
    told = paper.as_json()
    told["head"]["day"] = ""
    first, again = (typeset("practice", told, {}, LETTER) for _ in range(2))
    assert first == again


def test_every_font_lies_in_the_file(pdf: bytes) -> None:
    fonts = fonts_of(pdf)
    assert fonts
    assert all(fonts.values())
    assert {name.partition("+")[2].partition("-")[0] for name in fonts} <= {
        "LibertinusSerif", "DejaVuSansMono",
    }  # fmt: skip


def test_long_names_can_be_found_in_its_text(pdf: bytes) -> None:
    squeezed = text_of(pdf).replace(" ", "").replace("-", "")
    assert UNBROKEN in squeezed
    assert LONG.replace(" ", "").replace("-", "") in squeezed


def test_forty_readings_and_a_dozen_photos_are_all_there() -> None:
    pdf = full_record(LETTER).pdf()
    told = text_of(pdf)
    assert all(f"Ohms number {at} from" in told for at in range(1, READINGS + 1))
    assert sum(len(page.images) for page in opened(pdf).pages) == PHOTOS


@pytest.mark.parametrize("layout", [LETTER, A4], ids=["letter", "a4"])
def test_no_text_begins_outside_the_margins(layout: Layout) -> None:
    width, height = POINTS[layout.size]
    pdf = full_page(layout).pdf()
    box = opened(pdf).pages[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx((width, height), abs=0.5)
    outside = [
        spot
        for spot in spots_of(pdf)
        if not (MARGIN - 0.1 <= spot.x <= width - MARGIN and FOOT <= spot.y <= height - MARGIN)
    ]
    assert outside == []


@pytest.mark.parametrize(
    ("make", "layout"),
    [(full_record, A4), (full_record, LETTER), (full_page, A4), (full_score, LETTER)],
)
def test_no_ink_stands_in_the_margins(make: Make, layout: Layout) -> None:
    """Looked at as a picture, a point a dot, pictures and rules included."""
    for number, page in enumerate(make(layout).png(), start=1):
        left, top, right, bottom = inked(page)
        width, height = POINTS[layout.size]
        assert left >= MARGIN - DRAWN, number
        assert right <= width - MARGIN + DRAWN, number
        assert top >= MARGIN - DRAWN, number
        assert bottom <= height - FOOT, number


def inked(page: bytes) -> tuple[int, int, int, int]:
    """The box around everything that is not white."""
    with Image.open(io.BytesIO(page)) as opened_page:
        shown = opened_page.convert("RGB")
    box = ImageChops.difference(shown, Image.new("RGB", shown.size, "white")).getbbox()
    assert box is not None
    return box
