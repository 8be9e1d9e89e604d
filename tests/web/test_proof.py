"""Proving a repair on its page: what the command says, reading by reading, and nothing lost."""

from __future__ import annotations

import json
import re
from html import unescape
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient
from tests.records.written import calls_text, write_call
from tests.web.mill_street import EXAMPLES, Shop, twin

from rungwise.records import Store
from rungwise.records.intake import bring_call
from rungwise.services import DiagnosisService
from rungwise.services.as_json import strict
from rungwise.services.history.shop_calls import counted_calls
from rungwise.services.input_files import open_call
from rungwise.services.prove import proof_json, proved_of
from rungwise.web.app import create_app

CALLS = ("call-04-low-pressure", "call-07-blown-fuse", "call-18-weak-capacitor")


def proof(page: TestClient, shop: Shop, query: str = "") -> Any:
    return twin(page, f"/calls/{shop.call}/proof{query}")


def post(page: TestClient, shop: Shop, path: str, **form: Any) -> None:
    answer = page.post(f"/calls/{shop.call}/proof/{path}", data=form, follow_redirects=False)
    assert answer.status_code == 303, answer.text


def leave(page: TestClient, shop: Shop, key: str, typed: str, units: str = "us") -> Any:
    answer = page.post(f"/calls/{shop.call}/proof/fields/{units}/{key}", data={"typed": typed})
    assert answer.status_code == 200, answer.text
    return answer.json()


def repaired(page: TestClient, shop: Shop) -> None:
    post(page, shop, "repaired", add="capacitor")


@pytest.mark.parametrize("name", CALLS)
def test_page_and_command_give_one_verdict(store: Store, desk: DiagnosisService, name: str) -> None:
    """The twin holds, key by key, what `rungwise prove --json` makes of the same call's file."""
    call, opened = open_call(str(EXAMPLES / f"{name}.toml"))
    printed = strict(proof_json(proved_of(call, opened, desk.model(opened.unit))))
    with store.writing() as book:
        number = bring_call(book, EXAMPLES / f"{name}.toml").id
    page = TestClient(create_app(store, desk))
    shown = twin(page, f"/calls/{number}/proof")
    for each in (shown["proof"], printed):
        each["call"].pop("unit")  # the one piece that is a file's and not the unit's
    assert shown["proof"] == json.loads(json.dumps(printed))
    html = unescape(page.get(f"/calls/{number}/proof").text).replace("\u00a0", " ")
    assert printed["verdict"]["text"] in html
    assert " safe" not in html.casefold()


def test_page_and_command_give_one_verdict_on_the_shop_s_own_weights(
    store: Store, shop: Shop, desk: DiagnosisService, tmp_path: Path
) -> None:
    """What may hide starts from the shop's closed calls, brought out with the call's file."""
    with store.writing() as book:
        number = bring_call(book, EXAMPLES / "call-04-low-pressure.toml").id
        book.units.leave(shop.unit, "installed", "2015-03-02")
    page = TestClient(create_app(store, desk))
    start = twin(page, f"/calls/{number}/proof")["proof"]
    with store.writing() as book:
        book.truths.tell(shop.call, "high_pressure", suspect="high_pressure.open")
        book.calls.close(shop.call)
    with store.reading() as book:
        path = write_call(book, number, tmp_path, shop=calls_text(counted_calls(book)))
    call, opened = open_call(str(path))
    printed = json.loads(json.dumps(strict(proof_json(
        proved_of(call, opened, desk.model(opened.unit))
    ))))  # fmt: skip
    shown = twin(page, f"/calls/{number}/proof")["proof"]
    for each in (shown, printed, start):
        each["call"].pop("unit")
    assert shown == printed
    assert shown != start


def test_a_refused_proof_shows_the_reason(page: TestClient, shop: Shop) -> None:
    """Up to its RLA is fine; 25 A in a compressor's lead of 16 A RLA is not."""
    repaired(page, shop)
    for standing in ("not yet", "refused"):
        post(page, shop, "readings", check="amps-comp_c", typed="25", back="check")
        assert proof(page, shop)["standing"] == standing
    html = page.get(f"/calls/{shop.call}/proof").text.replace("\u00a0", " ")
    assert "Refused: Compressor 25 A, 156% of its RLA of 16 A; good is up to its RLA" in html
    assert "First start comes after what fails the test is fixed." in html


def test_nothing_is_judged_before_it_is_known_what_was_repaired(
    page: TestClient, shop: Shop
) -> None:
    view = proof(page, shop)
    assert view["trouble"] == "Nobody said yet what was repaired. Choose it below."
    assert (view["proof"], view["standing"], view["repaired"]["names"]) == (None, "", [])
    repaired(page, shop)
    view = proof(page, shop)
    assert (view["repaired"]["names"], view["repaired"]["told"]) == (["capacitor"], True)
    assert view["standing"] == "not yet"
    assert view["worth"][0]["must_read"]
    assert view["card"]["id"] == view["worth"][0]["id"]
    post(page, shop, "repaired", drop="capacitor")
    assert proof(page, shop)["repaired"]["names"] == []


def test_a_part_that_was_fitted_is_what_was_repaired_until_somebody_says_otherwise(
    page: TestClient, shop: Shop, store: Store
) -> None:
    with store.writing(shop.amari) as book:
        book.fitted.fit(shop.call, "contactor", {"name": "new", "for": "contactor"})
    first = proof(page, shop)["repaired"]
    assert (first["names"], first["told"]) == (["contactor"], False)
    post(page, shop, "readings", check="look-fan", quick="turning")
    assert proof(page, shop)["repaired"]["told"]


def test_each_check_says_what_it_must_read_and_each_reading_whether_it_did(
    page: TestClient, shop: Shop
) -> None:
    repaired(page, shop)
    card = proof(page, shop, "?check=idle-volts-contactor-L1-L2")["card"]
    assert card["leads"]["red"] == "contactor.L1"
    low, _, high = card["must_read"].removesuffix(" V").partition(" to ")
    middle = 0.5 * (float(low) + float(high))
    post(page, shop, "readings", check="idle-volts-contactor-L1-L2", typed=f"{middle:.0f}")
    post(page, shop, "readings", check="volts-coil", typed="17")
    view = proof(page, shop)
    assert [each["good"] for each in view["readings"]] == [True, False]
    assert view["standing"] == "not yet"
    assert "take it again" in view["reasons"][0]
    coil = next(each for each in view["figures"] if each["id"] == "coil sealed")
    assert (coil["level"], "71% of its 24 V" in coil["text"]) == ("again", True)
    told = page.get(f"/calls/{shop.call}/proof").text
    assert "Not as it should be" in told


def test_microfarads_under_load_come_from_amps_and_volts(page: TestClient, shop: Shop) -> None:
    """C = 10⁶·I/(2πfV): 6.3 A at 371 V and 60 Hz are 45.0 µF."""
    repaired(page, shop)
    form = {"check": "loaduf-capacitor-HERM", "amps": "6.3", "volts": "371"}
    post(page, shop, "readings", **form)
    (reading,) = proof(page, shop)["readings"]
    assert (reading["typed"], reading["text"]) == ("6.3 A, 371 V", "45 µF")


def test_what_cannot_be_used_is_kept_as_typed_with_the_reason(page: TestClient, shop: Shop) -> None:
    repaired(page, shop)
    post(page, shop, "readings", check="volts-coil", typed="27 A", back="check")
    (reading,) = proof(page, shop)["readings"]
    assert (reading["typed"], reading["good"]) == ("27 A", None)
    assert reading["wrong"]
    told = leave(page, shop, "air.return_dry", "warm")
    assert told["level"] == "wrong"
    html = page.get(f"/calls/{shop.call}/proof").text
    assert 'value="27 A"' in html
    assert 'value="warm"' in html


def test_refrigerant_and_air_answer_as_each_field_is_left(page: TestClient, shop: Shop) -> None:
    repaired(page, shop)
    told = {
        "refrigerant.name": "R-410A", "refrigerant.metering": "expansion valve",
        "conditions.outdoor_dry": "91", "refrigerant.suction_pressure": "124",
    }  # fmt: skip
    for key, typed in told.items():
        assert leave(page, shop, key, typed)["level"] == "fine"
    said = leave(page, shop, "refrigerant.suction_line", "54")
    assert said["text"].startswith("Saved. Superheat")
    assert proof(page, shop)["cooling"][0]["level"] == "good"
    said = leave(page, shop, "conditions.run_time", "3")
    assert (said["level"], "says nothing" in said["text"]) == ("doubt", True)


def test_degrees_are_those_of_the_form(page: TestClient, shop: Shop) -> None:
    """The same superheat from 54 °F and 12.2 °C, 124 psi and 855 kPa."""
    repaired(page, shop)
    form = {
        "refrigerant.name": "R-410A", "refrigerant.metering": "expansion valve",
        "refrigerant.suction_pressure": "855", "refrigerant.suction_line": "12.2",
    }  # fmt: skip
    page.post(f"/calls/{shop.call}/proof/fields/si", data=form)
    view = proof(page, shop)
    lines = {each["key"]: each for group in view["groups"] for each in group["lines"]}
    assert view["units"] == "si"
    assert lines["refrigerant.suction_line"]["typed"] == "12.2"
    assert next(each for each in view["proof"]["findings"])["value"] == pytest.approx(6.4, abs=0.2)
    for system, superheat in (("us", r"Superheat 1[12]\s°F;"), ("si", r"Superheat 6\.\d\sK;")):
        page.cookies.set("measures", system)
        assert re.search(superheat, page.get(f"/calls/{shop.call}/proof").text)


def test_a_wet_bulb_over_the_dry_one_is_told_and_leaves_the_verdict_standing(
    page: TestClient, shop: Shop
) -> None:
    repaired(page, shop)
    for key, typed in {"return_dry": "70", "return_wet": "75", "supply_dry": "55"}.items():
        leave(page, shop, f"air.{key}", typed)
    view = proof(page, shop)
    assert "wet bulb cannot be warmer" in view["cooling_trouble"]
    assert view["standing"] == "not yet"


def test_the_first_start_is_ticked_with_who_and_when(page: TestClient, shop: Shop) -> None:
    post(page, shop, "start", step=2)
    lines = proof(page, shop)["startup"]
    assert (lines[1]["done"], lines[1]["who"]) == (True, "R. Amari")
    assert lines[1]["caution"].startswith("DANGER: power on")
    assert any(each["wait"] for each in lines)
    post(page, shop, "start", step=2, done="false")
    assert not proof(page, shop)["startup"][1]["done"]


def test_two_people_at_one_reading_are_both_kept_until_one_is_chosen(
    page: TestClient, shop: Shop
) -> None:
    repaired(page, shop)
    seen = proof(page, shop)["version"]
    post(page, shop, "readings", check="volts-coil", typed="26 V", seen=seen)
    page.cookies.set("person", str(shop.okafor))
    post(page, shop, "readings", check="volts-coil", typed="25 V", seen=seen)
    view = proof(page, shop)
    (clash,) = view["clashes"]
    form = {"row": clash["id"], "other": clash["stands"]["id"]}
    post(page, shop, "choose", **form)
    view = proof(page, shop)
    assert (view["readings"][0]["typed"], view["clashes"]) == ("25 V", [])


def test_the_record_of_the_call_tells_what_was_proved(page: TestClient, shop: Shop) -> None:
    repaired(page, shop)
    post(page, shop, "readings", check="look-compressor", quick="running")
    paper = twin(page, f"/calls/{shop.call}/sign-off")["paper"]
    assert any(each.startswith("Not verified yet") for each in paper["proof"])
    assert [each["text"] for each in paper["proofs"]] == ["running"]


def test_what_one_tap_said_is_taken_back_with_one_tap(page: TestClient, shop: Shop) -> None:
    repaired(page, shop)
    form = {"step": ["1", "2", "3"]}
    page.post(f"/calls/{shop.call}/proof/start", data=form)
    assert [each["number"] for each in proof(page, shop)["startup"] if each["done"]] == [1, 2, 3]
    post(page, shop, "undo")
    view = proof(page, shop)
    assert ([each for each in view["startup"] if each["done"]], view["undo"]) == ([], False)
