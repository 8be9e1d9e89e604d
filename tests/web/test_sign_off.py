"""Signing off: what was entered and nothing else, what was not measured, and the call closed."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient
from tests.web.mill_street import EXAMPLES, Shop, give, twin

from rungwise.records import Store
from rungwise.records.intake import bring_call
from rungwise.services import DiagnosisService
from rungwise.services.input_files import open_unit
from rungwise.web.app import create_app
from rungwise.web.pages.paper.papers import PRICES

FIGURE = re.compile(r"\d\s*(?:[kmM]?Ω|m?V|m?A|µF|W|%)(?!\w)|[Ωµ]")
"""A meter's figure, or the odds of a verdict."""


@pytest.fixture(scope="module")
def ready(desk: DiagnosisService) -> DiagnosisService:
    """The desk with the table of another unit of the examples."""
    desk.table(open_unit(str(EXAMPLES / "unit-05-quarry-court.toml")).unit)
    return desk


def text_of(html: str) -> str:
    """What a person reads of a page."""
    return " ".join(unescape(re.sub(r"<[^>]*>", " ", html)).split())


def paper(page: TestClient, shop: Shop) -> Any:
    return twin(page, f"/calls/{shop.call}/sign-off")


def test_readings_stand_as_entered_and_what_failed_stands_apart(
    page: TestClient, shop: Shop
) -> None:
    give(page, shop.call, "volts-coil", "0 V")
    give(page, shop.call, "ohms-coil", "27 A")
    give(page, shop.call, "ohms-low_pressure-1-2", "can't reach")
    told = paper(page, shop)["paper"]
    assert [each["text"] for each in told["measured"]] == ["0 V"]
    apart = [each for each in told["not_measured"] if "27 A" in each or "can't reach" in each]
    assert len(apart) == 2


def test_a_note_is_no_work_that_was_done(page: TestClient, store: Store, shop: Shop) -> None:
    with store.writing(shop.amari) as book:
        book.calls.leave(shop.call, "note", "The plunger stays out.")
    told = paper(page, shop)["paper"]
    assert told["note"] == "The plunger stays out."
    assert told["done"] == []


def test_what_nobody_measured_is_said(page: TestClient, shop: Shop) -> None:
    told = paper(page, shop)["paper"]["not_measured"]
    assert "Lockout: nothing was checked off or measured in this record." in told
    assert any("shows that the unit runs right" in each for each in told)


def test_a_proof_stands_as_it_was_entered(page: TestClient, store: Store, shop: Shop) -> None:
    with store.writing(shop.amari) as book:
        book.proofs.take(shop.call, "amps-comp_c", "8.4 A", value=8.4, unit="A")
    told = paper(page, shop)["paper"]
    assert [(each["text"], each["who"]) for each in told["proofs"]] == [("8.4 A", "R. Amari")]
    assert not any("shows that the unit runs right" in each for each in told["not_measured"])


def test_signing_closes_the_call_and_it_can_be_taken_up_again(
    page: TestClient, store: Store, shop: Shop
) -> None:
    path = f"/calls/{shop.call}/sign-off"
    form = {"text": "It cools again.", "received_by": "Mrs. Finch", "truth": "contactor",
            "how": "runs since the new part"}  # fmt: skip
    page.post(path, data=form)
    view = paper(page, shop)
    assert view["state"] == "closed"
    assert (view["signed"]["who"], view["signed"]["received_by"]) == ("R. Amari", "Mrs. Finch")
    assert view["signed"]["changed"] is False
    with store.reading() as book:
        (known,) = book.truths.known()
        assert known.part == "contactor"
        assert book.verdicts.last(shop.call) is not None
    page.post(f"{path}/reopen")
    assert paper(page, shop)["state"] == "open"
    assert paper(page, shop)["signed"]["text"] == "It cools again."


def test_the_fault_that_is_named_is_kept_to_learn_from(
    page: TestClient, store: Store, shop: Shop
) -> None:
    """Also where the readings spoke for another: or the shop would only learn what it believes."""
    page.post(f"/calls/{shop.call}/sign-off", data={"truth": "contactor.coil_open"})
    with store.reading() as book:
        told = book.truths.last(shop.call)
    assert told
    assert (told.part, told.suspect) == ("contactor", "contactor.coil_open")
    page.post(f"/calls/{shop.call}/sign-off/reopen")
    assert paper(page, shop)["truth"] == "contactor.coil_open"
    page.post(f"/calls/{shop.call}/sign-off", data={"truth": "contactor.gone"})
    with store.reading() as book:
        left = book.truths.last(shop.call)
    assert left
    assert left.suspect == "contactor.coil_open"


PAIR_SHORTED = f"""\
unit = "{EXAMPLES / "unit-01-mill-street.toml"}"
title = "Nothing starts outdoors"

[symptoms]
compressor = "silent"
fan = "not turning"
blower = "not turning"
idle = "stops"

[[readings]]
check = "look-lv_fuse"
value = "blown"

[[readings]]
check = "ohms-y_splice-C"
value = "300 mΩ"

[[readings]]
check = "pair-y_field-c_field"
value = "0 Ω"
"""


def test_a_pair_of_conductors_that_was_found_is_what_the_form_holds(
    page: TestClient, store: Store, tmp_path: Path
) -> None:
    """And not the part that somebody suspected, which would teach the shop a wrong cause."""
    file = tmp_path / "pair-shorted.toml"
    file.write_text(PAIR_SHORTED, encoding="utf-8")
    with store.writing() as book:
        number = bring_call(book, file).id
        book.calls.leave(number, "suspected", "contactor")
    view = twin(page, f"/calls/{number}/sign-off")
    assert view["truth"] == "y_field+c_field.shorted"
    page.post(f"/calls/{number}/sign-off", data={"truth": view["truth"]})
    with store.reading() as book:
        told = book.truths.last(number)
    assert told
    assert (told.part, told.suspect) == ("y_field+c_field", "y_field+c_field.shorted")


@pytest.mark.parametrize(
    ("call", "headline"),
    [("call-18-weak-capacitor", "Your air conditioner is running."),
     ("call-04-low-pressure", "Not fixed yet.")],
)  # fmt: skip
def test_the_customer_signs_the_customer_s_page(
    store: Store, ready: DiagnosisService, call: str, headline: str
) -> None:
    """Word for word, before the technician's record, and with no figure of a meter."""
    with store.writing() as book:
        number = bring_call(book, EXAMPLES / f"{call}.toml").id
    page = TestClient(create_app(store, ready))
    told = twin(page, f"/calls/{number}/sign-off?wait=60")["told"]
    assert told == twin(page, f"/calls/{number}/paper?wait=60")["customer"]
    assert told["headline"].startswith(headline)
    shown = text_of(page.get(f"/calls/{number}/sign-off").text)
    signed = shown[shown.rindex("What the customer reads") : shown.index("Technician report")]
    sentences = [told["headline"], told["run"], *told["found"], *told["done"], *told["next_step"]]
    rows = [f"{row['title']} {row['text']}" for row in told["checked"]]
    for sentence in (*sentences, *rows, *told["not_measured"], told["warning"]):
        assert sentence.casefold() in signed.casefold()
    assert not FIGURE.search(signed)
    assert " safe" not in signed.casefold()
    assert FIGURE.search(shown[shown.index("Technician report") :])


def test_prices_that_cannot_be_read_are_left_out_and_told(
    page: TestClient, store: Store, shop: Shop
) -> None:
    with store.writing(shop.amari) as book:
        book.calls.leave(shop.call, PRICES, "dual run capacitor")
    view = paper(page, shop)
    assert view["told"]["prices"] == []
    assert "dual run capacitor" in view["prices_wrong"]
    with store.writing(shop.amari) as book:
        book.calls.leave(shop.call, PRICES, "dual run capacitor: 38.50 $")
    view = paper(page, shop)
    assert [each["amount"] for each in view["told"]["prices"]] == ["38.50 $"]
    assert view["prices_wrong"] == ""


def test_what_the_customer_read_is_signed_with_the_record(
    page: TestClient, store: Store, shop: Shop
) -> None:
    """Told otherwise on the customer's page afterwards, it says so."""
    path = f"/calls/{shop.call}/sign-off"
    page.post(path, data={"text": "Done."})
    with store.reading() as book:
        row = book.sign_offs.last(shop.call)
    assert row
    assert row.facts
    assert row.facts["customer"]["headline"] == paper(page, shop)["told"]["headline"]
    page.post(f"/calls/{shop.call}/paper/by-hand", data={"next_step": "We come again on Monday."})
    assert paper(page, shop)["signed"]["changed"] is True


def test_what_is_entered_after_signing_is_said(page: TestClient, shop: Shop) -> None:
    page.post(f"/calls/{shop.call}/sign-off", data={"text": "Done."})
    give(page, shop.call, "volts-coil", "27 V")
    assert paper(page, shop)["signed"]["changed"] is True
    assert "after it was signed" in page.get(f"/calls/{shop.call}/sign-off").text


def test_the_printed_page_is_the_record_and_needs_no_script(page: TestClient, shop: Shop) -> None:
    html = page.get(f"/calls/{shop.call}/sign-off").text
    for heading in ("What was found", "What was done", "What was measured",
                    "What was not measured", "Parts fitted", "Wires as left"):  # fmt: skip
        assert heading in html
    assert 'action="/calls/1/sign-off"' in html
