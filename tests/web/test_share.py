"""A customer's report by a link: it opens that report, until its end, and nothing else."""

from __future__ import annotations

import datetime as dt
import re

import pytest
from fastapi.testclient import TestClient
from tests.web.mill_street import Shop, twin

from rungwise.records import Store
from rungwise.services import DiagnosisService
from rungwise.web import ReportDoor
from rungwise.web.app import create_app


@pytest.fixture
def link(page: TestClient, shop: Shop) -> str:
    """The path of a link that was made for the call."""
    page.post(f"/calls/{shop.call}/share", data={"days": "7"})
    (made,) = twin(page, f"/calls/{shop.call}/paper")["shares"]
    assert made["url"].startswith("http://testserver/r/")
    return str(made["url"]).removeprefix("http://testserver")


@pytest.fixture
def stranger(store: Store, desk: DiagnosisService) -> TestClient:
    """A customer at the door for reports: no cookie, nothing but the link."""
    return TestClient(ReportDoor(create_app(store, desk, reports="https://reports.example")))


def test_a_link_opens_the_report_and_leads_nowhere_else(
    stranger: TestClient, link: str, page: TestClient, shop: Shop
) -> None:
    answer = stranger.get(link)
    headline = twin(page, f"/calls/{shop.call}/sign-off")["told"]["headline"]
    assert (answer.status_code, headline in answer.text) == (200, True)
    assert re.findall(r'href="([^"]+)"', answer.text.split("</head>")[1]) == [f"{link}.pdf"]
    assert "<form" not in answer.text
    assert "<script" not in answer.text
    assert answer.headers["cache-control"] == "no-store"
    assert "noindex" in answer.headers["x-robots-tag"]
    paper = stranger.get(f"{link}.pdf")
    assert (paper.status_code, paper.content[:5]) == (200, b"%PDF-")


@pytest.mark.parametrize(
    "path", ["/", "/day", "/calls/1", "/calls/1.json", "/r/../day", "/openapi.json", "/person"]
)
def test_the_door_for_reports_opens_no_other_page(stranger: TestClient, path: str) -> None:
    assert stranger.get(path).status_code == 404


def test_nothing_is_written_through_the_door(stranger: TestClient, link: str) -> None:
    assert stranger.post(link).status_code == 404
    assert stranger.post("/calls/1/share", data={"days": "90"}).status_code == 404


def test_a_link_with_any_sign_changed_opens_nothing(stranger: TestClient, link: str) -> None:
    number, end, signature = link.removeprefix("/r/").split(".")
    other = "0" if signature[-1] != "0" else "1"
    forged = [
        f"{number}.{end}.{signature[:-1]}{other}",
        f"{number}.{int(end) + 86400}.{signature}",
        f"{int(number) + 1}.{end}.{signature}",
        f"{number}.{end}.",
        number,
        "x",
        f"99999999999999.{end}.{signature}",
    ]
    told = [stranger.get(f"/r/{each}") for each in forged]
    assert [each.status_code for each in told] == [404] * len(forged)
    assert {each.headers["content-type"] for each in told} == {"text/plain; charset=utf-8"}


def test_a_link_ends_by_itself_and_when_somebody_ends_it(
    page: TestClient, stranger: TestClient, store: Store, shop: Shop, link: str
) -> None:
    now = store.now
    store.now = lambda: now() + dt.timedelta(days=6.9)
    assert stranger.get(link).status_code == 200
    store.now = lambda: now() + dt.timedelta(days=7.1)
    assert stranger.get(link).status_code == 404
    assert twin(page, f"/calls/{shop.call}/paper")["shares"] == []
    store.now = now
    (made,) = twin(page, f"/calls/{shop.call}/paper")["shares"]
    page.post(f"/calls/{shop.call}/share/end", data={"link": made["id"]})
    assert (stranger.get(link).status_code, stranger.get(f"{link}.pdf").status_code) == (404, 404)
    with store.reading() as book:
        share = book.hand.session.connection().exec_driver_sql("SELECT ended_by_id FROM share")
        assert share.scalar_one() == shop.amari


def test_a_link_speaks_the_language_that_it_was_made_in(
    page: TestClient, stranger: TestClient, shop: Shop
) -> None:
    page.cookies["language"] = "es"
    page.post(f"/calls/{shop.call}/share", data={"days": "7"})
    (made,) = twin(page, f"/calls/{shop.call}/paper")["shares"]
    path = str(made["url"]).removeprefix("http://testserver")
    answer = stranger.get(path, headers={"accept-language": "en"})
    assert '<html lang="es"' in answer.text


def test_links_begin_with_the_address_of_the_door_where_it_is_set(
    store: Store, desk: DiagnosisService, shop: Shop
) -> None:
    here = TestClient(create_app(store, desk, reports="https://reports.example/"))
    here.post(f"/calls/{shop.call}/share", data={"days": "7"})
    (made,) = twin(here, f"/calls/{shop.call}/paper")["shares"]
    assert made["url"].startswith("https://reports.example/r/")
