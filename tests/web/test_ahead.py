"""Forecast: the page, its twin and the command say the same, and no page waits for it."""

from __future__ import annotations

import datetime as dt
import pickle
import shutil
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient
from tests.cli.running import ran
from tests.services.yard import CAPACITOR, NOW, unit, visit
from tests.web.mill_street import twin

from rungwise.records import Store
from rungwise.services import DiagnosisService
from rungwise.services.shop_forecast import shop_ahead
from rungwise.web.app import create_app
from rungwise.web.outlook import Lookout

HERM, DROP = "uf-capacitor-HERM-C", "drop-contactor-L1-T1"
WORN = {
    "2023-04-10": "41 µF",
    "2024-04-10": "40 µF",
    "2025-04-10": "39 µF",
    "2026-04-10": "38.6 µF",
}


@pytest.fixture(scope="module")
def furnished(empty_database: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Three units: one with a capacitor near its limit, one of a year only, one of no age."""
    path = tmp_path_factory.mktemp("ahead") / "shop.sqlite"
    shutil.copy(empty_database, path)
    store = Store.open(f"sqlite:///{path}", now=lambda: NOW)
    with store.writing() as book:
        book.shop.name_it("Hollow Cooling", zone="America/Chicago")
        worn, year, _ = (
            unit(book, installed, title)
            for installed, title in (("2012-05-20", "Worn"), ("2019", "A year"), ("", "No age"))
        )
        for day, typed in WORN.items():
            visit(book, worn, day, readings={HERM: typed})
        visit(book, year, "2026-06-01", fitted=CAPACITOR, fault="capacitor.herm_open",
              proofs={DROP: "28 mV"})  # fmt: skip
        visit(book, worn, "2026-07-06", readings={HERM: "38.5 µF"}, closed=False)
    store.close()
    return path


@pytest.fixture
def store(furnished: Path, tmp_path: Path) -> Iterator[Store]:
    shutil.copy(furnished, tmp_path / "shop.sqlite")
    made = Store.open(f"sqlite:///{tmp_path / 'shop.sqlite'}", now=lambda: NOW)
    yield made
    made.close()


@pytest.fixture
def page(store: Store, desk: DiagnosisService) -> TestClient:
    return TestClient(create_app(store, desk))


@pytest.fixture(scope="module")
def looking(furnished: Path, desk: DiagnosisService) -> Iterator[TestClient]:
    """One that only looks, with the answer there."""
    made = Store.open(f"sqlite:///{furnished}", now=lambda: NOW)
    client = TestClient(create_app(made, desk))
    assert twin(client, "/ahead?wait=60")["working"] is False
    yield client
    made.close()


def test_the_twin_holds_what_the_command_prints(
    looking: TestClient, furnished: Path, capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    """Key by key, from the same records on the same day."""
    opened = Store.open
    monkeypatch.setattr(Store, "open", lambda url: opened(url, now=lambda: NOW))
    printed = ran(capsys, "upkeep", "--database", f"sqlite:///{furnished}", "--json").json
    assert twin(looking, "/ahead")["foreseen"] == printed
    told = ran(capsys, "upkeep", "--database", f"sqlite:///{furnished}").out
    assert "nobody entered when it was installed" in " ".join(told.split())


def test_the_lists_of_the_page_are_those_of_the_answer(looking: TestClient) -> None:
    told = twin(looking, "/ahead")
    held = told["foreseen"]
    assert [each["unit"] for each in told["visits"]] == held["visits"]
    ripe = {(u["unit"], p["part"]) for u in held["units"] for p in u["parts"]
            if p["advice"] == "replace"}  # fmt: skip
    assert {each["unit"] for each in told["ripe"]} == {name for name, _ in ripe}
    assert {each["part"]: each["carry"] for each in told["van"]} == {
        each["part"]: each["carry"] for each in held["stock"]
    }
    assert [each["why"] for each in told["left_out"]] == [each["why"] for each in held["left_out"]]


def test_the_page_tells_what_the_twin_tells(looking: TestClient) -> None:
    told, html = twin(looking, "/ahead"), looking.get("/ahead").text
    for each in (*told["visits"], *told["ripe"]):
        assert each["unit"] in html
        assert f"/units/{each['number']}/ahead" in html
    assert told["no_promise"] in html
    assert told["worked_out_at"] in html
    assert "No age" in html


def test_a_unit_s_parts_stand_with_readings_chart_and_costs(looking: TestClient) -> None:
    told, html = twin(looking, "/units/1/ahead"), looking.get("/units/1/ahead").text
    parts = {each["part"]: each for each in told["parts"]}
    capacitor = parts["capacitor"]
    assert [text for _, text in capacitor["readings"]] == ["41 µF", "40 µF", "39 µF", "38.6 µF"]
    assert capacitor["limit"] == "40.5 µF"  # 10% under its 45 µF
    assert capacitor["basis"] == "trend"
    assert "trend-capacitor" in html
    assert "Never measured" in parts["transformer"]["why"]
    assert parts["transformer"]["chart"] == ""
    assert (capacitor["replace"], capacitor["replace_cost"] < capacitor["leave_cost"]) == (
        True,
        True,
    )


def test_the_chances_of_a_unit_are_those_of_the_shop(looking: TestClient) -> None:
    shop = {each["unit"]: each for each in twin(looking, "/ahead")["foreseen"]["units"]}
    told = twin(looking, "/units/1/ahead")
    assert told["chance"] == pytest.approx(shop["Worn"]["chance"])
    assert {each["part"]: each["chance"] for each in told["parts"]} == pytest.approx(
        {each["part"]: each["chance"] for each in shop["Worn"]["parts"]}
    )


def test_a_unit_left_out_says_why_and_asks_for_what_is_missing(looking: TestClient) -> None:
    told, html = twin(looking, "/units/3/ahead"), looking.get("/units/3/ahead").text
    assert (told["left_out"], told["parts"], told["chance"]) == (True, [], None)
    assert "Nobody entered when it was installed" in html
    assert 'name="installed"' in html


def test_a_day_or_a_year_can_be_entered_and_what_is_neither_is_kept_with_the_reason(
    page: TestClient,
) -> None:
    def entered(typed: str) -> Any:
        page.post("/units/3/installed", data={"installed": typed})
        return twin(page, "/units/3/ahead?wait=60")

    told = entered("last spring")
    assert (told["installed"], told["left_out"]) == ("last spring", True)
    assert "not a day" in told["installed_wrong"]
    told = entered("2016")
    assert (told["installed_wrong"], told["left_out"]) == ("", False)
    assert "2016" in told["note"]
    assert entered("2016-05-02")["note"] == ""


def test_no_page_waits_and_the_last_answer_stands_until_the_next_is_there(
    page: TestClient, store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Held back by a gate, as it would be by a big shop."""
    gate, whole = threading.Event(), shop_ahead

    def slow(*given: Any, **more: Any) -> Any:
        assert gate.wait(30)
        return whole(*given, **more)

    monkeypatch.setattr("rungwise.web.outlook.shop_ahead", slow)
    first = twin(page, "/ahead")
    assert (first["working"], first["foreseen"]) == (True, None)
    assert "It is being worked out" in page.get("/units/1/ahead").text
    gate.set()
    known = twin(page, "/ahead?wait=60")
    gate.clear()
    with store.writing() as book:
        visit(book, 1, "2026-07-01", readings={HERM: "38 µF"})
    meanwhile = twin(page, "/ahead")
    assert meanwhile["working"] is True
    assert meanwhile["foreseen"] == known["foreseen"]
    assert meanwhile["worked_out_at"] in page.get("/ahead").text
    gate.set()
    after = twin(page, "/ahead?wait=60")
    assert (after["working"], after["foreseen"] == known["foreseen"]) == (False, False)


def test_it_is_worked_out_once_for_each_change_and_not_for_readings_of_an_open_call(
    page: TestClient, store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    made, whole = [], shop_ahead

    def counted(*given: Any, **more: Any) -> Any:
        made.append(dt.datetime.now(dt.UTC))
        return whole(*given, **more)

    monkeypatch.setattr("rungwise.web.outlook.shop_ahead", counted)
    for _ in range(3):
        twin(page, "/ahead?wait=60")
        twin(page, "/units/1/ahead?wait=60")
    with store.writing() as book:
        call = book.calls.unfinished()[0].id
        book.readings.take(call, HERM, "38.1 µF", value=38.1, unit="µF")
    twin(page, "/ahead?wait=60")
    assert len(made) == 1
    with store.writing() as book:
        book.calls.close(call)
    twin(page, "/ahead?wait=60")
    assert len(made) == 2


def test_an_answer_comes_over_from_another_process_whole_and_small(store: Store) -> None:
    """What can be worked out again stays there: the beliefs would be megabytes."""
    seen = Lookout(store).look(60.0).seen
    assert seen is not None
    sent = pickle.dumps(seen)
    there = pickle.loads(sent)  # noqa: S301  # our own
    assert (there.told, there.lines) == (seen.told, seen.lines)
    assert there.ahead.unit(1).chance == pytest.approx(seen.lines.visits[0].chance)
    assert len(sent) < 1_000_000


def test_the_day_and_the_unit_lead_there(looking: TestClient) -> None:
    assert 'href="/ahead"' in looking.get("/day").text
    assert 'href="/units/1/ahead"' in looking.get("/units/1").text


def test_there_is_nothing_ahead_of_a_unit_that_is_not_there(looking: TestClient) -> None:
    assert looking.get("/units/99/ahead.json").status_code == 404


def test_a_shop_with_nothing_in_it_is_told_so(
    empty_database: Path, tmp_path: Path, desk: DiagnosisService
) -> None:
    shutil.copy(empty_database, tmp_path / "none.sqlite")
    bare = Store.open(f"sqlite:///{tmp_path / 'none.sqlite'}")
    client = TestClient(create_app(bare, desk))
    told = twin(client, "/ahead?wait=60")
    assert (told["visits"], told["ripe"], told["van"], told["calls"]) == ([], [], [], 0)
    assert "No visit is expected" in client.get("/ahead").text
    bare.close()
