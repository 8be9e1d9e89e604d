"""The lockout as cards: one tap each, nothing said twice, a stamp with its clock that runs out."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from fastapi.testclient import TestClient
from tests.web.mill_street import EXAMPLES, Shop, give, twin

from rungwise.isolation import SCOPES, cautions_at, isolate, scope_touching
from rungwise.records import Store
from rungwise.services.input_files import open_unit
from rungwise.web.pages.make_dead.cards import cards_of
from rungwise.web.pages.make_dead.steps import step_lines

TODAY = dt.date(2026, 7, 1)


def dead(page: TestClient, shop: Shop, more: str = "") -> Any:
    return twin(page, f"/calls/{shop.call}/dead{more}")


def answer(page: TestClient, shop: Shop, card: Any, **form: str) -> None:
    """One tap on a card, as a good unit and a good meter let one answer it."""
    told: dict[str, Any] = {"check": [each["id"] for each in card["lines"]], **form}
    if not form and card["all_below"]:
        told["quick"] = "all below"
    elif not form and card["lines"][0]["reads"]:
        told["typed"] = card["same"] or ("120" if card["kind"] == "prove meter" else "0")
    kept = page.post(f"/calls/{shop.call}/dead", data=told, follow_redirects=False)
    assert kept.status_code == 303, kept.text


def walk(page: TestClient, shop: Shop) -> int:
    """Every card to the end; how many taps that took."""
    taps = 0
    while (card := dead(page, shop, "?hands=cabinet")["card"]) is not None:
        assert taps < 20, card["title"]
        answer(page, shop, card)
        taps += 1
    return taps


@pytest.mark.parametrize("name", ["unit-01-mill-street", "unit-03-creamery-road"])
@pytest.mark.parametrize("scope", SCOPES)
def test_every_step_is_on_one_card_and_no_caution_is_lost_or_said_twice(
    name: str, scope: str
) -> None:
    """Those of the whole plan stand at the step that they belong to, and only there."""
    plan = isolate(open_unit(str(EXAMPLES / f"{name}.toml")).unit, scope=scope)
    cards = cards_of(plan, step_lines(plan, (), (), TODAY))
    assert [line.number for card in cards for line in card.lines] == [s.number for s in plan.steps]
    shown = [caution for card in cards for caution in card.cautions]
    assert set(shown) == {*plan.cautions, *(it for step in plan.steps for it in step.cautions)}
    assert len([each for each in shown if each in plan.cautions]) == len(plan.cautions)
    assert sum(map(len, cautions_at(plan).values())) == len(plan.cautions)
    assert len(cards) < len(plan.steps)


def test_what_is_opened_at_one_place_is_one_card(page: TestClient, shop: Shop) -> None:
    """Both breakers at the panel, with both locks: one trip, one tap."""
    cards = dead(page, shop, "?hands=everything")["cards"]
    at_panel = [card for card in cards if card["place"] == "panel"]
    (panel,) = at_panel
    assert [line["kind"] for line in panel["lines"]] == ["open", "lock", "open", "lock"]


def test_the_place_of_work_is_asked_and_the_part_found_decides_the_first_answer(
    page: TestClient, shop: Shop, store: Store
) -> None:
    assert dead(page, shop)["asking"]
    with store.writing(shop.amari) as book:
        book.calls.leave(shop.call, "suspected", "float_switch")
    view = dead(page, shop)
    assert (view["hands"], view["places"][0]["touches"]) == ("indoor", "condensate float switch")
    give(page, shop.call, "look-compressor", "silent")
    answer(page, shop, dead(page, shop, "?hands=cabinet")["card"])
    view = dead(page, shop)
    assert (view["asking"], view["hands"]) == (False, "cabinet")  # it goes on where it was begun


def test_the_smallest_scope_that_holds_a_part_is_meant() -> None:
    unit = open_unit(str(EXAMPLES / "unit-01-mill-street.toml")).unit
    meant = {part: scope_touching(unit, part) for part in ("contactor", "blower", "disconnect")}
    assert meant == {"contactor": "cabinet", "blower": "indoor", "disconnect": "disconnect"}
    assert scope_touching(unit, "outdoor_breaker") == "everything"


def test_one_tap_says_that_each_reading_of_a_card_is_below_its_limit(
    page: TestClient, shop: Shop
) -> None:
    cards = dead(page, shop, "?hands=cabinet")["cards"]
    group = next(card for card in cards if card["kind"] == "measure")
    assert len(group["lines"]) == 3
    answer(page, shop, group)
    lines = [line for line in dead(page, shop)["steps"] if line["kind"] == "measure"]
    assert {line["state"] for line in lines} == {"done"}
    assert {line["reading"] for line in lines} == {"all below 5 V AC"}
    assert dead(page, shop)["proof"]["taken"] == []  # no meter was proved before or after


def test_a_figure_that_is_needed_is_not_given_by_one_tap(page: TestClient, shop: Shop) -> None:
    """A live source has its volts, and what a capacitor held is written down."""
    cards = dead(page, shop, "?hands=cabinet")["cards"]
    for kind in ("prove meter", "charge"):
        card = next(each for each in cards if each["kind"] == kind)
        assert card["all_below"] == ""
        answer(page, shop, card, quick="all below")
        assert dead(page, shop)["steps"][card["lines"][0]["number"] - 1]["state"] != "done"


def test_the_same_source_is_told_again_with_one_tap(page: TestClient, shop: Shop) -> None:
    proofs = [c for c in dead(page, shop, "?hands=cabinet")["cards"] if c["kind"] == "prove meter"]
    assert [card["same"] for card in proofs] == ["", ""]
    answer(page, shop, proofs[0], typed="121")
    proofs = [c for c in dead(page, shop)["cards"] if c["kind"] == "prove meter"]
    assert [card["same"] for card in proofs] == ["", "121 V"]


def test_a_lockout_of_the_cabinet_takes_as_many_taps_as_cards(page: TestClient, shop: Shop) -> None:
    assert dead(page, shop, "?hands=cabinet")["stamp"] is None
    taps = walk(page, shop)
    view = dead(page, shop)
    assert taps == len(view["cards"]) - 1  # the app writes the time of the result down
    stamp = view["stamp"]
    assert (stamp["stands"], stamp["taken"]) == ("verified", stamp["asked"])
    html = page.get(f"/calls/{shop.call}/dead").text
    assert "POWER OFF, VERIFIED" in html
    assert stamp["at"] in html


def test_what_could_not_be_reached_is_no_verified_lockout(page: TestClient, shop: Shop) -> None:
    cards = dead(page, shop, "?hands=cabinet")["cards"]
    for card in cards[:-1]:
        answer(page, shop, card, **({"quick": "can't reach"} if card["kind"] == "try" else {}))
    view = dead(page, shop)
    assert view["stamp"]["stands"] == "in part"
    assert view["stamp"]["taken"] == view["stamp"]["asked"] - 1
    assert "POWER OFF, VERIFIED" not in page.get(f"/calls/{shop.call}/dead").text


def test_a_verified_lockout_runs_out_after_its_minutes(
    page: TestClient, shop: Shop, store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    walk(page, shop)
    minutes = dead(page, shop)["isolation"]["stands_for_minutes"]
    now, after = store.now(), dt.timedelta(minutes=minutes, seconds=1)
    monkeypatch.setattr(store, "now", lambda: now + after)
    assert dead(page, shop)["stamp"]["stands"] == "run out"
    assert "POWER OFF, VERIFIED" not in page.get(f"/calls/{shop.call}/dead").text
    page.post(f"/calls/{shop.call}/dead/again", data={"hands": "cabinet"})
    view = dead(page, shop)
    states = {line["kind"]: line["state"] for line in view["steps"]}
    assert (states["lock"], view["card"]["kind"], view["stamp"]) == ("done", "prove meter", None)
    walk(page, shop)
    assert dead(page, shop)["stamp"]["stands"] == "verified"


def test_power_that_came_back_takes_the_lockout_away(page: TestClient, shop: Shop) -> None:
    walk(page, shop)
    page.post(f"/calls/{shop.call}/dead/power-on", data={"hands": "cabinet"})
    view = dead(page, shop)
    assert view["stamp"] is None
    assert {line["state"] for line in view["steps"]} == {"next", "later"}
    record = twin(page, f"/calls/{shop.call}/sign-off")["paper"]["dead"]
    assert record[0]["proof"]["taken"]  # what was measured then stays in the record of the call
    walk(page, shop)
    assert dead(page, shop)["stamp"]["stands"] == "verified"
    page.post(f"/calls/{shop.call}/dead/power-on", data={"hands": "cabinet"})
    assert dead(page, shop)["stamp"] is None  # a second time as well


@pytest.mark.parametrize("what", ["reading", "start"])
def test_whatever_needs_power_takes_the_lockout_away(
    page: TestClient, shop: Shop, what: str
) -> None:
    walk(page, shop)
    if what == "reading":
        give(page, shop.call, "volts-coil", "26 V")
    else:
        page.post(f"/calls/{shop.call}/proof/start", data={"step": "2"})
    assert dead(page, shop)["stamp"]["stands"] == "power on"
    assert "Treat everything as live" in page.get(f"/calls/{shop.call}/dead").text


def test_the_card_that_was_done_last_is_undone_with_one_tap(page: TestClient, shop: Shop) -> None:
    cards = dead(page, shop, "?hands=cabinet")["cards"]
    for card in cards[:6]:
        answer(page, shop, card)
    undo = dead(page, shop)["undo"]
    assert [line["id"] for line in undo["lines"]] == [line["id"] for line in cards[5]["lines"]]
    answer(page, shop, undo, done="false")
    assert dead(page, shop)["card"]["number"] == 6
    assert dead(page, shop)["undo"]["number"] == 5
