"""Page, command and file give the same document for the same call."""

from __future__ import annotations

import datetime as dt
import re
import shutil
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from tests.records.written import calls_text, write_call
from tests.report.conftest import UNIT
from tests.report.reading_back import text_of

from rungwise.cli.program import run
from rungwise.records import Store
from rungwise.report import (
    Layout,
    Worked,
    customer_paper,
    file_extras,
    technician_paper,
    worked_file,
)
from rungwise.services import DiagnosisService
from rungwise.services.history.shop_calls import counted_calls
from rungwise.services.runtime.table_store import SUFFIX
from rungwise.web.app import create_app
from rungwise.web.deps import AppState, Visitor
from rungwise.web.pages.paper import papers
from rungwise.web.pages.practice.context import opened


@pytest.fixture
def store(database: str) -> Iterator[Store]:
    made = Store.open(database)
    yield made
    made.close()


@pytest.fixture
def page(told_more: str, desk: DiagnosisService) -> Iterator[TestClient]:
    made = Store.open(told_more)
    yield TestClient(create_app(made, desk))
    made.close()


@pytest.mark.parametrize("make", [customer_paper, technician_paper])
def test_a_file_and_its_call_in_the_records_give_the_same_bytes(
    worked: Worked, store: Store, desk: DiagnosisService, make: papers.Make
) -> None:
    """What only records know is left out of both: who, when, the shop, photos, ticks."""
    here = Visitor(AppState(store, desk), None, "")
    recorded, extras = papers.prepared(here, 1, photos=False)
    assert extras.shop == ("Hollow Cooling",)
    assert extras.note == "The gate sticks; push it."
    plain = file_extras(worked)
    filed = make(worked, plain, Layout()).pdf()
    assert make(recorded, plain, Layout()).pdf() == filed
    assert make(recorded, replace(plain, shop=extras.shop), Layout()).pdf() != filed


def test_they_tell_the_same_once_the_shop_s_own_calls_move_the_odds(
    database: str, folder: Path, desk: DiagnosisService, tmp_path: Path
) -> None:
    """The call is brought out with its shop file; its record says what moved the odds."""
    shutil.copy(database.removeprefix("sqlite:///"), tmp_path / "shop.sqlite")
    store = Store.open(f"sqlite:///{tmp_path / 'shop.sqlite'}")
    with store.writing() as book:
        unit = book.calls.get(1).unit_id
        assert unit
        book.units.leave(unit, "installed", "2015-03-02")
        closed = book.calls.open(unit, day=dt.date(2026, 5, 4))
        book.truths.tell(closed.id, "fan", suspect="fan.seized")
        book.calls.close(closed.id)
    with store.reading() as book:
        path = write_call(book, 1, tmp_path, shop=calls_text(counted_calls(book)))
    (tmp_path / f"unit{SUFFIX}").symlink_to(folder / f"unit{SUFFIX}")
    recorded, _ = papers.prepared(Visitor(AppState(store, desk), None, ""), 1, photos=False)
    store.close()
    filed = worked_file(str(path))
    plain, layout = file_extras(filed), Layout()
    told = technician_paper(recorded, plain, layout).as_json()
    assert told == technician_paper(filed, plain, layout).as_json()
    assert any("shop's own one closed call" in each for each in told["remarks"])


def test_the_command_gives_for_a_number_what_the_page_gives(
    page: TestClient,
    told_more: str,
    desk: DiagnosisService,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("rungwise.services.DiagnosisService", lambda: desk)
    monkeypatch.setattr(desk, "close", lambda: None)
    out = tmp_path / "paper.pdf"
    asked = ["--kind", "technician", "--paper", "a4", "--units", "si", "--database", told_more]
    assert run(["report", "1", *asked, "-o", str(out)]) == 0
    sent = page.get("/calls/1/paper/technician.pdf?size=a4&units=si")
    assert (sent.status_code, sent.headers["content-type"]) == (200, "application/pdf")
    assert sent.content == out.read_bytes()


def test_a_record_tells_who_ticked_who_signed_and_shows_the_photo(page: TestClient) -> None:
    told = text_of(page.get("/calls/1/paper/technician.pdf").content)
    for each in ("Open the service switch.", "Float switch: as found", "It cools again.",
                 "R. Amari, ", "Hollow Cooling", "Stays live to the end"):  # fmt: skip
        assert each in told


def test_the_pages_twin_tells_what_the_papers_tell(page: TestClient, worked: Worked) -> None:
    page.get("/calls/1/paper/customer.pdf")  # it waits until the unit is solved; the page does not
    told = page.get("/calls/1/paper.json").json()
    filed = customer_paper(worked, file_extras(worked), Layout()).as_json()
    assert told["customer"]["found"] == list(filed["found"])
    assert told["technician"]["readings"][0]["by"].startswith("R. Amari, ")
    html = page.get("/calls/1/paper").text
    assert all(path.replace("&", "&amp;") in html for _, _, ways in told["papers"]
               for _, path in ways)  # fmt: skip


def test_prices_are_kept_as_typed_even_where_they_cannot_be_read(page: TestClient) -> None:
    page.post("/calls/1/paper/prices", data={"prices": "float switch"})
    told = page.get("/calls/1/paper.json").json()
    assert told["prices"] == "float switch"
    assert "no amount" in told["prices_wrong"]
    assert page.get("/calls/1/paper/customer.pdf").status_code == 422
    page.post("/calls/1/paper/prices", data={"prices": "float switch: 38.50 $"})
    assert "38.50 $" in text_of(page.get("/calls/1/paper/customer.pdf").content)


def test_what_is_written_by_hand_in_the_app_stands_on_the_customers_page(page: TestClient) -> None:
    """A list one a line; a text that is taken out again is gone; the photo stands there too."""
    given = {"done": "We cleared the drain.\n\nWe dried the pan.", "warranty": "thirty days"}
    page.post("/calls/1/paper/by-hand", data=given)
    page.get("/calls/1/paper/customer.pdf")  # it waits until the unit is solved, however long
    told = page.get("/calls/1/paper.json?wait=60").json()
    assert told["customer"]["done"] == ["We cleared the drain.", "We dried the pan."]
    assert [each[2] for each in told["by_hand"] if each[0] == "warranty"] == ["thirty days"]
    text = text_of(page.get("/calls/1/paper/customer.pdf").content)
    assert "We dried the pan." in text
    assert "Float switch: as found" in text
    assert "thirty days" in text
    page.post("/calls/1/paper/by-hand", data={"done": given["done"]})
    assert page.get("/calls/1/paper.json?wait=60").json()["customer"]["warranty"] == ""


def test_the_command_writes_a_file_or_prints_what_the_paper_tells(
    worked: Worked,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setattr("rungwise.report.worked_file", lambda *_: worked)
    monkeypatch.chdir(tmp_path)
    call = "call.toml"
    assert run(["report", call]) == 0
    assert (tmp_path / "call-customer.pdf").read_bytes().startswith(b"%PDF")
    capsys.readouterr()
    assert run(["report", call, "--kind", "technician", "--json"]) == 0
    assert '"kind": "technician"' in capsys.readouterr().out
    assert not (tmp_path / "call-technician.pdf").exists()


def test_what_cannot_be_written_is_refused_with_the_next_step(
    worked: Worked, tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:  # fmt: skip
    monkeypatch.setattr("rungwise.report.worked_file", lambda *_: worked)
    call = "call.toml"
    assert run(["report", call, "--kind", "practice"]) == 2
    assert "name its number" in capsys.readouterr().err
    assert run(["report", call, "-o", str(tmp_path / "none" / "x.pdf")]) == 2
    assert "name another file with -o" in capsys.readouterr().err
    bad = tmp_path / "prices.txt"
    bad.write_text("float switch", encoding="utf-8")
    assert run(["report", call, "--prices", str(bad)]) == 2
    assert "no amount" in capsys.readouterr().err


def test_a_practice_score_is_a_paper_once_the_call_has_ended(
    told_more: str, page: TestClient, desk: DiagnosisService
) -> None:
    store = Store.open(told_more)
    with store.writing() as book:
        amari = book.persons.named("R. Amari")
    assert amari is not None
    with store.writing(amari) as book:
        call = opened(
            book, person_id=amari.id, title="14 Mill Street", text=UNIT, level="any",
            fault="float_switch.open", seed=7,
        )  # fmt: skip
    path = f"/practice/{call}/paper.pdf"
    page.post(f"/practice/{call}/readings", data={"check": "ohms-coil"})
    hidden = page.get(path)
    words = re.sub(rb"(?s)<style.*?</style>", b"", hidden.content)  # its float is no switch
    assert (hidden.status_code, b"float" in words) == (422, False)
    page.post(f"/practice/{call}/end")
    told = text_of(page.get(path).content)
    assert "Condensate float switch open, as it should be. It was not named." in told
    assert "The fault was not named" in told
    assert "simulated" in told
    made = papers.paper_of(store, desk, call, "practice", Layout())
    assert page.get(path).content == made.pdf()
    store.close()
