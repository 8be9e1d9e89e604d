"""Finding calls by what was read on them: the check by its words, with the value."""

from __future__ import annotations

from typing import Any

from fastapi.testclient import TestClient
from tests.web.mill_street import Shop, give, twin

from rungwise.records import Store


def found(page: TestClient, words: str) -> list[tuple[str, str]]:
    told: list[dict[str, Any]] = twin(page, f"/day?find={words}")["found_checks"]
    return [(each["title"], each["text"]) for each in told]


def test_a_part_finds_what_was_read_of_it_newest_first_with_the_value(
    page: TestClient, shop: Shop, store: Store
) -> None:
    give(page, shop.call, "ohms-coil", "13.8 Ω")
    give(page, shop.call, "look-fan", "not turning")
    with store.writing() as book:
        later = book.calls.open(shop.unit, title="Warm again").id
    give(page, later, "ohms-coil", "OL")
    title = "ohms coil of the one-pole contactor, leads off"
    assert found(page, "coil") == [(title, "OL"), (title, "13.8 Ω")]
    assert found(page, "contactor ohms") == found(page, "coil")
    assert found(page, "coil mill") == found(page, "coil")
    assert found(page, "coil orchard") == []
    html = page.get("/day?find=coil").text
    assert f'href="/calls/{later}?open=readings#readings"' in html


def test_a_customers_name_alone_finds_no_checks(page: TestClient, shop: Shop) -> None:
    give(page, shop.call, "ohms-coil", "13.8 Ω")
    assert found(page, "finch") == []
    assert twin(page, "/day?find=finch")["found_calls"]


def test_what_was_taken_back_is_not_found(page: TestClient, shop: Shop) -> None:
    give(page, shop.call, "ohms-coil", "13.8 Ω")
    shown = twin(page, f"/calls/{shop.call}")["undo"]["shown"]
    page.post(f"/calls/{shop.call}/undo", data={"shown": shown})
    assert found(page, "coil") == []


def test_checks_are_found_in_the_language_that_is_spoken(page: TestClient, shop: Shop) -> None:
    give(page, shop.call, "ohms-coil", "13.8 Ω")
    assert found(page, "contactor de un polo") == []
    page.cookies["language"] = "es"
    assert [text for _, text in found(page, "contactor de un polo")] == ["13.8 Ω"]
    assert [text for _, text in found(page, "coil")] == ["13.8 Ω"]


def test_other_checks_are_searched_by_their_unit_and_in_the_language_that_is_spoken(
    page: TestClient, shop: Shop
) -> None:
    def others(words: str) -> set[str]:
        groups = twin(page, f"/calls/{shop.call}?open=others&find={words}")["others"]
        return {check["id"] for group in groups for check in group["checks"]}

    wanted = {"uf-capacitor-HERM-C", "uf-capacitor-FAN-C"}
    assert wanted <= others("µF capacitor") == others("uf capacitor")
    assert "ohms-coil" in others("ohms coil")
    page.cookies["language"] = "es"
    assert "ohms-coil" in others("contactor de un polo")
