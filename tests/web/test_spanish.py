"""No page in Spanish has a line in English, but for what people typed."""

from __future__ import annotations

import json
import re
from urllib.parse import urljoin

import pytest
from fastapi.testclient import TestClient
from tests.browser.practised import practice_call
from tests.services.yard import visit
from tests.web.mill_street import EXAMPLES, Shop, give
from tests.web.spanish_lines import Lines, english_in
from tests.wide import WIDE

from rungwise.records import Store
from rungwise.web.statics import static_text

PATHS = (
    "/day", "/new-call", "/units", "/units/1", "/units/1/plate", "/units/1/wiring", "/person",
    "/new-unit", "/new-unit?sort=cooling", "/new-unit/unlike?supply=240", "/arrangements",
    "/practice", "/practice/2?check=volts-coil", "/van", "/van?kind=dual_capacitor", "/stickers",
    "/units/1/ahead?wait=60",
    "/calls/1", "/calls/1?check=volts-coil", "/calls/1/dead", "/calls/1/dead?hands=cabinet&stage=0",
    "/calls/1/part?of=contactor&own=contactor_1p", "/calls/1/part?of=capacitor",
    "/calls/1/part?of=transformer", "/calls/1/wires", "/calls/1/lost",
    "/calls/1/proof", "/calls/1/proof?gauges=1", "/calls/1/sign-off", "/calls/1/paper",
    "/calls/999",
)  # fmt: skip

STOCK = (EXAMPLES / "van-stock.toml").read_text(encoding="utf-8")

TYPED = frozenset({
    *re.findall(r'^(?:name|where) = "(.+)"', STOCK, re.MULTILINE),
    "Rungwise", "English", "Mrs. Finch", "R. Amari", "J. Okafor", "14 Mill Street, 3 tons",
    "14 Mill Street", "Maple Hollow", "Hollow Cooling", "No cooling", "Hollow Air",
    "arrangement", "tab, plate, lug, screw, lead", "contactor L1, black, disconnect load 1",
})  # fmt: skip
"""Names, addresses and brands; and what is typed in English into the list of a wiring label."""


@pytest.fixture
def spanish(page: TestClient, shop: Shop, store: Store) -> TestClient:
    """A phone set to Spanish, on a call with readings and a unit with a past."""
    with store.writing(shop.amari) as book:
        for day, typed in (("2024-04-10", "40 µF"), ("2025-04-10", "39 µF")):
            visit(book, shop.unit, day, readings={"uf-capacitor-HERM-C": typed})
        practice_call(book, shop)
        book.persons.leave(shop.amari, "stock", STOCK)
    give(page, shop.call, "ohms-coil", "13.8 Ω")
    page.cookies.set("language", "es")
    return page


def english_on(page: TestClient, path: str) -> list[str]:
    """Every English line of a page, with its address and the words that tell."""
    lines = Lines(page.get(path).text).english(TYPED)
    return [f"{path}: {line} {words}" for line, words in lines]


def test_no_line_of_a_page_is_english(spanish: TestClient) -> None:
    found = [each for path in PATHS for each in english_on(spanish, path)]
    assert not found, "\n".join(found)


def test_what_scripts_say_is_spanish_and_nothing_that_they_ask_for_is_missing(
    spanish: TestClient,
) -> None:
    found = re.search(r"data-words='([^']*)'", spanish.get("/day").text)
    assert found
    words = json.loads(found[1])
    assert [each for each in words.values() if english_in(each, TYPED)] == []
    scripts = "".join(static_text(each) for each in ("entries.js", "rungwise.js"))
    assert set(re.findall(r"[^.\w]words\.(\w+)", scripts)) == set(words)


def test_a_refusal_kept_with_a_reading_is_spanish(spanish: TestClient, shop: Shop) -> None:
    """As it is told to the script, and as the page tells it later."""
    give(spanish, shop.call, "volts-coil", "27 A")
    lines = Lines(spanish.get(f"/calls/{shop.call}?check=volts-coil").text)
    assert any("'27 A' es una corriente" in each for each in lines.lines)
    assert list(lines.english(TYPED)) == []
    told = {"rungwise-entry": "e1", "accept": "application/json"}
    note = {"typed": "x" * 2001}
    answer = spanish.post(f"/calls/{shop.call}/fields/note", data=note, headers=told)
    assert "no se puede leer" in answer.json()["error"]["what"]


def sent_by(html: str) -> set[str]:
    """What the keys, choices and hidden fields of a page send."""
    tags = re.findall(r'<(?:button|option|input type="hidden")[^>]*>', html)
    found = (re.search(r' value="([^"]*)"', each) for each in tags if 'name="token"' not in each)
    return {each[1] for each in found if each}


def test_what_a_page_sends_is_the_same_in_every_language(spanish: TestClient) -> None:
    """Else an answer in Spanish is none of the answers, and nobody gets on."""
    other = {}
    for path in PATHS:
        told = sent_by(spanish.get(path).text)
        page = spanish.get(path, headers={"cookie": "person=1; language=en"}).text
        assert '<html lang="en"' in page
        if told != sent_by(page):
            other[path] = told ^ sent_by(page)
    assert other == {}


@pytest.mark.skipif(not WIDE, reason="every page that links lead to: minutes")
def test_no_line_of_any_page_that_a_link_leads_to_is_english(spanish: TestClient) -> None:
    """Every page within reach of the day, the same page once for each part and check."""
    todo, seen, found = list(PATHS), set(PATHS), list[str]()
    while todo:
        path = todo.pop()
        answer = spanish.get(path)
        if "html" in answer.headers.get("content-type", ""):
            found += english_on(spanish, path)
            for link in _links(answer.text):
                to = urljoin(path, link).partition("#")[0]
                if to.startswith("/") and to not in seen and len(seen) < MOST:
                    seen.add(to)
                    todo.append(to)
    assert len(seen) > len(PATHS)
    assert not found, "\n".join(found)


MOST = 400


def _links(html: str) -> list[str]:
    return [
        each.partition('"')[0]
        for each in html.split("<a ")[1:]
        for each in each.split('href="')[1:2]
    ]
