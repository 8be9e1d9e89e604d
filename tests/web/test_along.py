"""What a phone takes along of a call, and that it is what the pages show."""

from __future__ import annotations

import gzip
import json
from typing import Any

import pytest
from fastapi.testclient import TestClient
from tests.web.mill_street import UNIT_TOML, Shop

from rungwise.services import DiagnosisService, unit_from_text
from rungwise.web.cropping import cropped
from rungwise.web.leads import checks_held, leads_of
from rungwise.web.pages.along.slots import tokens_of
from rungwise.web.pages.call.along import SLOT, VARIANTS
from rungwise.web.unit_pictures import place_of, spots_of, svg_at_check


@pytest.fixture(scope="module")
def taken(shown: TestClient) -> dict[str, Any]:
    answer = shown.get("/calls/1/along")
    assert answer.status_code == 200
    found: dict[str, Any] = answer.json()
    return found


def test_every_check_has_its_card_and_every_fault_its_answers(
    taken: dict[str, Any], desk: DiagnosisService
) -> None:
    table = desk.table(unit_from_text(UNIT_TOML))
    assert set(taken["cards"]) == {card.id for card in table.checks}
    for suspect in table.suspects:
        assert set(taken["answers"][suspect.id]) == set(VARIANTS)
    assert taken["rows"].count('<li class="suspect">') == len(table.suspects)


def test_a_call_that_ends_undecided_leads_on_to_the_lockout(taken: dict[str, Any]) -> None:
    """As with signal, where what is likeliest is tried with the power off; no empty order shows."""
    for told in taken["answers"].values():
        if "undecided" in told:
            verdict = told["undecided"][0]
            assert 'href="/calls/1/dead"' in verdict
            assert "<ol" not in verdict


def test_a_picture_put_together_is_the_one_that_is_drawn(taken: dict[str, Any]) -> None:
    unit = unit_from_text(UNIT_TOML)
    pictures = taken["pictures"]
    for check in ("volts-coil", "drop-contactor-L2-T2", "ohms-coil"):
        tokens = tokens_of(pictures["base"])
        for first, last, text in reversed(pictures["patches"][check]):
            tokens[first:last] = [text]
        leads = leads_of(unit, check)
        drawn = svg_at_check(unit, "ladder", leads, {}, place_of(unit, leads))
        assert "".join(tokens) == cropped(drawn, spots_of(unit, leads))


def test_every_check_with_leads_has_a_picture(taken: dict[str, Any]) -> None:
    unit = unit_from_text(UNIT_TOML)
    with_leads = {
        check for check in checks_held(unit)
        if leads_of(unit, check).on_terminals or leads_of(unit, check).jaw
    }  # fmt: skip
    assert set(taken["pictures"]["patches"]) == with_leads
    for check in with_leads:
        assert SLOT in taken["cards"][check]


def test_a_call_taken_along_is_light(taken: dict[str, Any]) -> None:
    """Beside the table, as sent."""
    assert len(gzip.compress(json.dumps(taken).encode())) < 300_000


def test_the_state_tells_the_readings_as_the_belief_takes_them(
    page: TestClient, shop: Shop
) -> None:
    for check, typed in (
        ("look-fan", "not turning"), ("uf-capacitor-FAN-C", "2.1"), ("ohms-coil", "OL"),
        ("volts-coil", "can't reach"),
    ):  # fmt: skip
        page.post(f"/calls/{shop.call}/readings", data={"check": check, "typed": typed})
    told = dict(page.get(f"/calls/{shop.call}/along/state").json()["readings"])
    assert told == {
        "look-fan": 1, "uf-capacitor-FAN-C": 2.1, "ohms-coil": "OL", "volts-coil": None
    }  # fmt: skip


def leads_in(html: str) -> str:
    """Where both leads go, as the card says it."""
    return html.partition('<dl class="lead-to">')[2].partition("</dl>")[0]


def test_its_pieces_are_in_the_language_of_the_page(shown: TestClient) -> None:
    shown.cookies.set("language", "es")
    try:
        page = shown.get("/calls/1?check=volts-coil").text
        spanish = shown.get("/calls/1/along").json()["cards"]["volts-coil"]
    finally:
        shown.cookies.delete("language")
    assert leads_in(spanish) == leads_in(page) != ""
