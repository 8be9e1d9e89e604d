"""The van's stock: added by its label, counted, less by what is installed, and on the bill."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest
from fastapi.testclient import TestClient
from tests.web.mill_street import Shop, twin

from rungwise.records import Store
from rungwise.replacement import CANDIDATE_KINDS
from rungwise.web.pages.paper.papers import PRICES
from rungwise.web.pages.van import stock as van

DUAL = {"kind": "dual_capacitor", "herm_uf": "45+5", "volt": "440", "price": "12.40", "count": "2"}


def stock(page: TestClient) -> list[Any]:
    return list(twin(page, "/van")["lines"])


def bill(store: Store, call: int) -> str:
    with store.reading() as book:
        kept = book.calls.entries(call).get(PRICES)
        return kept.typed if kept else ""


def test_a_part_is_added_by_what_its_label_says(page: TestClient, shop: Shop) -> None:
    page.post("/van", data=DUAL)
    (line,) = stock(page)
    assert (line["count"], line["price"]) == (2, "$12.40")
    assert line["name"] == "dual run capacitor 45 µF 5 µF 440 V"
    fits = twin(page, f"/calls/{shop.call}/part?of=capacitor")["candidates"]
    assert [(each["name"], each["serves"]) for each in fits] == [(line["name"], True)]


def test_the_same_part_again_is_counted_with_it_and_another_of_its_name_refused(
    page: TestClient, shop: Shop
) -> None:
    del shop
    page.post("/van", data=DUAL)
    page.post("/van", data={**DUAL, "where": "bin 4", "count": "3"})
    assert [each["count"] for each in stock(page)] == [5]
    other = {**DUAL, "volt": "370", "name": stock(page)[0]["name"]}
    assert page.post("/van", data=other).status_code == 422
    assert [each["count"] for each in stock(page)] == [5]


@pytest.mark.parametrize(
    ("key", "typed"), [("volt", "44O V"), ("herm_uf", "45 F"), ("count", "0"), ("count", "many")]
)
def test_a_slip_on_the_label_adds_nothing_and_keeps_what_was_typed(
    page: TestClient, shop: Shop, key: str, typed: str
) -> None:
    del shop
    shown = page.post("/van", data={**DUAL, key: typed})
    assert 'role="alert"' in shown.text
    assert f'value="{typed}"' in shown.text
    assert stock(page) == []


def test_an_installed_part_leaves_the_stock_stands_on_the_bill_and_comes_back(
    page: TestClient, shop: Shop, store: Store
) -> None:
    page.post("/van", data=DUAL)
    (name,) = (each["name"] for each in stock(page))
    path = f"/calls/{shop.call}/part"
    page.post(path, data={"of": "capacitor", "name": name})
    assert [each["count"] for each in stock(page)] == [1]
    assert bill(store, shop.call) == f"{name}: $12.40"
    page.post(f"{path}/none", data={"of": "capacitor"})
    assert [each["count"] for each in stock(page)] == [2]
    assert bill(store, shop.call) == ""


def test_the_same_installation_sent_twice_takes_one(
    page: TestClient, shop: Shop, store: Store
) -> None:
    page.post("/van", data=DUAL)
    (name,) = (each["name"] for each in stock(page))
    for _ in range(2):
        page.post(f"/calls/{shop.call}/part", data={"of": "capacitor", "name": name})
    assert [each["count"] for each in stock(page)] == [1]
    assert bill(store, shop.call).count(name) == 1


def test_the_last_one_of_a_part_is_told_and_offered_no_more(page: TestClient, shop: Shop) -> None:
    page.post("/van", data={**DUAL, "count": "1"})
    (line,) = stock(page)
    page.post("/van/count", data={"number": 0, "name": line["name"], "step": -1})
    shown = twin(page, f"/calls/{shop.call}/part?of=capacitor")
    assert shown["candidates"] == []
    assert shown["used_up"] == [line["name"]]


def test_a_count_of_a_list_that_changed_is_refused(page: TestClient, shop: Shop) -> None:
    del shop
    page.post("/van", data=DUAL)
    answer = page.post("/van/count", data={"number": 0, "name": "another", "step": 1})
    assert answer.status_code == 422
    assert [each["count"] for each in stock(page)] == [2]


def test_what_stands_in_the_file_beside_a_part_stays_as_it_was_written() -> None:
    held = """\
# my van
[[candidates]]
name = "fuse 3 A"  # bin 2
for = "lv_fuse"
kind = "lv_fuse"
rated_a = "3 A"
"""
    table = {"name": "x", "for": "lv_fuse", "kind": "lv_fuse", "rated_a": "5 A", "count": 1}
    now = van.added(held, table)
    assert now.startswith(held)
    assert [row["name"] for row in tomllib.loads(now)["candidates"]] == ["fuse 3 A", "x"]
    assert van.taken(now, {"name": "fuse 3 A", "kind": "lv_fuse", "rated_a": "3 A"}) == now


def test_every_kind_that_is_offered_has_a_place_in_a_unit(page: TestClient, shop: Shop) -> None:
    del shop
    told = twin(page, "/van")
    offered = [kind for kind, _ in (*told["kinds"], *told["more_kinds"])]
    assert {"dual_capacitor", "contactor_1p", "contactor_2p", "fan_motor"} <= set(offered)
    for kind in offered:
        home = van.home_of(kind)
        assert home.unit.part(home.part).kind in CANDIDATE_KINDS[kind].replaces
