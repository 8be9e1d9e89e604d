"""A sticker's code opens its unit; so does a photo of it, and a maker's bar code by the serial."""

from __future__ import annotations

import io

import pytest
import segno
from fastapi.testclient import TestClient
from tests.web.mill_street import Shop, Solving, twin

from rungwise import camera
from rungwise.services import DiagnosisService
from rungwise.web.pages.units import route as units_route

needs_codes = pytest.mark.skipif(
    not camera.codes_available(), reason="the extra `photo` is not installed"
)


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> DiagnosisService:
    """Nothing here asks for an answer, so no unit is solved."""
    return Solving(tmp_path_factory.mktemp("none"))


def photo_of(text: str) -> bytes:
    """A QR code by another library than the one that reads it."""
    written = io.BytesIO()
    segno.make(text, micro=False).save(written, kind="png", scale=6, border=4)
    return written.getvalue()


def scanned(page: TestClient, content: bytes) -> object:
    file = {"photo": ("code.png", content, "image/png")}
    return page.post("/units/scan", files=file, follow_redirects=False)


@needs_codes
def test_the_code_of_a_sticker_opens_its_unit(page: TestClient, shop: Shop) -> None:
    (sticker,) = twin(page, f"/stickers?unit={shop.unit}")["stickers"]
    assert sticker["address"].endswith(f"/units/{shop.unit}")
    answer = scanned(page, photo_of(sticker["address"]))
    assert answer.headers["location"] == f"/units/{shop.unit}"  # type: ignore[attr-defined]


@needs_codes
def test_a_maker_s_code_opens_the_unit_of_that_serial(page: TestClient, shop: Shop) -> None:
    answer = scanned(page, photo_of("MH0417"))
    assert answer.headers["location"] == f"/units/{shop.unit}"  # type: ignore[attr-defined]


@needs_codes
@pytest.mark.parametrize("text", ["https://example.net/units/999", "another maker's 77"])
def test_a_code_of_no_unit_is_told(page: TestClient, shop: Shop, text: str) -> None:
    del shop
    assert scanned(page, photo_of(text)).status_code == 404  # type: ignore[attr-defined]


def test_a_sheet_has_a_code_for_every_unit_that_fits(page: TestClient, shop: Shop) -> None:
    html = page.get("/stickers?find=mill").text
    assert html.count('class="sticker"') == 1
    assert "<svg" in html.split('class="sticker"')[1]
    assert [each["unit"]["id"] for each in twin(page, "/stickers")["stickers"]] == [shop.unit]


def test_without_the_extra_the_key_says_so(
    page: TestClient, shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    del shop
    monkeypatch.setattr(units_route, "codes_available", lambda: False)
    assert "Not installed here" in page.get("/units").text
