"""The same call files get the same verdicts from the command, the JSON twin and the page."""

from __future__ import annotations

import datetime as dt
import html
import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient
from tests.cli.running import ran
from tests.records.written import calls_text, write_call
from tests.web.mill_street import EXAMPLES, UNIT_TOML, Shop, twin

from rungwise.diagnosis.wording import percent
from rungwise.records import Store, UnitOfWork
from rungwise.records.intake import bring_call
from rungwise.services import unit_from_text
from rungwise.services.history.shop_calls import counted_calls
from rungwise.services.runtime.table_store import SUFFIX, digest_of
from rungwise.web.spots import terminal_names

UNIT = "unit-01-mill-street"
CALLS = {
    "call-01-suspected-contactor": 5,
    "call-04-low-pressure": 5,
    "call-13-chatter": 1,
    "year/call-056": 3,
}
"""Calls of that unit, with how many of their readings are taken."""

HEADINGS = {
    "found": "Found",
    "suspected": "Suspected",
    "nothing_wrong_now": "Nothing wrong now",
    "undecided": "Still narrowing it down",
    "none_of_these": "Nothing listed fits",
}
"""What the page writes over each kind of verdict."""


@pytest.fixture
def folder(tables: Path, tmp_path: Path) -> Path:
    """The example files with the table of the tests beside their unit."""
    for name, taken in CALLS.items():
        (tmp_path / name).parent.mkdir(exist_ok=True)
        lines = first_readings(EXAMPLES / f"{name}.toml", taken)
        (tmp_path / f"{name}.toml").write_text("\n".join(lines), encoding="utf-8")
    shutil.copy(EXAMPLES / f"{UNIT}.toml", tmp_path)
    table = tables / f"{digest_of(unit_from_text(UNIT_TOML))}{SUFFIX}"
    (tmp_path / f"{UNIT}{SUFFIX}").symlink_to(table)
    return tmp_path


def first_readings(path: Path, taken: int) -> Iterator[str]:
    """The lines of a call file up to so many readings."""
    seen = 0
    for line in path.read_text(encoding="utf-8").splitlines():
        seen += line == "[[readings]]"
        if seen > taken:
            return
        yield line


def words(page: str, section: str) -> str:
    """What can be read in one section of the page, or behind one tap, on one line."""
    here = rf'<section[^>]*aria-labelledby="{section}".*?</section>'
    behind = rf'<details class="more" id="{section}".*?(?=<details class="more"|</main>)'
    found = re.search(f"{here}|{behind}", page, re.DOTALL)
    assert found, section
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", found[0])).replace("\xa0", " ").split())


def said_on_page(diagnosis: Any, *, decided: bool) -> Iterator[tuple[str, str]]:
    """What a page must say of a diagnosis, each with the section in which it stands.

    Once there is a cause to act on, its card names the check that is worth its time still.
    """
    told, following = diagnosis["verdict"], diagnosis["next"]
    settled = told["kind"] != "undecided" or not following["stop"]
    yield "cause", HEADINGS[told["kind"]] if settled else "Not settled by readings"
    for line in (*told["words"]["owed"], *told["words"]["acquittal"], *told["words"]["doubts"]):
        yield "cause", line
    if told["kind"] != "nothing_wrong_now":
        yield "cause", percent(told["probability"])
    if told["answer"]:
        yield "cause", told["answer"]["title"]
        yield "suspects", told["answer"]["title"]
    if not following["stop"]:
        yield "cause" if decided else "check", following["check"]["title"]


@pytest.mark.parametrize("name", CALLS)
def test_command_twin_and_page_say_the_same(
    name: str, page: TestClient, store: Store, shop: Shop, folder: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:  # fmt: skip
    """Key by key in the twin, and word by word where the page tells it."""
    path = folder / f"{name}.toml"
    printed = ran(capsys, "diagnose", str(path), "--json").json
    with store.writing() as book:
        held = bring_call(book, path)
    assert held.unit_id == shop.unit
    same_on_page(page, held.id, printed)


@pytest.mark.parametrize("name", ["call-13-chatter", "year/call-056"])
def test_they_say_the_same_once_the_shop_s_own_calls_move_the_odds(
    name: str, page: TestClient, store: Store, folder: Path, tables: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:  # fmt: skip
    """The call is brought out of the records with its shop, and worked from its files alone."""
    before = ran(capsys, "diagnose", str(folder / f"{name}.toml"), "--json").json
    with store.writing() as book:
        held = bring_call(book, folder / f"{name}.toml")
        assert held.unit_id is not None
        book.units.leave(held.unit_id, "installed", "2015-03-02")
        for suspect in (*["contactor.pole1_pitted"] * 3, "y_field.rubbed"):
            close(book, held.unit_id, suspect)
    out = folder / "out"
    out.mkdir()
    with store.reading() as book:
        path = write_call(book, held.id, out, shop=calls_text(counted_calls(book)))
    table = f"{digest_of(unit_from_text(UNIT_TOML))}{SUFFIX}"
    (out / f"unit{SUFFIX}").symlink_to(tables / table)
    printed = ran(capsys, "diagnose", str(path), "--json").json
    assert printed["call"]["own_weights"]["calls"] == 4
    assert printed["verdict"]["probability"] != before["verdict"]["probability"]
    same_on_page(page, held.id, printed)
    line = "the odds are moved by the shop's own 4 closed calls and the unit's age of 11 years."
    assert line in words(page.get(f"/calls/{held.id}").text, "suspects")
    assert line in " ".join(ran(capsys, "diagnose", str(path)).out.split())


def close(book: UnitOfWork, unit: int, suspect: str) -> None:
    """Another call of the shop, closed with what was at fault."""
    call = book.calls.open(unit, day=dt.date(2026, 5, 4))
    book.truths.tell(call.id, suspect.partition(".")[0], suspect=suspect)
    book.calls.close(call.id)


def same_on_page(page: TestClient, number: int, printed: Any) -> None:
    """The twin has what the command printed, key by key; the page says it in words."""
    view = twin(page, f"/calls/{number}")
    shown = view["diagnosis"]
    printed["call"]["unit"].pop("name")
    shown["call"]["unit"].pop("name")  # the one piece that is a file's and not the unit's
    assert shown == printed
    seen = page.get(f"/calls/{number}").text
    for section, text in said_on_page(printed, decided=view["decided"]):
        assert as_a_person_says(text).lower() in words(seen, section).lower()


def as_a_person_says(text: str) -> str:
    """The same text with the unit's terminals called as on their parts; nothing else differs."""
    for end, name in terminal_names(unit_from_text(UNIT_TOML)).items():
        text = re.sub(rf"(?<![\w.]){re.escape(end)}\b", name, text)
    return text
