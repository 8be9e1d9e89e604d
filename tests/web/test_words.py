"""A number keeps its unit on its line, everywhere that is read and nowhere that is sent back."""

from __future__ import annotations

import re
from html.parser import HTMLParser

import pytest
from fastapi.testclient import TestClient
from tests.web.mill_street import UNIT_TOML

from rungwise.services import unit_from_text
from rungwise.web.filters import UNITS, together
from rungwise.web.spots import terminal_names

LOOSE = re.compile(rf"[0-9] (?:{'|'.join(map(re.escape, UNITS))})(?![\w/])")
PATHS = (
    "/calls/1?check=ohms-coil", "/calls/1/dead", "/calls/1/part", "/calls/1/wires",
    "/calls/1/proof", "/calls/1/sign-off", "/units/1/plate", "/practice",
)  # fmt: skip


class Read(HTMLParser):
    """The text of a page that lines are made of."""

    def __init__(self) -> None:
        super().__init__()
        self.inside: list[str] = []
        self.texts: list[str] = []

    def handle_starttag(self, tag: str, attrs: object) -> None:
        del attrs
        if tag in ("svg", "textarea", "option", "title"):
            self.inside.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if self.inside and tag == self.inside[-1]:
            self.inside.pop()

    def handle_data(self, data: str) -> None:
        if not self.inside:
            self.texts.append(data)


@pytest.mark.parametrize("path", PATHS)
def test_no_number_stands_apart_from_its_unit(shown: TestClient, path: str) -> None:
    reader = Read()
    reader.feed(shown.get(path).text)
    loose = [each for each in reader.texts if LOOSE.search(each)]
    assert reader.texts
    assert loose == []


@pytest.mark.parametrize("path", [*PATHS, "/calls/1", "/units/1"])
def test_no_terminal_is_called_by_its_name_in_the_file(shown: TestClient, path: str) -> None:
    """A person finds "condensate float switch 2", and no float_switch.2."""
    unit = unit_from_text(UNIT_TOML)
    reader = Read()
    reader.feed(shown.get(path).text)
    raw = [text for text in reader.texts for end in unit.terminals() if f" {end} " in f" {text} "]
    assert raw == []


def test_a_wire_is_told_by_the_parts_at_its_ends() -> None:
    unit = unit_from_text(UNIT_TOML)
    told = unit.wire_title(unit.wire_by_name["y_field"])
    assert told == "yellow wire from condensate float switch 2 to Y splice in the outdoor unit"


def test_a_wire_in_a_list_of_moves_is_told_by_its_ends() -> None:
    told = together(
        "<p>brown 16 AWG (fan_s): off FAN</p>", terminal_names(unit_from_text(UNIT_TOML))
    )
    assert "(fan_s)" not in told
    assert "dual run capacitor FAN" in told
    assert "outdoor fan motor S" in told


def test_a_range_may_break_between_its_ends_only() -> None:
    assert together("<b>13.7 to 14.2 Ω</b>") == "<b>13.7 to 14.2\u00a0Ω</b>"


@pytest.mark.parametrize(
    "html",
    [
        '<input value="27 V">', "<textarea>27 V</textarea>", "<option>27 V</option>",
        "<svg><text>27 V</text></svg>", "<title>3 tons</title>", "<p>2 maps, 1 in 3</p>",
        "<p>V 27</p>",
    ],
)  # fmt: skip
def test_what_is_sent_back_drawn_or_no_unit_stays_as_it_is(html: str) -> None:
    assert together(html) == html
