"""What the server says of an entry: a receipt that names it, a refusal for good, or neither."""

from __future__ import annotations

import datetime as dt
import sqlite3
import threading
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest
from fastapi.routing import APIRoute
from fastapi.testclient import TestClient
from starlette.routing import Match
from tests.records.conftest import cluster
from tests.web.mill_street import Shop, furnish, twin
from tests.web.test_hostile_labels import PATHS

from rungwise.records import Store, engine
from rungwise.services import DiagnosisService
from rungwise.web.app import PAGES, create_app
from rungwise.web.middleware import MOST_BYTES
from rungwise.web.submission import ENVELOPE, known_fields

__all__ = ["cluster"]

PAIRS = 50


def send(page: TestClient, path: str, entry: str = "e1", **form: Any) -> Any:
    """As the script sends an entry."""
    headers = {"rungwise-entry": entry, "accept": "application/json"}
    return page.post(path, data=form, headers=headers, follow_redirects=False)


def reading(page: TestClient, shop: Shop, entry: str = "e1", typed: str = "27", **more: Any) -> Any:
    path = f"/calls/{shop.call}/readings"
    return send(page, path, entry, check="volts-coil", typed=typed, **more)


def kept(store: Store, shop: Shop) -> list[str]:
    with store.reading() as book:
        return [each.typed for each in book.readings.history(shop.call)]


def test_what_is_kept_has_a_receipt_that_names_it_and_tells_the_way_on(
    page: TestClient, store: Store, shop: Shop
) -> None:
    answer = reading(page, shop)
    assert answer.status_code == 200
    assert answer.headers["rungwise-kept"] == "e1"
    assert answer.json()["to"].startswith(f"/calls/{shop.call}?saved=volts-coil")
    assert kept(store, shop) == ["27"]


def test_an_entry_sent_again_has_its_receipt_and_is_kept_once(
    page: TestClient, store: Store, desk: DiagnosisService, shop: Shop
) -> None:
    reading(page, shop)
    reading(page, shop, "e2", "28")
    again = TestClient(create_app(store, desk), cookies={"person": str(shop.amari)})  # restarted
    for client in (page, again):
        answer = reading(client, shop)
        assert answer.headers["rungwise-kept"] == "e1"
    assert kept(store, shop) == ["27", "28"]


@pytest.mark.parametrize(
    ("path", "form"),
    [
        ("/calls/999/readings", {"check": "volts-coil", "typed": "27"}),
        ("/calls/1/readings", {"check": "volts-nowhere", "typed": "27"}),
        ("/calls/1/readings", {"check": "volts-coil", "typed": "x" * 3000}),
        ("/calls/1/readings", {"check": "volts-coil", "typed": "27", "colour": "red"}),
        ("/calls/1/fields/note", {}),
        ("/calls/1/fields/state", {"typed": "closed"}),
        ("/calls/1/fields/id", {"typed": "7"}),
        ("/units/1/plate/version", {"typed": "7"}),
        ("/units/1/plate", {"version": "7"}),
        ("/nowhere", {"typed": "27"}),
    ],
)
def test_what_is_refused_for_good_says_so_in_words_and_names_it(
    page: TestClient, shop: Shop, path: str, form: dict[str, str]
) -> None:
    assert shop.call == 1
    answer = send(page, path, **form)
    assert 400 <= answer.status_code < 500
    assert answer.headers["rungwise-refused"] == "e1"
    assert "rungwise-kept" not in answer.headers
    assert answer.json()["error"]["what"]


def test_what_is_too_much_for_one_form_is_refused_for_good(page: TestClient, shop: Shop) -> None:
    answer = send(page, f"/calls/{shop.call}/fields/note", typed="x" * (MOST_BYTES + 1))
    assert answer.status_code == 413
    assert answer.headers["rungwise-refused"] == "e1"


@pytest.mark.parametrize(
    "marks",
    [{"origin": "http://evil.example"}, {"origin": "null"}, {"sec-fetch-site": "cross-site"}],
    ids=str,
)
def test_a_form_from_another_site_keeps_nothing(
    page: TestClient, store: Store, shop: Shop, marks: dict[str, str]
) -> None:
    form = {"check": "volts-coil", "typed": "27"}
    assert page.post(f"/calls/{shop.call}/readings", data=form, headers=marks).status_code == 403
    assert kept(store, shop) == []


def test_nobody_works_under_a_number_that_is_no_person(page: TestClient) -> None:
    answer = page.post("/person", data={"person": 99}, follow_redirects=False)
    assert answer.status_code == 404
    assert "set-cookie" not in answer.headers


def test_a_form_without_its_text_keeps_nothing(page: TestClient, store: Store, shop: Shop) -> None:
    with store.writing(shop.amari) as book:
        book.calls.leave(shop.call, "note", "by the fence")
    path = f"/calls/{shop.call}/fields/note"
    assert page.post(path, json={"typed": "x"}).status_code == 422
    assert page.post(path, content=b"typed=x").status_code == 422
    with store.reading() as book:
        assert book.calls.get(shop.call).note == "by the fence"


def test_records_that_are_held_are_no_refusal_and_may_be_tried_again(
    store: Store,
    desk: DiagnosisService,
    shop: Shop,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(engine, "LOCK_WAIT_S", 0.1)
    file = tmp_path / "shop.sqlite"
    mine = Store.open(f"sqlite:///{file}")
    client = TestClient(create_app(mine, desk), cookies={"person": str(shop.amari)})
    other = sqlite3.connect(file, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    answer = reading(client, shop)
    assert answer.status_code == 503
    assert int(answer.headers["retry-after"]) > 0
    assert not {"rungwise-kept", "rungwise-refused"} & set(answer.headers)
    assert "held by somebody else" in answer.json()["error"]["what"]
    html = client.post(f"/calls/{shop.call}/fields", data={"note": "x"})
    assert html.status_code == 503
    assert "held by somebody else" in html.text
    assert client.get("/day").status_code == 200
    other.close()
    assert reading(client, shop).headers["rungwise-kept"] == "e1"
    assert kept(store, shop) == ["27"]
    mine.close()


def test_what_waited_is_kept_under_the_person_and_the_moment_of_its_entry(
    page: TestClient, store: Store, shop: Shop
) -> None:
    """The phone's clock is a day wrong; how long the entry lay there is not."""
    now = dt.datetime.now(dt.UTC)
    device = now + dt.timedelta(days=1)
    told_at = int((device - dt.timedelta(hours=2)).timestamp() * 1000)
    reading(
        page, shop, told_at=told_at, sent_at=int(device.timestamp() * 1000), told_by=shop.okafor
    )
    with store.reading() as book:
        (row,) = book.readings.history(shop.call)
        sent = book.sent.of("e1")
    assert row.person_id == shop.okafor
    assert abs(row.at - (now - dt.timedelta(hours=2))) < dt.timedelta(minutes=1)
    assert row.kept_at is not None
    assert abs(row.kept_at - now) < dt.timedelta(minutes=1)
    assert sent is not None
    assert sent.device_at == dt.datetime.fromtimestamp(told_at / 1000, dt.UTC)


def test_a_field_that_another_wrote_meanwhile_is_kept_beside_and_chosen(
    page: TestClient, store: Store, desk: DiagnosisService, shop: Shop
) -> None:
    other = TestClient(create_app(store, desk), cookies={"person": str(shop.okafor)})
    seen = twin(page, f"/calls/{shop.call}")["version"]
    path = f"/calls/{shop.call}/fields/note"
    mine = send(page, path, "a", typed="mine", seen=seen).json()
    assert mine["level"] == "fine"
    assert send(page, path, "b", typed="mine, mended", seen=mine["seen"]).json()["level"] == "fine"
    late = send(other, path, "c", typed="theirs", seen=seen).json()
    assert late["level"] == "doubt"
    assert "R. Amari wrote here meanwhile" in late["text"]
    view = twin(page, f"/calls/{shop.call}")
    assert view["note"] == "mine, mended"
    (clash,) = view["field_clashes"]
    page.post(f"/calls/{shop.call}/fields-choose", data={"row": clash["waits"][0]})
    view = twin(page, f"/calls/{shop.call}")
    assert (view["note"], view["field_clashes"]) == ("theirs", [])


@pytest.fixture(params=["sqlite", "postgresql"])
def two_servers(
    request: pytest.FixtureRequest, store: Store, desk: DiagnosisService
) -> Iterator[tuple[Store, list[TestClient]]]:
    """Two apps with stores of their own on one database that holds a shop."""
    url = store.address
    if request.param == "postgresql":
        url = request.getfixturevalue("cluster").new()
    stores = [Store.open(url) for _ in range(2)]
    shop = furnish(stores[0])
    yield (
        stores[0],
        [
            TestClient(create_app(each, desk), cookies={"person": str(shop.amari)})
            for each in stores
        ],
    )
    for each in stores:
        each.close()


@pytest.mark.parametrize(
    ("path", "form"), [("/calls", {"unit": 1}), ("/units", {"arrangement": "two_pole_plain"})]
)
def test_fifty_double_taps_make_one_record_each(
    two_servers: tuple[Store, list[TestClient]], path: str, form: dict[str, Any]
) -> None:
    """Two at once with one token, each at a server of its own on the same database."""
    store, servers = two_servers
    for server in servers:  # each page is made ready by one thread alone
        assert server.post(path, data=form).status_code == 422  # it has no token
    led: list[set[str]] = [set() for _ in range(PAIRS)]
    start = threading.Barrier(len(servers))

    def tap(server: TestClient) -> None:
        for number, found in enumerate(led):
            start.wait(20)
            told = server.post(path, data={**form, "token": f"t{number}"}, follow_redirects=False)
            found.add(told.headers.get("location", f"{told.status_code}"))

    threads = [threading.Thread(target=tap, args=(each,)) for each in servers]
    for each in threads:
        each.start()
    for each in threads:
        each.join()
    assert [each for each in led if len(each) != 1] == []
    with store.reading() as book:
        made = book.calls.of_unit(1) if path == "/calls" else book.units.all()
    assert len(made) == 1 + PAIRS


def test_a_form_shown_once_more_keeps_another_answer_and_not_the_same_one(
    page: TestClient, store: Store, shop: Shop
) -> None:
    """Without script: the back button shows the old form with its token."""
    path = f"/calls/{shop.call}/readings"
    for typed in ("27", "27", "28", "27"):
        form = {"check": "volts-coil", "typed": typed, "token": "one page"}
        assert page.post(path, data=form, follow_redirects=False).status_code == 303
    assert kept(store, shop) == ["27", "28"]


class Forms(HTMLParser):
    """The forms of a page that keep something, with the names of their fields."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.found: list[tuple[str, set[str]]] = []
        self._open = False
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = {key: value or "" for key, value in attrs}
        if tag == "form":
            self._open = told.get("method") == "post"
            if self._open:
                self.found.append((told["action"], set()))
        elif self._open and "name" in told and "formaction" not in told:
            self.found[-1][1].add(told["name"])

    def handle_endtag(self, tag: str) -> None:
        self._open = self._open and tag != "form"


KEEPING = [
    each
    for router in PAGES
    for each in router.routes
    if isinstance(each, APIRoute) and "POST" in (each.methods or ())
]


@pytest.mark.parametrize("path", [each for each in PATHS if each != "/practice/2"])
def test_every_form_sends_what_its_page_knows_and_a_token(shown: TestClient, path: str) -> None:
    for action, fields in Forms(shown.get(path).text).found:
        scope = {"type": "http", "method": "POST", "path": action}
        (route,) = [each for each in KEEPING if each.matches(scope)[0] == Match.FULL][:1]
        known = known_fields(route)
        assert "token" in fields, action
        assert known is None or fields - ENVELOPE <= known, action


@pytest.mark.parametrize("on", ["0001-01-01", "9999-12-31", "1899-12-31", "2200-01-01", "Tuesday"])
@pytest.mark.parametrize("face", ["/day", "/day.json"])
def test_a_day_beyond_the_records_is_refused_in_words(
    shown: TestClient, face: str, on: str
) -> None:
    answer = shown.get(f"{face}?on={on}")
    assert answer.status_code == 422
    assert "1900-01-01 to 2199-12-31" in answer.text


@pytest.mark.parametrize("on", ["1900-01-01", "2199-12-31"])
def test_the_first_and_the_last_day_can_be_seen(shown: TestClient, on: str) -> None:
    assert twin(shown, f"/day?on={on}")["day"] == on


def test_a_photo_out_of_sight_is_shown_to_nobody(page: TestClient, shop: Shop) -> None:
    photo = (Path(__file__).parent / "contactor.png").read_bytes()
    page.post(f"/calls/{shop.call}/photos", files={"photo": ("c.png", photo, "image/png")})
    first = page.get("/photos/1")
    assert first.status_code == 200
    mark = {"if-none-match": first.headers["etag"]}
    assert page.get("/photos/1", headers=mark).status_code == 304
    page.post("/photos/1/remove")
    for each in ("/photos/1", "/photos/1/small"):
        assert page.get(each, headers=mark).status_code == 404


def test_only_our_own_names_are_answered(store: Store, desk: DiagnosisService) -> None:
    """A name that is not ours may be a stranger's, led here to read the records."""
    client = TestClient(create_app(store, desk, frozenset({"shop.local"})))
    for host, status in (
        ("shop.local:8470", 200), ("127.0.0.1:8470", 200), ("[::1]:8470", 200),
        ("192.168.4.20", 200), ("evil.example:8470", 421), ("shop.local.evil.example", 421),
    ):  # fmt: skip
        assert client.get("/units.json", headers={"host": host}).status_code == status, host
        told = {"host": host, "origin": f"http://{host}"}
        form = {"name": host, "zone": "UTC", "back": "/day"}
        answer = client.post("/persons", data=form, headers=told, follow_redirects=False)
        assert answer.status_code == (303 if status == 200 else status), host
