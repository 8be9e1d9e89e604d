"""What is near its end stands on the customer's page, from the unit's own readings."""

from __future__ import annotations

import datetime as dt
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from tests.report.reading_back import text_of
from tests.services.yard import visit

from rungwise.cli.program import run
from rungwise.records import Store
from rungwise.services import DiagnosisService
from rungwise.services.shop_forecast import shop_ahead
from rungwise.services.wording.near_end_words import near_end
from rungwise.web.app import create_app

CALLED = dt.date(2026, 7, 3)
"""The day of the call on paper."""
SPRINGS = {
    "2023-04-10": "41 µF", "2024-04-10": "40 µF", "2025-04-10": "39 µF", "2026-04-10": "38.4 µF",
}  # fmt: skip


@pytest.fixture(scope="module")
def records(database: str, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The call's unit with four springs behind it, in which a capacitor wore."""
    path = tmp_path_factory.mktemp("worn") / "shop.sqlite"
    shutil.copy(database.removeprefix("sqlite:///"), path)
    store = Store.open(f"sqlite:///{path}")
    with store.writing() as book:
        book.units.leave(1, "installed", "2012")
        for day, typed in SPRINGS.items():
            visit(book, 1, day, readings={"uf-capacitor-HERM-C": typed})
    store.close()
    return path


@pytest.fixture
def store(records: Path) -> Iterator[Store]:
    made = Store.open(f"sqlite:///{records}")
    yield made
    made.close()


def test_page_and_command_tell_it_in_the_same_bytes(
    store: Store,
    records: Path,
    desk: DiagnosisService,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("rungwise.services.DiagnosisService", lambda: desk)
    monkeypatch.setattr(desk, "close", lambda: None)
    page, out = TestClient(create_app(store, desk)), tmp_path / "paper.pdf"
    assert run(["report", "1", "--database", f"sqlite:///{records}", "-o", str(out)]) == 0
    sent = page.get("/calls/1/paper/customer.pdf").content
    assert sent == out.read_bytes()
    (told,) = near_end(shop_ahead(store, until=CALLED, also=1), 1)
    assert told == "Dual run capacitor: weaker than marked, past the limit at which it is changed."
    assert told in page.get("/calls/1/paper.json?wait=60").json()["customer"]["watch"]
    assert told in " ".join(text_of(sent).split())


def test_it_is_told_as_of_the_day_of_the_call(store: Store) -> None:
    """What was measured later changes nothing on its paper, and before the springs nothing wore."""
    told = near_end(shop_ahead(store, until=CALLED, also=1), 1)
    with store.writing() as book:
        visit(book, 1, "2026-07-20", readings={"uf-capacitor-HERM-C": "30 µF"})
    assert near_end(shop_ahead(store, until=CALLED, also=1), 1) == told
    assert near_end(shop_ahead(store, until=dt.date(2023, 3, 1), also=1), 1) == ()


def test_a_part_that_was_never_measured_is_not_called_near_its_end(store: Store) -> None:
    """Old age alone, even of forty years, is told on the unit's page and not to the customer."""
    with store.writing() as book:
        other = book.units.add("Old", toml=book.units.get(1).toml)
        book.units.leave(other.id, "installed", "1985")
    assert near_end(shop_ahead(store, until=CALLED), other.id) == ()


def test_a_reading_that_passed_is_never_near_its_end(store: Store) -> None:
    """The limits of `unit.limits` for 45 µF: good to 42.3, changed under 40.5.

    One reading shows no direction, so no years are told; a part fitted on the day is not named.
    """
    readings = {"good": ["44 µF", "42.4 µF"], "worn": ["44 µF", "41 µF"], "once": ["41 µF"]}
    numbers = {}
    with store.writing() as book:
        for name, typed in readings.items():
            other = book.units.add(name, toml=book.units.get(1).toml)
            book.units.leave(other.id, "installed", "2012")
            for at, each in enumerate(typed):
                day = f"{2026 + at - len(typed) + 1}-06-20"
                visit(book, other.id, day, readings={"uf-capacitor-HERM-C": each})
            numbers[name] = other.id
        new = book.units.add("New", toml=book.units.get(1).toml)
        book.units.leave(new.id, "installed", CALLED.isoformat())
        visit(book, new.id, CALLED.isoformat(), readings={"uf-capacitor-HERM-C": "40 µF"})
    ahead = shop_ahead(store, until=CALLED)
    assert near_end(ahead, numbers["good"]) == ()
    assert near_end(ahead, new.id) == ()
    (worn,), (once,) = near_end(ahead, numbers["worn"]), near_end(ahead, numbers["once"])
    assert worn.startswith("Dual run capacitor: weaker than marked; it still works.")
    assert "readings of 2 visits" in worn
    assert "times out of 100; that is no promise" in worn
    assert "by one reading; it still works" in once
    assert "years" not in once
    assert "µF" not in worn + once
