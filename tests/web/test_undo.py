"""Taking back what was entered last: step by step, by name and time, and nothing is lost."""

from __future__ import annotations

from typing import Any

from fastapi.testclient import TestClient
from tests.web.mill_street import Shop

from rungwise.records import Store
from rungwise.services import DiagnosisService
from rungwise.web.app import create_app


def twin(page: TestClient, path: str) -> dict[str, Any]:
    answer = page.get(f"{path}.json")
    assert answer.status_code == 200, answer.text
    told: dict[str, Any] = answer.json()
    return told


def undone(page: TestClient, path: str, action: str, key: str = "undo") -> None:
    """Press Undo as it stands on the page."""
    told = twin(page, path)[key]
    form = {"page": told["page"], "shown": told["shown"]}
    answer = page.post(action, data={k: v for k, v in form.items() if v}, follow_redirects=False)
    assert answer.status_code == 303, answer.text


def read(page: TestClient, shop: Shop, check: str, typed: str) -> None:
    page.post(f"/calls/{shop.call}/readings", data={"check": check, "typed": typed})


def standing(page: TestClient, shop: Shop) -> dict[str, str]:
    return {each["check"]: each["typed"] for each in twin(page, f"/calls/{shop.call}")["readings"]}


def some_checks(page: TestClient, shop: Shop) -> list[str]:
    """Two checks in ohms."""
    groups = twin(page, f"/calls/{shop.call}")["others"]
    return [c["id"] for each in groups for c in each["checks"] if c["id"].startswith("ohms-")][:2]


def test_undo_walks_back_one_entry_at_a_time_and_says_again_what_stood_before(
    page: TestClient, shop: Shop
) -> None:
    one, other = some_checks(page, shop)
    at, undo = f"/calls/{shop.call}", f"/calls/{shop.call}/undo"
    for check, typed in ((one, "27"), (other, "240"), (one, "28")):
        read(page, shop, check, typed)
    assert twin(page, at)["undo"]["what"].endswith(": 28")
    undone(page, at, undo)
    assert (standing(page, shop)[one], standing(page, shop)[other]) == ("27", "240")
    undone(page, at, undo)
    assert (standing(page, shop).get(one), standing(page, shop).get(other)) == ("27", None)
    undone(page, at, undo)
    assert standing(page, shop).get(one) is None
    assert twin(page, at)["undo"]["what"] == ""
    taken = twin(page, at)["undo"]["taken"]
    assert [each["who"] for each in taken] == ["R. Amari"] * 3


def test_what_is_entered_after_an_undo_is_what_the_next_one_takes_back(
    page: TestClient, shop: Shop
) -> None:
    one, other = some_checks(page, shop)
    at, undo = f"/calls/{shop.call}", f"/calls/{shop.call}/undo"
    read(page, shop, one, "27")
    read(page, shop, one, "28")
    undone(page, at, undo)
    read(page, shop, other, "240")
    undone(page, at, undo)
    assert standing(page, shop) == {one: "27"}
    undone(page, at, undo)
    assert standing(page, shop) == {}


def test_the_history_keeps_what_was_taken_back(page: TestClient, shop: Shop, store: Store) -> None:
    one, _ = some_checks(page, shop)
    read(page, shop, one, "27")
    undone(page, f"/calls/{shop.call}", f"/calls/{shop.call}/undo")
    with store.reading() as book:
        rows = [each for each in book.readings.history(shop.call) if each.check == one]
        (told,) = book.undo.history("call", shop.call)
    assert [each.typed for each in rows] == ["27", ""]
    assert told.rows == {"reading": [[rows[0].id, rows[1].id, 0]]}
    assert (told.person_id, rows[1].person_id) == (shop.amari, shop.amari)


def test_nobody_takes_back_what_the_page_did_not_show(page: TestClient, shop: Shop) -> None:
    one, other = some_checks(page, shop)
    read(page, shop, one, "27")
    shown = twin(page, f"/calls/{shop.call}")["undo"]["shown"]
    read(page, shop, other, "240")
    answer = page.post(f"/calls/{shop.call}/undo", data={"shown": shown})
    assert answer.status_code >= 400
    assert standing(page, shop) == {one: "27", other: "240"}


def test_fields_complaint_and_unit_of_a_call_go_back_to_what_they_were(
    page: TestClient, shop: Shop, store: Store
) -> None:
    at, undo = f"/calls/{shop.call}", f"/calls/{shop.call}/undo"
    before = twin(page, at)["said"]
    page.post(f"{at}/fields", data={"title": "Warm upstairs"})
    page.post(f"{at}/fields", data={"title": "Warm upstairs and down"})
    page.post(f"{at}/complaint", data={"said": twin(page, at)["chips"][0]["id"]})
    undone(page, at, undo)
    assert not any(each["told"] for each in twin(page, at)["chips"])
    undone(page, at, undo)
    assert twin(page, at)["said"] == "Warm upstairs"
    undone(page, at, undo)
    assert twin(page, at)["said"] == before
    with store.writing() as book:
        book.calls.put_on(shop.call, None)
    undone(page, at, undo)
    with store.reading() as book:
        assert book.calls.get(shop.call).unit_id == shop.unit


def test_a_signature_that_is_taken_back_opens_the_call_and_signs_nothing(
    page: TestClient, shop: Shop, store: Store
) -> None:
    at = f"/calls/{shop.call}/sign-off"
    page.post(at, data={"text": "", "received_by": "Mrs. Finch", "truth": "contactor"})
    assert twin(page, at)["signed"]["received_by"] == "Mrs. Finch"
    undone(page, at, f"/calls/{shop.call}/undo", "last_entry")
    told = twin(page, at)
    assert (told["signed"], told["state"]) == (None, "open")
    undone(page, at, f"/calls/{shop.call}/undo", "last_entry")
    with store.reading() as book:
        assert (book.truths.last(shop.call), book.sign_offs.last(shop.call)) == (None, None)
        assert len(book.sign_offs.history(shop.call)) == 2
    page.post(at, data={"received_by": "Mr. Finch"})
    assert twin(page, at)["signed"]["received_by"] == "Mr. Finch"


def test_a_closed_call_takes_nothing_back_until_it_is_reopened(
    page: TestClient, shop: Shop
) -> None:
    one, _ = some_checks(page, shop)
    read(page, shop, one, "27")
    at = f"/calls/{shop.call}"
    offered = twin(page, at)["undo"]
    page.post(f"{at}/sign-off", data={"received_by": "Mrs. Finch"})
    assert twin(page, at)["undo"]["what"] == ""
    answer = page.post(f"{at}/undo", data={"shown": offered["shown"]})
    assert answer.status_code >= 400
    assert "reopen the call first" in answer.text.lower()
    assert standing(page, shop) == {one: "27"}
    undone(page, f"{at}/sign-off", f"{at}/undo", "last_entry")
    undone(page, at, f"{at}/undo")
    assert standing(page, shop) == {}


def test_a_step_of_the_lockout_taken_back_opens_all_that_rests_on_it(
    page: TestClient, shop: Shop
) -> None:
    at = f"/calls/{shop.call}/dead"
    for card in twin(page, f"{at}")["cards"][:5]:
        if card["lines"][0]["reads"] and not card["all_below"]:
            answer = {"typed": "241", "unit": "V"}
        else:
            answer = {"quick": "all below"} if card["all_below"] else {}
        page.post(at, data={"check": [each["id"] for each in card["lines"]], **answer})
    cards = twin(page, at)["cards"]
    done = [all(e["state"] == "done" for e in c["lines"]) for c in cards]
    assert done.count(True) >= 3
    first = next(c for c in cards if any(e["kind"] == "open" for e in c["lines"]))
    assert all(e["state"] == "done" for e in first["lines"])
    page.post(at, data={"check": [first["lines"][0]["id"]], "done": "false"})
    after = [e for c in twin(page, at)["cards"] for e in c["lines"]]
    number = first["lines"][0]["number"]
    assert [e for e in after if e["number"] >= number and e["state"] == "done"] == []
    assert [e for e in after if e["number"] < number and e["state"] != "done"] == []
    assert twin(page, at)["last_entry"]["taken"][0]["who"] == "R. Amari"


def test_the_vans_stock_and_a_nameplate_go_back_to_what_they_were(
    page: TestClient, shop: Shop, store: Store, desk: DiagnosisService
) -> None:
    del desk
    stock = '[[candidates]]\nname = "C 45/5"\nkind = "dual_run_capacitor"\ncount = 3\n'
    with store.writing() as book:
        book.persons.leave(shop.amari, "stock", stock)
    page.post("/van/count", data={"number": "0", "name": "C 45/5", "step": "-1"})
    assert twin(page, "/van")["undo"]["what"] == "C 45/5, 3 to 2"
    undone(page, "/van", "/van/undo")
    assert twin(page, "/van")["lines"][0]["count"] == 3
    at = f"/units/{shop.unit}/plate"
    groups = twin(page, at)["groups"]
    line = next(each for group in groups for each in group["lines"] if each["typed"])
    page.post(f"{at}/{line['key']}", data={"typed": "99"})
    undone(page, at, f"/units/{shop.unit}/undo")
    groups = twin(page, at)["groups"]
    now = next(e for group in groups for e in group["lines"] if e["key"] == line["key"])
    assert now["typed"] == line["typed"]


def test_the_demo_and_others_find_no_key_where_nothing_was_entered(
    store: Store, desk: DiagnosisService
) -> None:
    with store.writing() as book:
        call = book.calls.open(None, title="No cooling").id
    told = twin(TestClient(create_app(store, desk)), f"/calls/{call}")["undo"]
    assert (told["what"], told["taken"]) == ("", [])
