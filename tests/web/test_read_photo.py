"""A photo of a plate or a label is read into fields; nothing is kept before a person says so."""

from __future__ import annotations

import io

import pytest
from fastapi.testclient import TestClient
from PIL import Image, ImageDraw, ImageFont
from tests.camera.told import PAIRS, words_of
from tests.web.mill_street import Shop, Solving, token_in, twin

from rungwise import camera
from rungwise.records import Store
from rungwise.services import DiagnosisService
from rungwise.web import photo_reading
from rungwise.web.pages.new_unit import route as plate_route
from rungwise.web.pages.van import route as van_route

FACE = "/usr/share/fonts/truetype/dejavu/DejaVuSans.ttf"


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> DiagnosisService:
    """Nothing here asks for an answer, so no unit is solved."""
    return Solving(tmp_path_factory.mktemp("none"))


def photo_of(*rows: str) -> bytes:
    """A plain picture with rows of text."""
    picture = Image.new("RGB", (900, 60 + 60 * len(rows)), (225, 225, 220))
    pen, font = ImageDraw.Draw(picture), ImageFont.truetype(FACE, 32)
    for number, row in enumerate(rows):
        pen.text((40, 40 + 60 * number), row, font=font, fill=(20, 20, 25))
    written = io.BytesIO()
    picture.save(written, "PNG")
    return written.getvalue()


@pytest.fixture
def plate(page: TestClient) -> str:
    """The nameplate of a unit that was just begun."""
    shown = page.get("/new-unit/unit?sort=cooling&poles=2").text
    form = {"token": token_in(shown), "arrangement": "two_pole_plain"}
    return str(page.post("/units", data=form, follow_redirects=False).headers["location"])


def sent(page: TestClient, path: str, *rows: str) -> str:
    """A photo sent to a page; where it leads."""
    file = {"photo": ("photo.png", photo_of(*rows), "image/png")}
    answer = page.post(path, files=file, follow_redirects=False)
    assert answer.status_code == 303, answer.text
    return str(answer.headers["location"])


def test_values_stand_beside_their_strips_and_only_checked_ones_are_saved(
    page: TestClient, plate: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(photo_reading, "words_in", lambda _: words_of(PAIRS, faint="14.1"))
    read = sent(page, f"{plate}-photo", "a plate of this test")
    lines = {each["key"]: each for each in twin(page, read)["lines"]}
    assert (lines["mca_a"]["text"], lines["mca_a"]["sure"]) == ("18.8", True)
    assert not lines["rla_a"]["sure"]
    strip = page.get(lines["mca_a"]["strip"])
    assert Image.open(io.BytesIO(strip.content)).width > 20
    assert 'value="mca_a" checked' in page.get(read).text
    assert 'value="rla_a" checked' not in page.get(read).text

    def typed() -> dict[str, str]:
        groups = twin(page, plate)["groups"]
        return {line["key"]: line["typed"] for group in groups for line in group["lines"]}

    assert typed()["mca_a"] == ""
    form = {"mca_a": "18.8", "rla_a": "14.1", "lra_a": "74", "ok": ["mca_a", "lra_a"]}
    page.post(read, data=form)
    assert (typed()["mca_a"], typed()["lra_a"], typed()["rla_a"]) == ("18.8", "74", "")


def test_what_is_on_file_and_differs_is_told_and_not_checked(
    page: TestClient, plate: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    page.post(f"{plate}/mca_a", data={"typed": "13.9"})
    monkeypatch.setattr(photo_reading, "words_in", lambda _: words_of(PAIRS))
    read = sent(page, f"{plate}-photo", "another plate of this test")
    assert 'value="mca_a" checked' not in page.get(read).text
    assert "On file: 13.9" in page.get(read).text


def test_a_label_stands_in_the_form_and_is_added_only_when_saved(
    page: TestClient, shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    del shop
    told = words_of(("45+5 µF ±6%", "440 VAC 50/60 HZ"))
    monkeypatch.setattr(photo_reading, "words_in", lambda _: told)
    read = sent(page, "/van/label", "a label of this test")
    shown = twin(page, read)
    assert (shown["kind"], shown["lines"]) == ("dual_capacitor", [])
    assert {each["key"]: each["text"] for each in shown["strips"]} == {
        "herm_uf": "45+5", "volt": "440",
    }  # fmt: skip
    fields = {each["key"]: each["typed"] for each in shown["fields"] if each["typed"]}
    page.post("/van", data={"kind": shown["kind"], **fields})
    assert [each["name"] for each in twin(page, "/van")["lines"]] == [
        "dual run capacitor 45 µF 5 µF 440 V"
    ]


def test_a_label_that_tells_no_kind_asks_for_it(
    page: TestClient, shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    del shop
    monkeypatch.setattr(photo_reading, "words_in", lambda _: words_of(("HOLLOW AIR",)))
    read = sent(page, "/van/label", "a label without figures")
    assert "What kind of part is it?" in page.get(read).text


def test_without_the_extra_the_key_says_so(
    page: TestClient, plate: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    for route in (plate_route, van_route):
        monkeypatch.setattr(route, "text_available", lambda: False)
    for path in (plate, "/van"):
        assert "Not installed here" in page.get(path).text
        assert 'capture="environment"' not in page.get(path).text


@pytest.mark.parametrize("box", ["", "1,2,3", "1,2,3,x", "1e9,0,0,0"])
def test_a_strip_that_is_no_piece_of_the_photo_is_refused(
    page: TestClient, plate: str, store: Store, box: str
) -> None:
    with store.writing() as book:
        number = book.photos.add(photo_of("x"), unit_id=int(plate.split("/")[2])).id
    assert page.get(f"/photos/{number}/strip?box={box}").status_code == 422


@pytest.mark.skipif(not camera.text_available(), reason="the extra `photo` is not installed")
def test_a_real_photo_of_a_plate_is_read_with_the_kept_library() -> None:
    content = photo_of("VOLTS 208/230", "COMPRESSOR RLA 14.1 LRA 73", "MIN. CIRCUIT AMPACITY 18.8")
    read = {each.key: each.printed for each in camera.read_plate(camera.words_in(content))}
    assert read == {"volt": "208/230", "rla_a": "14.1", "lra_a": "73", "mca_a": "18.8"}
