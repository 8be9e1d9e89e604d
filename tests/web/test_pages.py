"""Every page: both its faces, what it weighs, and what it must never have."""

from __future__ import annotations

import gzip
import re

import pytest
from fastapi.testclient import TestClient
from jsonschema import ValidationError
from tests.web.mill_street import Shop, Solving, give, token_in, twin, validator_of
from tests.web.test_styles import mark_of

from rungwise.records import Store
from rungwise.web.app import create_app

PATHS = (
    "/day",
    "/day?find=finch",
    "/new-call",
    "/new-unit",
    "/person",
    "/units",
    "/units/1",
    "/units/1?state=disconnect",
    "/units/1/plate",
    "/calls/1",
    "/calls/1?check=volts-coil",
    "/calls/1?open=others&find=coil",
    "/calls/1/picture?check=volts-coil&picture=panel",
    "/calls/1/unit",
)
FIRST_LOAD_BYTES = 150_000


@pytest.mark.parametrize("path", PATHS)
def test_a_page_stands_on_html_alone(shown: TestClient, path: str) -> None:
    """One heading, a label to every field, nothing inline that the policy would refuse."""
    answer = shown.get(path)
    assert answer.status_code == 200
    policy = answer.headers["content-security-policy"]
    html = answer.text
    for sheet in re.findall(r"<style>(.*?)</style>", html, re.DOTALL):
        assert mark_of(sheet) in policy
        html = html.replace(f"<style>{sheet}</style>", "")
    assert html.count("<h1") == 1
    assert not re.search(r"<script(?![^>]*\ssrc=)|<style|\sstyle=|\son[a-z]+=", html)
    assert "script-src 'self'" in policy
    fields = re.findall(r'<(?:input|select|textarea)(?![^>]*type="hidden")[^>]*', html)
    named = set(re.findall(r'<label for="([^"]+)"', html))
    assert [f for f in fields if not named & set(re.findall(r'id="([^"]+)"', f))
            and "aria-label" not in f] == []  # fmt: skip
    ids = re.findall(r'\sid="([^"]+)"', html)
    assert len(ids) == len(set(ids))


@pytest.mark.parametrize("path", PATHS)
def test_the_twin_tells_the_title_of_the_page(shown: TestClient, path: str) -> None:
    title = twin(shown, path)["title"]
    assert f"<title>{title} · Rungwise</title>" in shown.get(path).text


@pytest.mark.parametrize("path", PATHS)
def test_a_first_load_is_small(shown: TestClient, path: str) -> None:
    """The page, its styles, scripts, letters and icon, as they go over the air."""
    html = shown.get(path).text
    paths = re.findall(r'"(/static/[^"]+)"', html)
    style = shown.get(next(each for each in paths if each.endswith("rungwise.css"))).text
    paths += re.findall(r"url\((/static/[^)]+)\)", style)
    parts = {each: shown.get(each).content for each in paths}
    kinds = {each.rpartition(".")[2] for each in parts}
    assert kinds == {"css", "js", "svg", "png", "woff2"}
    weight = sum(len(gzip.compress(each, 5)) for each in (html.encode(), *parts.values()))
    assert weight < FIRST_LOAD_BYTES


def test_openapi_describes_every_twin_and_no_page(shown: TestClient) -> None:
    told = shown.get("/openapi.json").json()
    assert all(path.endswith(".json") for path in told["paths"])
    assert {"/day.json", "/units/{number}.json", "/calls/{number}.json"} <= set(told["paths"])
    call = told["components"]["schemas"]["CallView"]["properties"]
    assert call["diagnosis"]["description"].startswith("as `rungwise diagnose --json`")
    shapes = told["components"]["schemas"]
    of_commands = ("IsolationResult", "FittingOfUnitResult", "RewireResult", "RecoverResult",
                   "RepairProofResult")  # fmt: skip
    assert all(shapes[name]["required"] for name in of_commands)


def test_an_answer_that_its_description_does_not_know_is_caught(shown: TestClient) -> None:
    told = twin(shown, "/calls/1")
    with pytest.raises(ValidationError):
        validator_of(shown, "/calls/1.json").validate({**told, "state": 3})


def test_a_static_file_is_kept_for_ever_under_the_name_of_its_content(shown: TestClient) -> None:
    sheet = re.findall(r'"(/static/[^"]+\.css)"', shown.get("/day").text)[0]
    assert "immutable" in shown.get(sheet).headers["cache-control"]
    name = sheet.rpartition("/")[2]
    assert shown.get(f"/static/0123456789ab/{name}").status_code == 404


@pytest.mark.parametrize(
    ("path", "status"),
    [("/nowhere", 404), ("/calls/99", 404), ("/calls/first", 404), ("/calls/1?check=volts-x", 404),
     ("/day?on=yesterday", 422)],
)  # fmt: skip
def test_what_cannot_be_had_is_told_in_the_same_words_on_both_faces(
    shown: TestClient, path: str, status: int
) -> None:
    head, mark, query = path.partition("?")
    html, told = shown.get(path), shown.get(f"{head}.json{mark}{query}")
    assert (html.status_code, told.status_code) == (status, status)
    refusal = told.json()["error"]
    assert refusal["what"].replace("'", "&#39;") in html.text
    assert "Traceback" not in html.text + told.text


def test_a_form_from_another_site_is_turned_away(page: TestClient, shop: Shop) -> None:
    answer = page.post(
        f"/calls/{shop.call}/state", data={"state": "close"}, headers={"origin": "http://elsewhere"}
    )
    assert answer.status_code == 403
    assert twin(page, f"/calls/{shop.call}")["state"] == "open"


@pytest.mark.parametrize("back", ["//elsewhere/x", "http://elsewhere", "/\\elsewhere", "calls"])
def test_a_form_never_leads_to_another_site(shown: TestClient, back: str) -> None:
    answer = shown.post("/light", data={"light": "night", "back": back}, follow_redirects=False)
    assert answer.headers["location"] == "/day"


def test_the_light_is_remembered_without_script(page: TestClient) -> None:
    assert '<html lang="en" data-light="auto"' in page.get("/day").text
    html = page.post("/light", data={"light": "night", "back": "/units"}).text
    assert '<html lang="en" data-light="night"' in html
    assert "<h1" in html


def test_a_new_call_is_opened_once_however_often_the_form_is_sent(page: TestClient) -> None:
    form = {"token": token_in(page.get("/new-call").text), "unit": "1", "said": "Warm air"}
    first, again = (page.post("/calls", data=form).url.path for _ in range(2))
    assert first == again
    assert [each["title"] for each in twin(page, "/day")["calls"]].count("Warm air") == 1


def test_a_call_is_found_by_customer_and_by_phone(page: TestClient, shop: Shop) -> None:
    for words in ("finch", "0142", "MILL hollow"):
        found = twin(page, f"/day?find={words}")
        assert [each["id"] for each in found["found_calls"]] == [shop.call]
    assert twin(page, "/day?find=nobody")["found_units"] == []


def test_a_call_begins_without_a_unit_and_is_put_on_one(page: TestClient, shop: Shop) -> None:
    form = {"token": token_in(page.get("/new-call").text), "said": "Nothing runs"}
    path = f"/calls/{page.post('/calls', data=form).url.params['call']}"
    assert twin(page, path)["unit"] is None
    assert "Which unit?" in page.get(path).text
    page.post(f"{path}/unit", data={"unit": str(shop.unit)})
    assert twin(page, path)["diagnosis"]["verdict"]["kind"] == "undecided"


def test_who_is_working_is_chosen_and_can_be_somebody_new(page: TestClient, shop: Shop) -> None:
    page.post("/person", data={"person": str(shop.okafor)})
    give(page, shop.call, "volts-coil", "0 V")
    assert twin(page, f"/calls/{shop.call}")["readings"][0]["who"] == "J. Okafor"
    page.post("/persons", data={"name": "T. Vale", "zone": "America/Chicago"})
    assert "T. Vale" in page.get("/day").text


def test_a_call_waits_for_the_unit_to_be_solved_without_script(
    store: Store, shop: Shop, tables: object
) -> None:
    """The looks can be entered meanwhile, and the page looks again by itself.

    With script it does so in place: a page that loads anew would scroll away under the thumb.
    Without script its own address is named: with a mark, `#more`, a bare refresh only scrolls.
    """
    del tables
    page = TestClient(create_app(store, Solving()), cookies={"person": str(shop.amari)})
    path = f"/calls/{shop.call}"
    html = page.get(path).text
    assert f'<noscript><meta http-equiv="refresh" content="3;url={path}"></noscript>' in html
    asked = page.get(f"{path}?more=1").text
    assert (
        f'<noscript><meta http-equiv="refresh" content="3;url={path}?more=1"></noscript>' in asked
    )
    assert re.search(r'<main id="main" [^>]*data-look-again="3"', html)
    assert "40% done" in html
    give(page, shop.call, "look-compressor", "silent")
    assert 'value="-" aria-pressed="true">silent' in page.get(path).text
    assert twin(page, path)["building"] == 0.4
