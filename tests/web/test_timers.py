"""Timers: how long each runs comes from the model, and its end is a clock time without script."""

from __future__ import annotations

import datetime as dt
import math
import re

from fastapi.testclient import TestClient
from tests.web.mill_street import Shop, twin

from rungwise.isolation import EMPTY_VOLT
from rungwise.parts import Timer
from rungwise.records import Store
from rungwise.services import DiagnosisService
from rungwise.unit import ARRANGEMENTS, arrangement
from rungwise.web.app import create_app
from rungwise.web.timers import delays_of, timer_key

CAPACITOR_F = 45e-6
"""The compressor's section in Mill Street, by its nameplate."""

NOON = dt.datetime(2026, 7, 14, 17, 0, tzinfo=dt.UTC)


def test_the_start_delay_is_the_longest_of_the_units_own() -> None:
    units = [arrangement(name) for name in ARRANGEMENTS]
    told = {unit.title: delays_of(unit, 3, "/calls/3") for unit in units}
    for unit in units:
        held = [part.number(timer.seconds) for part, timer in unit.having(Timer)]
        wanted = [math.ceil(max(held))] if any(held) else []
        assert [each.seconds for each in told[unit.title]] == wanted, unit.title
    assert any(told.values())
    assert not all(told.values())


def test_a_timer_is_rounded_up_and_told_in_minutes() -> None:
    told = {s: timer_key(3, "wait", s, "/calls/3") for s in (4.2, 90.0, 300.0)}
    assert [(each.seconds, each.length) for each in told.values()] == [
        (5, "5 s"), (90, "1:30 min"), (300, "5 min"),
    ]  # fmt: skip


def test_the_discharge_runs_as_long_as_the_bleed_resistor_takes(
    page: TestClient, shop: Shop
) -> None:
    """R·C·ln(V0/V) to 5 V: the closed form of a capacitor's discharge, any handbook."""
    card = {}
    for _ in range(20):
        view = twin(page, f"/calls/{shop.call}/dead?hands=cabinet")
        card = view["card"]
        if card["kind"] == "discharge":
            break
        typed = {"typed": "120" if card["kind"] == "prove meter" else "0", "unit": "V"}
        answer = {"quick": "all below"} if card["all_below"] else typed
        reads = bool(card["lines"][0]["reads"])
        told = {"check": [each["id"] for each in card["lines"]], **(answer if reads else {})}
        page.post(f"/calls/{shop.call}/dead", data=told)
    (timer,) = view["timers"]
    words = re.search(
        r"through a (\d+) kΩ.*HERM-C: (\d+) s \(from (\d+) V", card["lines"][0]["text"]
    )
    assert words
    kilo_ohm, seconds, volt = map(float, words.groups())
    wanted_s = 1e3 * kilo_ohm * CAPACITOR_F * math.log(volt / EMPTY_VOLT)
    assert timer["seconds"] == seconds == math.ceil(wanted_s)


def test_without_script_a_timers_page_tells_the_clock_time_and_then_that_it_is_up(
    store: Store, shop: Shop, desk: DiagnosisService
) -> None:
    store.now = lambda: NOON
    page = TestClient(create_app(store, desk), cookies={"person": str(shop.amari)})
    at = f"/calls/{shop.call}/timer?of=delay&seconds=300&back=/calls/{shop.call}/proof"
    first = page.get(at)
    assert "12:05:00" in first.text  # Chicago, summer
    assert 'content="301"' in first.text
    store.now = lambda: NOON + dt.timedelta(seconds=301)
    again = page.get(str(first.url))
    assert ("TIME IS UP" in again.text, "12:05:00" in again.text) == (True, True)
    away = page.get(f"/calls/{shop.call}/timer?seconds=5&back=https://elsewhere.example/").text
    assert "elsewhere" not in away


def test_the_stamp_of_the_lockout_tells_how_long_it_counts_and_other_states_end_it(
    page: TestClient, shop: Shop
) -> None:
    html = page.get(f"/calls/{shop.call}/dead?hands=cabinet").text
    told = re.search(rf'data-power="power-{shop.call}"[^>]*>', html)
    assert told
    assert "data-counts" not in told[0]
