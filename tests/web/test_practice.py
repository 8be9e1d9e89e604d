"""A practice call tells nothing of what it hides before its end, and never becomes a real call."""

from __future__ import annotations

import re
from contextlib import AbstractContextManager
from typing import Any

import pytest
from fastapi.testclient import TestClient
from tests.web.mill_street import UNIT_TOML, Shop, give, token_in, twin

from rungwise.diagnosis.prices import PriceList
from rungwise.records import Store
from rungwise.records.unit_of_work import UnitOfWork
from rungwise.services import DiagnosisService
from rungwise.web.deps import AppState
from rungwise.web.pages.practice.context import opened

WEAK = "capacitor.herm_weak"
CHECK = "ohms-coil"


def hide(store: Store, shop: Shop, fault: str = WEAK, seed: int = 7) -> int:
    """A practice call on the shop's own unit, with a fault of the test's choice."""
    with store.writing(shop.amari) as book:
        return opened(
            book, person_id=shop.amari, title="14 Mill Street", text=UNIT_TOML, level="any",
            fault=fault, seed=seed,
        )  # fmt: skip


def begin(page: TestClient, **more: Any) -> int:
    """Begin one through the page's form."""
    form = {"token": token_in(page.get("/practice").text), "level": "any", **more}
    answer = page.post("/practice", data=form, follow_redirects=False)
    assert answer.status_code == 303, answer.text
    return int(answer.headers["location"].rpartition("/")[2])


def read(page: TestClient, call: int, check: str) -> Any:
    return page.post(f"/practice/{call}/readings", data={"check": check})


def name(page: TestClient, call: int, part: str, cause: str = "") -> str:
    """Name a part; where that leads."""
    form = {"part": part, "cause": cause}
    answer = page.post(f"/practice/{call}/name", data=form, follow_redirects=False)
    return str(answer.headers["location"])


def both_faces(page: TestClient, call: int, query: str = "") -> str:
    """All that the page tells in its two faces, but for the call's own number and marks."""
    path = f"/practice/{call}"
    text = page.get(path + query).text + page.get(f"{path}.json{query}").text
    text = re.sub(r'name="token" value="[^"]+"', "", text)
    return text.replace(path, "/practice/N").replace(f'"number":{call},', "")


def test_a_practice_call_begins_with_what_the_customer_tells(page: TestClient, shop: Shop) -> None:
    call = begin(page, unit=shop.unit)
    told = twin(page, f"/practice/{call}")
    assert [each["check"] for each in told["symptoms"]] == [
        "look-fan",
        "look-compressor",
        "look-blower",
        "look-contactor-quiet",
        "look-idle",
    ]
    assert told["readings"] == []
    assert told["asked"] is None
    assert told["tally"] == {"checks": 0, "minutes": 0, "live": 0, "wrong_parts": 0, "helps": 0}


def test_it_begins_once_however_often_the_form_is_sent(page: TestClient, store: Store) -> None:
    form = {"token": token_in(page.get("/practice").text), "level": "deep", "on": "two_pole_plain"}
    led = {page.post("/practice", data=form, follow_redirects=False).headers["location"]}
    led |= {page.post("/practice", data=form, follow_redirects=False).headers["location"]}
    assert len(led) == 1
    with store.reading() as book:
        assert len([each for each in book.calls.all() if each.kind == "practice"]) == 1


def test_a_check_is_read_by_itself_and_costs_its_minutes(
    page: TestClient, store: Store, shop: Shop
) -> None:
    call = hide(store, shop)
    answer = read(page, call, "uf-capacitor-HERM-C")
    assert "µF" in answer.text
    read(page, call, "uf-capacitor-HERM-C")
    told = twin(page, f"/practice/{call}")
    (reading,) = told["readings"]
    with store.reading() as book:
        (row,) = book.readings.standing(call)
    assert row.number == pytest.approx(float(reading["text"].removesuffix(" µF")))
    assert row.refusal == ""
    card = twin(page, f"/practice/{call}?check=uf-capacitor-HERM-C")["asked"]
    assert told["tally"]["minutes"] == card["minutes"] + PriceList().dead_minutes
    assert told["tally"]["checks"] == 1


def test_checks_on_live_parts_are_counted(page: TestClient, store: Store, shop: Shop) -> None:
    call = hide(store, shop)
    for check in ("ohms-coil", "volts-coil", "look-contactor-pitted"):
        read(page, call, check)
    assert twin(page, f"/practice/{call}")["tally"]["live"] == 1


def test_two_calls_that_hide_different_faults_look_exactly_alike(
    page: TestClient, store: Store, shop: Shop
) -> None:
    """As long as the same was told and read, not a letter of either face differs."""
    calls = [hide(store, shop, fault, seed=3) for fault in (WEAK, "contactor.coil_open")]
    for call in calls:
        with store.writing(shop.amari) as book:
            book.symptoms.take(call, "look-fan", "not turning", value="not turning")
            book.readings.take(call, CHECK, "12.6 Ω", value=12.6, unit="Ω")
    for query in ("", "?check=volts-coil", f"?check={CHECK}&picture=panel"):
        one, other = (both_faces(page, call, query) for call in calls)
        assert one == other


def test_help_tells_what_the_readings_tell_and_not_what_is_hidden(
    page: TestClient, store: Store, shop: Shop
) -> None:
    pages = []
    for fault in (WEAK, "contactor.coil_open"):
        call = hide(store, shop, fault, seed=3)
        page.post(f"/practice/{call}/help")
        pages.append(twin(page, f"/practice/{call}"))
    for each in pages:
        assert each["suspects"]
        assert each["asked"]["is_next"]
        each.pop("number")
    assert pages[0] == pages[1]


def test_help_is_counted_once_for_each_moment_and_closes_with_the_next_check(
    page: TestClient, store: Store, shop: Shop
) -> None:
    call = hide(store, shop)
    for _ in range(2):
        page.post(f"/practice/{call}/help")
    assert twin(page, f"/practice/{call}")["helped"]
    read(page, call, CHECK)
    told = twin(page, f"/practice/{call}")
    assert (told["helped"], told["suspects"], told["tally"]["helps"]) == (False, [], 1)
    assert told["asked"] is None
    page.post(f"/practice/{call}/help")
    assert twin(page, f"/practice/{call}")["tally"]["helps"] == 2


def test_the_score_is_refused_before_the_end(page: TestClient, store: Store, shop: Shop) -> None:
    call = hide(store, shop)
    answer = page.get(f"/practice/{call}/score.json")
    assert answer.status_code == 422
    assert WEAK not in answer.text
    assert "not ended" in page.get(f"/practice/{call}/score").text


def test_wrong_parts_count_and_the_whole_answer_ends_the_call(
    page: TestClient, store: Store, shop: Shop
) -> None:
    call = hide(store, shop)
    read(page, call, "uf-capacitor-HERM-C")
    assert name(page, call, "contactor").endswith("#name")
    assert name(page, call, "compressor").endswith("#name")
    told = twin(page, f"/practice/{call}")
    assert told["named"][0]["kind"] == "wrong"
    assert told["tally"]["wrong_parts"] == sum(each["kind"] == "wrong" for each in told["named"])
    assert name(page, call, "capacitor") == f"/practice/{call}/score"
    end = twin(page, f"/practice/{call}/score")
    assert end["found"]
    assert end["score"] == pytest.approx(max(sum(each["points"] for each in end["points"]), 0.0))
    assert end["recounted"] == end["score"]
    assert "capacitor" in end["fault"]
    assert len(end["steps"]) == 1
    assert end["tool"]["checks"] == len(end["tool"]["steps"])


def test_given_up_it_tells_the_fault_and_takes_no_more(
    page: TestClient, store: Store, shop: Shop
) -> None:
    call = hide(store, shop)
    told = page.post(f"/practice/{call}/end")
    assert "It was not named." in told.text
    read(page, call, CHECK)
    assert name(page, call, "capacitor").endswith("#name")
    after = twin(page, f"/practice/{call}")
    assert after["readings"] == []
    assert after["named"] == []
    (run,) = twin(page, "/practice")["runs"]
    assert (run["number"], run["found"], run["score"]) == (call, False, 50.0)


def lists(book: UnitOfWork, shop: Shop) -> list[int]:
    today = book.calls.of_day(book.calls.today())
    return [each.id for each in (*today, *book.calls.unfinished(), *book.calls.of_unit(shop.unit))]


def test_it_is_in_no_list_of_calls(page: TestClient, store: Store, shop: Shop) -> None:
    call = begin(page, unit=shop.unit)
    with store.reading() as book:
        assert call not in lists(book, shop)
        assert shop.call in lists(book, shop)
    assert f"/calls/{call}" not in page.get("/day").text
    assert "PRACTICE" not in page.get("/day").text


def test_the_pages_of_real_calls_lead_a_practice_call_over(
    page: TestClient, store: Store, shop: Shop
) -> None:
    call = hide(store, shop)
    for below in ("", "/dead", "/part", "/wires", "/lost", "/proof", "/sign-off", "/unit"):
        for path in (f"/calls/{call}{below}", f"/calls/{call}{below}.json"):
            answer = page.get(path, follow_redirects=False)
            assert answer.status_code == 303
            assert answer.headers["location"].startswith(f"/practice/{call}")


def test_what_a_call_is_is_read_once_and_a_call_to_come_is_asked_for_again(
    store: Store, shop: Shop, desk: DiagnosisService, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The guard stands before every page about a call, so it must cost next to nothing."""
    house = AppState(store, desk)
    asked: list[int | None] = []

    def reading(*who: int | None) -> AbstractContextManager[UnitOfWork]:
        asked.append(None)
        return Store.reading(store, *who)

    monkeypatch.setattr(store, "reading", reading)
    later = shop.call + 1
    assert [house.kind_of(shop.call), house.kind_of(later)] == ["service", ""]
    assert hide(store, shop) == later
    assert [house.kind_of(shop.call), house.kind_of(later)] == ["service", "practice"]
    assert house.kind_of(later) == "practice"
    assert len(asked) == 3


def test_no_form_of_a_real_call_writes_into_a_practice_call(
    page: TestClient, store: Store, shop: Shop
) -> None:
    call = hide(store, shop)
    give(page, call, CHECK, "12.6")
    page.post(f"/calls/{call}/sign-off", data={"truth": "capacitor"})
    with store.reading() as book:
        assert book.readings.standing(call) == []
        assert book.calls.get(call).state == "open"


def test_a_customer_s_call_is_no_practice(page: TestClient, shop: Shop) -> None:
    assert page.get(f"/practice/{shop.call}.json").status_code == 422
    assert page.post(f"/practice/{shop.call}/end").status_code == 422
    assert page.get(f"/calls/{shop.call}").status_code == 200


def test_every_page_of_practice_is_marked(page: TestClient, store: Store, shop: Shop) -> None:
    call = hide(store, shop)
    page.post(f"/practice/{call}/end")
    for path in ("/practice", f"/practice/{call}", f"/practice/{call}/score"):
        text = page.get(path).text
        assert "<b>PRACTICE</b>" in text
        assert "<title>Practice" in text


def test_a_later_change_of_the_unit_changes_no_practice_call(
    page: TestClient, store: Store, shop: Shop
) -> None:
    call = begin(page, unit=shop.unit)
    read(page, call, CHECK)
    before = twin(page, f"/practice/{call}")
    with store.writing(shop.amari) as book:
        book.units.get(shop.unit).toml = 'arrangement = "two_pole_plain"'
    assert twin(page, f"/practice/{call}") == before


def test_what_is_not_there_is_refused_by_name(page: TestClient, store: Store, shop: Shop) -> None:
    call = hide(store, shop)
    assert read(page, call, "volts-nowhere").status_code == 404
    assert page.get(f"/practice/{call}?check=volts-nowhere").status_code == 404
    assert page.get(f"/practice/{10**30}").status_code == 404
    assert page.get(f"/practice?of={10**30}").status_code == 404
    assert page.post(f"/practice/{call}/name", data={"part": "flux"}).status_code == 404
    token = token_in(page.get("/practice").text)
    bad = {"token": token, "level": "impossible", "on": "two_pole_plain"}
    assert page.post("/practice", data=bad).status_code == 422


def test_whoever_has_not_said_who_they_are_is_asked(page: TestClient) -> None:
    page.cookies.clear()
    assert "Say who is practising" in page.get("/practice").text
    form = {"token": "x", "level": "any", "on": "two_pole_plain"}
    answer = page.post("/practice", data=form, follow_redirects=False)
    assert answer.headers["location"].startswith("/person")
