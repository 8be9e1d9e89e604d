"""A shop's own closed calls move the odds of its calls, of all that is told of a call alike."""

from __future__ import annotations

import datetime as dt
import html
from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
import pytest
from fastapi.testclient import TestClient
from tests.web.mill_street import UNIT_TOML, Shop, give, twin

from rungwise.maintenance.history import ClosedCall
from rungwise.maintenance.shop_weights import Cause, ShopWeights, learn_weights
from rungwise.records import Store
from rungwise.services import DiagnosisService, call_from_values, unit_from_text
from rungwise.services.history.shop_weights import own_weights
from rungwise.services.runtime.result_cache import RESULTS
from rungwise.web.context import gathered
from rungwise.web.pages.call.assembly import own_of
from rungwise.web.pages.practice.context import opened, practised


def close(store: Store, unit: int, suspect: str, *, kind: str = "service") -> int:
    """Another call of the shop, closed with what was at fault."""
    with store.writing() as book:
        if book.units.get(unit).installed is None:
            book.units.leave(unit, "installed", "2015-03-02")
        call = book.calls.open(unit, day=dt.date(2026, 5, 4), kind=kind)
        book.truths.tell(call.id, suspect.partition(".")[0], suspect=suspect)
        book.calls.close(call.id)
    return call.id


def odds(page: TestClient, call: int) -> dict[str, float]:
    """The odds of a call, by part: of the repairs that are not ruled out, the likeliest of each."""
    told = twin(page, f"/calls/{call}")["diagnosis"]["verdict"]
    found: dict[str, float] = {}
    for each in (told["answer"], *told["runners_up"]):
        found.setdefault(each["part"], each["probability"])
    return found


def test_a_shop_without_a_closed_call_starts_from_the_start_weights(
    page: TestClient, shop: Shop, store: Store
) -> None:
    with store.writing() as book:
        book.units.leave(shop.unit, "installed", "2015-03-02")
    view = twin(page, f"/calls/{shop.call}")
    assert view["own_weights"] == ""
    assert view["diagnosis"]["call"]["own_weights"] is None
    assert "closed call" not in page.get(f"/calls/{shop.call}").text


def test_what_the_shop_found_is_likelier_on_its_next_call(
    page: TestClient, shop: Shop, store: Store
) -> None:
    give(page, shop.call, "look-plunger", "out")
    before = odds(page, shop.call)
    for _ in range(3):
        close(store, shop.unit, "low_pressure.open")
    after = odds(page, shop.call)
    assert after["low_pressure"] > 1.5 * before["low_pressure"]
    told = twin(page, f"/calls/{shop.call}")
    assert "the shop's own 3 closed calls" in told["own_weights"]
    seen = html.unescape(page.get(f"/calls/{shop.call}").text).replace("\xa0", " ")
    assert told["own_weights"] in seen


def test_weights_are_learned_once_for_as_long_as_nothing_is_closed(
    page: TestClient, shop: Shop, store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    learned: list[int] = []

    def counted(start: Mapping[Cause, float], calls: Sequence[ClosedCall]) -> ShopWeights:
        learned.append(len(calls))
        return learn_weights(start, calls)

    monkeypatch.setattr("rungwise.services.history.shop_weights.learn_weights", counted)
    # Another test may have closed the very same calls.
    RESULTS.drop_all(lambda key: key[0] in {"start weights", "weights of the shop"})
    for suspect in ("fan.seized", "fan.s_open"):
        close(store, shop.unit, suspect)
        for path in ("", "/proof", "/sign-off", "/part"):
            twin(page, f"/calls/{shop.call}{path}")
    assert learned == [1, 2]


def test_posterior_odds_are_likelihood_times_weight(
    shop: Shop, store: Store, desk: DiagnosisService
) -> None:
    """Bayes' rule done again with numpy: what the readings say of a suspect is the same for all."""
    unit = unit_from_text(UNIT_TOML)
    with store.writing(shop.amari) as book:
        book.readings.take(shop.call, "look-plunger", "in", value="in")
        call = call_from_values(gathered(book, shop.call).values, unit)
    own = own_weights(unit, [ClosedCall("dual_capacitor", "herm_weak", 12.0)] * 9, 12.0)
    assert own
    before = desk.answer(unit, call).belief
    after = desk.answer(unit, replace(call, own=own)).belief
    cards = before.table.suspects
    start = np.array([card.weight for card in cards])
    shops = np.array([dict(own.by_suspect).get(card.id, card.weight) for card in cards])
    old, new = (np.array([told.by_suspect()[card.id] for card in cards])
                for told in (before, after))  # fmt: skip
    expected = old / start * shops
    np.testing.assert_allclose(new / new.sum(), expected / expected.sum(), rtol=1e-9)
    assert abs(new - old).max() > 0.05


def test_practice_neither_teaches_the_shop_nor_learns_from_it(
    page: TestClient, shop: Shop, store: Store
) -> None:
    give(page, shop.call, "look-plunger", "out")
    before = odds(page, shop.call)
    close(store, shop.unit, "low_pressure.open", kind="practice")
    assert odds(page, shop.call) == before
    close(store, shop.unit, "low_pressure.open")
    with store.writing(shop.amari) as book:
        trial = opened(
            book, person_id=shop.amari, title="14 Mill Street", text=UNIT_TOML, level="any",
            fault="low_pressure.open", seed=7,
        )  # fmt: skip
        held = practised(book, trial).held
        real = gathered(book, shop.call)
    unit = unit_from_text(UNIT_TOML)
    assert own_of(real, unit) is not None
    assert own_of(held, unit) is None


def test_the_odds_of_a_signed_call_stay_as_they_were_signed(
    page: TestClient, shop: Shop, store: Store
) -> None:
    """Neither its own cause nor what the shop meets later changes what was signed."""
    close(store, shop.unit, "contactor.coil_open")
    give(page, shop.call, "volts-coil", "26 V")
    give(page, shop.call, "look-plunger", "out")
    before = odds(page, shop.call)
    page.post(f"/calls/{shop.call}/sign-off", data={"truth": "contactor.coil_open"})
    close(store, shop.unit, "fan.seized")
    assert odds(page, shop.call) == before
    signed = twin(page, f"/calls/{shop.call}/sign-off")
    assert signed["signed"]["changed"] is False
    page.post(f"/calls/{shop.call}/sign-off/reopen")
    assert "own 2 closed calls" in twin(page, f"/calls/{shop.call}")["own_weights"]
