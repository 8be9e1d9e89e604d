"""Loose wires: what is told of them is kept, nothing is guessed, and the command says the same."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient
from tests.cli.running import ran
from tests.web.mill_street import EXAMPLES, Shop, twin

from rungwise.records import Store

UNIT = str(EXAMPLES / "unit-01-mill-street.toml")


def lost(page: TestClient, shop: Shop) -> Any:
    return twin(page, f"/calls/{shop.call}/lost?wait=30")


def post(page: TestClient, shop: Shop, what: str, **form: str) -> None:
    answer = page.post(f"/calls/{shop.call}/lost/{what}", data=form, follow_redirects=False)
    assert answer.status_code == 303, answer.text


@pytest.fixture
def loose(page: TestClient, shop: Shop) -> TestClient:
    """Every wire of the compressor is off, and all look alike."""
    post(page, shop, "off", part="compressor", off="true")
    for name, colour in lost_ends(page, shop):
        post(page, shop, "wire", name=name, colour=colour)
    return page


def lost_ends(page: TestClient, shop: Shop) -> list[tuple[str, str]]:
    return [(f"w{n}", "black") for n in range(1, lost(page, shop)["wanted"] + 1)]


def test_page_and_command_find_the_same(
    loose: TestClient, store: Store, shop: Shop, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The twin holds what `rungwise recover --json` prints for the file that the records keep."""
    view = lost(loose, shop)
    with store.reading() as book:
        row = book.wires.now(shop.call, "as found")
        assert row is not None
        (tmp_path / "wires.toml").write_text(row.toml, encoding="utf-8")
    printed = ran(capsys, "recover", UNIT, str(tmp_path / "wires.toml"), "--json").json
    printed["unit"].pop("name")
    view["recover"]["unit"].pop("name")
    assert view["recover"] == printed


def test_nothing_is_placed_while_the_ways_do_not_behave_alike(
    loose: TestClient, shop: Shop
) -> None:
    view = lost(loose, shop)
    assert view["recover"]["placed"] is None
    assert view["now"]["reads"]
    html = loose.get(f"/calls/{shop.call}/lost?wait=30").text
    assert "Do not power up" in html


def test_a_reading_is_kept_and_leaves_fewer_ways(loose: TestClient, shop: Shop) -> None:
    before = lost(loose, shop)
    ohms = next(reads for reads, _ in before["now"]["reads"] if reads != "OL")
    typed = ohms.removeprefix("near ")
    post(loose, shop, "reading", check=before["now"]["id"], typed=typed)
    after = lost(loose, shop)
    assert [each["value"] for each in after["taken"]] == [typed]
    assert after["recover"]["remaining"] < before["recover"]["remaining"]


def test_a_reading_that_cannot_be_read_stays_with_its_reason(loose: TestClient, shop: Shop) -> None:
    post(loose, shop, "reading", check=lost(loose, shop)["now"]["id"], typed="27 V")
    view = lost(loose, shop)
    assert [each["value"] for each in view["taken"]] == ["27 V"]
    assert view["trouble"]
    assert view["recover"] is None


def test_a_wire_comes_off_the_list_with_what_was_measured_on_it(
    loose: TestClient, shop: Shop
) -> None:
    red = lost(loose, shop)["now"]["red"]
    post(loose, shop, "reading", check=lost(loose, shop)["now"]["id"], quick="OL")
    post(loose, shop, "wire/remove", name=red)
    view = lost(loose, shop)
    assert red not in [each["name"] for each in view["loose"]]
    assert view["taken"] == []


@pytest.fixture
def coil_off(page: TestClient, shop: Shop) -> TestClient:
    """Every wire of the contactor is off; all but those of the 24 V and the line are seen."""
    post(page, shop, "off", part="contactor", off="true")
    seen = {
        "w1": "compressor.R", "w2": "compressor.C", "w3": "capacitor.C", "w4": "fan.C",
        "w5": "heater.1", "w6": "heater.2",
    }  # fmt: skip
    for name in (f"w{n}" for n in range(1, 11)):
        post(page, shop, "wire", name=name, far=seen.get(name, ""))
    return page


def test_a_sweep_is_told_as_one_and_kept_as_its_readings(coil_off: TestClient, shop: Shop) -> None:
    now = lost(coil_off, shop)["now"]
    assert len(now["then"]) == 3
    html = coil_off.get(f"/calls/{shop.call}/lost?wait=30").text
    assert "Which one read through?" in html
    third = now["then"][1]
    post(coil_off, shop, "reading", check=now["id"], at=third, typed="0.1")
    view = lost(coil_off, shop)
    assert [each["value"] for each in view["taken"]] == ["OL", "OL", "0.1"]
    assert {each["black"] for each in view["taken"]} == {now["black"]}
    assert view["taken"][-1]["red"] == third
    assert third in view["placed"]


def test_a_sweep_that_finds_none_keeps_ol_for_all(coil_off: TestClient, shop: Shop) -> None:
    now = lost(coil_off, shop)["now"]
    post(coil_off, shop, "reading", check=now["id"], at="none", typed="")
    view = lost(coil_off, shop)
    assert [each["red"] for each in view["taken"]] == [now["red"], *now["then"]]
    assert {each["value"] for each in view["taken"]} == {"OL"}


def test_an_end_that_reads_to_nothing_is_named_and_nothing_is_powered(
    coil_off: TestClient, shop: Shop
) -> None:
    for name, far in (
        ("w7", "disconnect.load1"), ("w8", "disconnect.load2"), ("w9", "c_splice.1")
    ):  # fmt: skip
        post(coil_off, shop, "reading", red=name, black=far, typed="0.1 Ω")
    post(coil_off, shop, "reading", red="w10", black="low_pressure.2", quick="OL")
    view = lost(coil_off, shop)
    (told,) = view["broken"]
    assert told.startswith("w10 reads to nothing: broken?")
    assert "y_coil" in told
    assert view["now"] is None
    html = coil_off.get(f"/calls/{shop.call}/lost?wait=30").text
    assert "do not put a broken wire back" in html
    assert "w10" not in view["placed"]
