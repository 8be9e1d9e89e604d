"""A wire touched on a photo: its color, then its terminal, then the wires as found."""

from __future__ import annotations

import io
from typing import Any

import pytest
from fastapi.testclient import TestClient
from PIL import Image, ImageDraw
from tests.web.mill_street import Shop, Solving, twin

from rungwise.records import Store
from rungwise.services import DiagnosisService
from rungwise.web.pages.wires.draft import draft_of

RED_AT, WHITE_AT = ("touch.x=88&touch.y=100", "white.x=262&white.y=30")


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> DiagnosisService:
    """Nothing here asks for an answer, so no unit is solved."""
    return Solving(tmp_path_factory.mktemp("none"))


@pytest.fixture
def photo(store: Store, shop: Shop) -> str:
    """A photo of a red wire and a white label, 700 px wide: half of that is shown."""
    picture = Image.new("RGB", (700, 400), (120, 125, 128))
    pen = ImageDraw.Draw(picture)
    pen.line((176, 0, 176, 400), fill=(180, 30, 38), width=30)
    pen.rectangle((480, 20, 580, 100), fill=(226, 223, 216))
    written = io.BytesIO()
    picture.save(written, "PNG")
    with store.writing() as book:
        row = book.photos.add(written.getvalue(), call_id=shop.call, shows="wires as found")
        return f"/calls/{shop.call}/wires/photo/{row.id}"


def test_a_touched_wire_gives_its_color_and_its_terminals(page: TestClient, photo: str) -> None:
    assert twin(page, f"{photo}?of=contactor")["color"] is None
    for touch in (RED_AT, f"{RED_AT}&{WHITE_AT}"):
        told = twin(page, f"{photo}?of=contactor&{touch}")
        assert (told["color"]["name"], told["color"]["sure"]) == ("red", True), touch
        assert {"L1", "L2", "T1", "T2"} <= {name for name, _ in told["terminals"]}


def test_the_wire_goes_into_the_wires_as_found_once_it_is_chosen(
    page: TestClient, photo: str, store: Store, shop: Shop
) -> None:
    told = twin(page, f"{photo}?of=contactor&{RED_AT}&at=L2")
    first: dict[str, Any] = told["wires"][0]
    assert first["fits"]
    with store.reading() as book:
        assert draft_of(book, shop.call).found == {}
    form = {"of": "contactor", "wire": first["wire"], "meant": first["meant"], "at": "L2",
            "colour": told["color"]["name"]}  # fmt: skip
    page.post(f"/calls/{shop.call}/wires/found", data=form)
    with store.reading() as book:
        held = draft_of(book, shop.call).found
    assert held[first["wire"]]["colour"] == "red"
    again = twin(page, f"{photo}?of=contactor&{RED_AT}&at=L2")
    assert again["wires"][-1]["found"]


def test_a_place_that_is_not_white_is_told(page: TestClient, photo: str) -> None:
    told = twin(page, f"{photo}?of=contactor&{RED_AT}&white.x=88&white.y=100")
    assert told["color"] is None
    assert "not white" in told["trouble"]


def test_every_touch_is_a_plain_form(page: TestClient, photo: str) -> None:
    """A picture in a form: the browser tells where it was touched, with script or without."""
    html = page.get(f"{photo}?of=contactor&{RED_AT}").text
    assert '<input type="image" name="touch"' in html
    assert 'type="image" name="white"' in page.get(f"{photo}?of=contactor&white=next").text
