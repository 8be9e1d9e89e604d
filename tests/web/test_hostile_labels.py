"""A unit file may come from anywhere: its names are text on every page, never markup."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from tests.tables import solved
from tests.web.conftest import PARTICLES
from tests.web.mill_street import UNIT_TOML, give

from rungwise.files.document import Document
from rungwise.records import Store
from rungwise.services import DiagnosisService, unit_from_text
from rungwise.services.runtime.table_store import SUFFIX, digest_of
from rungwise.web.app import create_app

LABEL = "<mark id=evil>\"'&amp;{x}"
PATHS = (
    "/calls/1", "/calls/1?check=ohms-coil", "/calls/1?picture=panel&whole=1", "/calls/1/dead",
    "/calls/1/dead?stage=1&picture=panel", "/calls/1/part", "/calls/1/part?of=contactor",
    "/calls/1/wires?of=contactor", "/calls/1/lost", "/calls/1/proof", "/calls/1/sign-off",
    "/calls/1/paper", "/calls/1/unit", "/units", "/units/1", "/units/1?state=disconnect",
    "/units/1/plate", "/units/1/ahead", "/day", "/new-call", "/practice", "/practice/2",
)  # fmt: skip


class Tags(HTMLParser):
    """The tags of a page with their ids, drawings included."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.found: list[tuple[str, dict[str, str | None]]] = []
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.append((tag, dict(attrs)))


@pytest.fixture(scope="module")
def page(empty_database: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    """A shop whose unit, customer and call have markup wherever a name can stand."""
    folder = tmp_path_factory.mktemp("hostile")
    document = Document(UNIT_TOML, file="unit.toml")
    for part in unit_from_text(UNIT_TOML).parts:
        document = Document(document.with_value(("parts", part.name, "label"), LABEL), file="u")
    text = document.text
    unit = unit_from_text(text)
    digest = digest_of(unit)
    made = replace(solved(unit, particles=PARTICLES), digest=digest)
    made.save(folder / f"{digest}{SUFFIX}")
    (folder / "shop.sqlite").write_bytes(empty_database.read_bytes())
    store, desk = Store.open(f"sqlite:///{folder / 'shop.sqlite'}"), DiagnosisService(folder)
    with store.writing() as book:
        book.shop.name_it(LABEL)
        person = book.persons.add(LABEL, zone="UTC").id
        site = book.sites.add(book.customers.add(LABEL).id, LABEL, town=LABEL)
        number = book.units.add(LABEL, toml=text, site_id=site.id).id
    with store.writing(person) as book:
        call = book.calls.open(number, title=LABEL, note=LABEL, technician_id=person).id
    desk.table(unit)
    client = TestClient(create_app(store, desk), cookies={"person": str(person)})
    give(client, call, "volts-coil", "0 V")
    give(client, call, "ohms-coil", "OL")
    page = client.get("/practice").text
    token = page.partition('name="token" value="')[2].partition('"')[0]
    client.post("/practice", data={"token": token, "level": "any", "unit": number})
    yield client
    desk.close()
    store.close()


@pytest.mark.parametrize("path", PATHS)
def test_a_name_is_text_on_every_page(page: TestClient, path: str) -> None:
    answer = page.get(path)
    assert answer.status_code == 200
    tags = Tags(answer.text).found
    assert len(tags) > 20
    assert [tag for tag, told in tags if tag == "evil" or told.get("id") == "evil"] == []
    assert "<mark id" not in answer.text


def test_the_names_do_stand_on_the_pages(page: TestClient) -> None:
    told = page.get("/calls/1/part?of=contactor").text
    assert "&lt;mark id=evil&gt;" in told
