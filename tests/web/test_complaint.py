"""What the customer said is told by large keys, without script, and moves the odds of the call."""

from __future__ import annotations

import html
import re

import pytest
from fastapi.testclient import TestClient
from tests.web.mill_street import Shop, token_in, twin

from rungwise.diagnosis.chips import CHIPS
from rungwise.records import Store


def told(page: TestClient, path: str) -> list[str]:
    """Ids of the keys that are down."""
    return [each["id"] for each in twin(page, path)["chips"] if each["told"]]


def test_a_new_call_takes_what_was_said(page: TestClient) -> None:
    shown = page.get("/new-call").text
    assert re.findall(r'name="complaint" value="([^"]+)"', shown) == [chip.id for chip in CHIPS]
    form = {"token": token_in(shown), "unit": "1", "complaint": ["water", "after_storm"]}
    path = page.post("/calls", data=form).url.path
    assert told(page, path) == ["after_storm", "water"]


def test_looking_for_another_unit_loses_nothing_that_was_said(page: TestClient) -> None:
    html_ = page.get("/new-call?said=Hot&complaint=ice").text
    assert re.findall(r'value="(\w+)" checked', html_) == ["ice"]


def test_a_key_is_pressed_and_taken_back(page: TestClient, shop: Shop) -> None:
    path = f"/calls/{shop.call}"
    for chip in ("smell", "ice", "smell"):  # sent again for want of signal
        assert page.post(f"{path}/complaint", data={"said": chip}).status_code == 200
    assert told(page, path) == ["smell", "ice"]
    page.post(f"{path}/complaint", data={"unsaid": "smell"})
    assert told(page, path) == ["ice"]


def test_what_was_said_moves_the_odds_and_says_so(page: TestClient, shop: Shop) -> None:
    path = f"/calls/{shop.call}"

    def best() -> str:
        verdict = twin(page, path)["diagnosis"]["verdict"]
        return str((verdict["answer"] or verdict["runners_up"][0])["part"])

    before = best()
    page.post(f"{path}/complaint", data={"said": "water"})
    assert before != "float_switch"
    assert best() == "float_switch"
    view = twin(page, path)
    (said,) = view["diagnosis"]["call"]["complaint"]
    assert (said["id"], said["moved"][0]["group"]) == ("water", "pan")
    (line,) = view["complaint"]
    assert line.startswith('The complaint "Water" made the pan and its float switch likelier by 15')
    assert line in html.unescape(page.get(path).text).replace("\xa0", " ")


@pytest.mark.parametrize(
    ("path", "field"), [("/calls/{call}/complaint", "said"), ("/calls", "complaint")]
)
def test_what_is_on_no_key_is_refused(page: TestClient, shop: Shop, path: str, field: str) -> None:
    form = {field: "thunder", "token": token_in(page.get("/new-call").text)}
    answer = page.post(path.format(call=shop.call), data=form)
    assert 400 <= answer.status_code < 500
    assert "after_storm" in answer.text


def test_what_was_said_is_kept_with_who_and_when(
    page: TestClient, shop: Shop, store: Store
) -> None:
    page.post(f"/calls/{shop.call}/complaint", data={"said": "noise"})
    with store.reading() as book:
        (entry,) = book.calls.history(shop.call, "complaint")
        assert (entry.typed, entry.person_id) == ("noise", shop.amari)
