"""The part: ranked from the van, the trap told, and the choice kept as the call file has it."""

from __future__ import annotations

from typing import Any

import pytest
from fastapi.testclient import TestClient
from tests.cli.running import ran
from tests.records.written import call_text
from tests.web.mill_street import EXAMPLES, Shop, twin

from rungwise.records import Store

UNIT = str(EXAMPLES / "unit-01-mill-street.toml")
STOCK = EXAMPLES / "van-stock.toml"
OWN = {"of": "contactor", "own": "contactor_2p", "fla_a": "30", "lra_a": "150",
       "resistive_a": "40"}  # fmt: skip


@pytest.fixture
def van(page: TestClient, shop: Shop) -> TestClient:
    """The phone of somebody whose van's stock was put in through the page."""
    file = {"stock": ("van-stock.toml", STOCK.read_bytes(), "text/plain")}
    assert shop.call
    assert page.post("/van/file", files=file).status_code == 200
    return page


def shown(page: TestClient, shop: Shop, query: str = "of=contactor") -> Any:
    return twin(page, f"/calls/{shop.call}/part?{query}")


def test_page_and_command_judge_the_same(
    van: TestClient, shop: Shop, capsys: pytest.CaptureFixture[str]
) -> None:
    """The twin holds, key by key, what `rungwise fit --for contactor --json` prints."""
    printed = ran(capsys, "fit", UNIT, str(STOCK), "--for", "contactor", "--json").json
    fit = shown(van, shop)["fit"]
    printed["unit"].pop("name")
    fit["unit"].pop("name")  # the one piece that is a file's and not the unit's
    assert fit == printed


def test_a_two_pole_contactor_is_refused_with_the_change_that_would_let_it_serve(
    van: TestClient, shop: Shop
) -> None:
    lines = {each["name"]: each for each in shown(van, shop)["candidates"]}
    trap = lines["two-pole 30 A"]
    assert not trap["serves"]
    assert any("crankcase heater" in each["text"] for each in trap["reasons"])
    bar, moved = trap["changes"]
    assert "a wire from L2 to T2" in bar
    assert moved.startswith("Possible change")
    assert "Possible change" in van.get(f"/calls/{shop.call}/part?of=contactor").text


def test_the_chosen_part_stands_in_the_call_file(van: TestClient, shop: Shop, store: Store) -> None:
    path = f"/calls/{shop.call}/part"
    van.post(path, data={"of": "contactor", "name": "one-pole 30 A"})
    assert shown(van, shop)["fitted"]["name"] == "one-pole 30 A"
    with store.reading() as book:
        assert 'name = "one-pole 30 A"' in call_text(book, shop.call)
    van.post(f"{path}/none", data={"of": "contactor"})
    assert shown(van, shop)["fitted"] is None


def test_a_part_that_the_van_does_not_have_is_refused_and_nothing_is_kept(
    van: TestClient, shop: Shop
) -> None:
    answer = van.post(
        f"/calls/{shop.call}/part", data={"of": "contactor", "name": "three-pole 30 A"}
    )
    assert answer.status_code == 422
    assert shown(van, shop)["fitted"] is None


def test_an_own_part_is_judged_by_its_label_and_kept(page: TestClient, shop: Shop) -> None:
    told = {**OWN, "coil_volt": "24 V", "name": "from the shop"}
    query = "&".join(f"{key}={each}" for key, each in told.items())
    assert shown(page, shop, query)["own_fit"]["serves"] is False
    page.post(f"/calls/{shop.call}/part", data=told)
    assert shown(page, shop)["fitted"]["name"] == "from the shop"


def test_a_slip_on_the_label_is_told_at_its_field_and_the_rest_stays(
    page: TestClient, shop: Shop
) -> None:
    query = "&".join(f"{key}={each}" for key, each in {**OWN, "coil_volt": "24 A"}.items())
    fields = {each["key"]: each for each in shown(page, shop, query)["own"]}
    assert fields["coil_volt"]["typed"] == "24 A"
    assert fields["coil_volt"]["wrong"]
    assert fields["fla_a"]["typed"] == "30"


def test_what_the_label_must_tell_is_asked_for_at_its_field(page: TestClient, shop: Shop) -> None:
    """The name of the field in a file is no word of a technician's."""
    query = "&".join(f"{key}={each}" for key, each in OWN.items())
    view = shown(page, shop, query)
    missing = [each["key"] for each in view["own"] if each["wrong"]]
    assert missing == ["coil_volt"]
    assert view["own_fit"] is None
    shown_to_people = page.get(f"/calls/{shop.call}/part?{query}").text
    assert "Read it off the label" in shown_to_people
    assert "coil_volt =" not in shown_to_people


@pytest.mark.parametrize(("price", "taken"), [("12,50", True), ("1,240", False), ("nan", False)])
def test_a_price_that_can_be_read_in_two_ways_is_never_taken_for_the_smaller(
    *, page: TestClient, shop: Shop, price: str, taken: bool
) -> None:
    told = {**OWN, "coil_volt": "24 V", "price": price}
    query = "&".join(f"{key}={each}" for key, each in told.items())
    view = shown(page, shop, query)
    assert view["own_price"] == price
    assert (view["own_fit"] is not None) is taken
    assert bool(view["own_wrong"]) is not taken


def test_a_file_that_is_no_stock_is_refused_with_its_reason(page: TestClient, shop: Shop) -> None:
    file = {"stock": ("van.toml", b"[[candidates]]\nname = 'x'\n", "text/plain")}
    answer = page.post("/van/file", files=file)
    assert answer.status_code == 422
    assert "has no for" in answer.text
    assert shown(page, shop)["no_stock"] == "Nothing on the van's list yet."
