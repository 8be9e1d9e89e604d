"""Making dead: each step is kept at once, and a reading that is not dead says what failed."""

from __future__ import annotations

import re
from typing import Any

import pytest
from fastapi.testclient import TestClient
from tests.cli.running import ran
from tests.web.mill_street import EXAMPLES, UNIT_TOML, Shop, twin

from rungwise.records import Store

UNIT = str(EXAMPLES / "unit-01-mill-street.toml")
DEAD_V, LIVE_V = "0.3", "120"


def dead(page: TestClient, shop: Shop) -> Any:
    return twin(page, f"/calls/{shop.call}/dead")


def keep(page: TestClient, shop: Shop, step: Any, **form: Any) -> None:
    told = {"check": step["id"], **form}
    answer = page.post(f"/calls/{shop.call}/dead", data=told, follow_redirects=False)
    assert answer.status_code == 303, answer.text


def as_it_must(step: Any) -> dict[str, str]:
    """What a good unit shows at a step, or nothing where it is only done."""
    if not step["reads"]:
        return {}
    return {"typed": LIVE_V if step["kind"] == "prove meter" else DEAD_V}


def walk(page: TestClient, shop: Shop, last: int) -> Any:
    """Every step up to `last`, each as it must be; the page after."""
    for step in dead(page, shop)["steps"][:last]:
        keep(page, shop, step, **as_it_must(step))
    return dead(page, shop)


def number_of(view: Any, text: str) -> int:
    """The number of the first step whose words hold `text`."""
    told = ((each["number"], " ".join((each["text"], *each["what"]))) for each in view["steps"])
    return next(int(number) for number, words in told if text in words)


def test_page_and_command_plan_the_same(
    page: TestClient, shop: Shop, capsys: pytest.CaptureFixture[str]
) -> None:
    """The twin holds, key by key, what `rungwise isolate --json` prints for the unit."""
    shown = dead(page, shop)["isolation"]
    printed = ran(capsys, "isolate", UNIT, "--json").json
    printed.pop("unit")
    shown.pop("unit")  # the one piece that is a file's and not the unit's
    assert shown == printed


def test_what_is_still_live_is_told_to_ground_and_from_leg_to_leg(
    page: TestClient, shop: Shop
) -> None:
    """240 V stands between the legs where each has 120 V to ground (common practice, no source)."""
    live = twin(page, f"/calls/{shop.call}/dead?stage=0")["live"]
    told = next(each for each in live if each["place"] == "disconnect")
    found = re.search(r"up to (\d+) V to ground, up to (\d+) V between two, (.+)$", told["volts"])
    assert found, told
    assert float(found[2]) == pytest.approx(2 * float(found[1]), rel=0.02)
    assert re.fullmatch(r"pull-out disconnect \w+ 1 to \w+ 2", found[3])


def test_a_step_is_kept_with_who_and_when_and_can_be_taken_back(
    page: TestClient, shop: Shop
) -> None:
    first = dead(page, shop)["steps"][0]
    keep(page, shop, first)
    kept = dead(page, shop)["steps"][0]
    assert (kept["state"], kept["who"]) == ("done", "R. Amari")
    assert kept["at"]
    assert dead(page, shop)["now"]["number"] == 2
    keep(page, shop, first, done="false")
    assert dead(page, shop)["steps"][0]["state"] == "next"


def test_a_reading_that_is_not_dead_names_the_device_that_failed(
    page: TestClient, shop: Shop
) -> None:
    """120 V behind an open disconnect: one of its poles stayed closed, and which is told."""
    at = number_of(dead(page, shop), "To ground: pull-out disconnect load 1")
    walk(page, shop, at - 1)
    keep(page, shop, dead(page, shop)["steps"][at - 1], typed=LIVE_V)
    now = dead(page, shop)["now"]
    assert now["state"] == "not so"
    assert now["against"] == ["pull-out disconnect"]
    assert "load 2: pole 2 of the pull-out disconnect stays closed" in now["said"]
    html = page.get(f"/calls/{shop.call}/dead").text
    assert "Believe the meter, not this picture" in html
    said = "pole 2 of the pull-out disconnect stays closed"
    assert html.index(said) < html.index('class="entry"')  # on the card, above its keys


def test_a_reading_counts_only_with_the_meter_proved_before_and_after(
    page: TestClient, shop: Shop
) -> None:
    at = number_of(dead(page, shop), "Prove the meter again")
    view = walk(page, shop, at - 1)
    assert view["steps"][at - 2]["proved"] == "The meter is not yet proved again after it."
    assert view["proof"]["taken"] == []
    read = [s for s in view["steps"][: at - 1] if s["kind"] in ("try", "measure")]
    assert len(walk(page, shop, at)["proof"]["taken"]) == len(read) > 1


def test_a_meter_that_fails_on_a_live_source_makes_no_reading_count(
    page: TestClient, shop: Shop
) -> None:
    at = number_of(dead(page, shop), "Prove the meter again")
    view = walk(page, shop, at - 1)
    keep(page, shop, view["steps"][at - 1], typed="0")
    view = dead(page, shop)
    assert view["steps"][at - 1]["state"] == "not so"
    assert "the meter, a lead or the ground point fails" in view["now"]["said"]
    assert view["proof"]["taken"] == []


def test_a_unit_seen_to_run_on_gets_the_plan_that_opens_its_breaker_first(
    page: TestClient, shop: Shop
) -> None:
    path = f"/calls/{shop.call}/dead/runs-on"
    html = page.get(f"/calls/{shop.call}/dead?hands=cabinet").text
    assert "It runs on with the thermostat off" in html
    page.post(path, data={"hands": "cabinet"})
    view = dead(page, shop)
    assert view["runs_on"]
    assert [s["place"] for s in view["steps"] if s["kind"] == "open"] == ["panel", "disconnect"]
    page.post(path, data={"hands": "cabinet", "seen": "false"})
    assert not dead(page, shop)["runs_on"]


def test_a_charge_that_is_left_asks_for_more_seconds_of_bleeding(
    page: TestClient, shop: Shop
) -> None:
    """By V0·exp(-t/RC), 45 µF over 20 kΩ fall from 100 V to 5 V in 0.9 s · ln 20 = 2.7 s."""
    step = next(each for each in dead(page, shop)["steps"] if each["kind"] == "empty")
    keep(page, shop, step, typed="100")
    said = dead(page, shop)["steps"][step["number"] - 1]["said"]
    assert "another 3 s" in said


def test_what_cannot_be_read_is_kept_as_typed(page: TestClient, shop: Shop) -> None:
    step = next(each for each in dead(page, shop)["steps"] if each["kind"] == "measure")
    keep(page, shop, step, typed="0.3 A")
    kept = dead(page, shop)["steps"][step["number"] - 1]
    assert (kept["typed"], kept["state"]) == ("0.3 A", "later")
    assert kept["wrong"]
    html = page.get(f"/calls/{shop.call}/dead").text
    assert 'value="0.3 A"' in html


def test_what_is_live_follows_the_devices_that_are_open(page: TestClient, shop: Shop) -> None:
    """The outdoor unit is live until its disconnect is open; the panel is live to the end."""
    path = f"/calls/{shop.call}/dead"
    view = dead(page, shop)
    stages = len(view["stages"]) - 2
    live = [twin(page, f"{path}?stage={stage}")["live"] for stage in range(stages + 1)]
    assert any(each["place"] == "outdoor unit" for each in live[0])
    assert not any(each["place"] == "outdoor unit" for each in live[-1])
    assert any(each["place"] == "panel" for each in live[-1])


def test_no_page_calls_anything_safe_whatever_was_measured(page: TestClient, shop: Shop) -> None:
    view = walk(page, shop, 99)
    assert view["now"] is None
    assert len(view["proof"]["taken"]) == view["proof"]["asked"]
    for path in ("power-on", "again", None):
        html = page.get(f"/calls/{shop.call}/dead").text
        assert " safe" not in html.casefold()
        assert "Measure again just before you touch anything" in html
        if path:
            page.post(f"/calls/{shop.call}/dead/{path}", data={"hands": "cabinet"})


def test_two_people_at_one_step_are_both_kept_until_one_is_chosen(
    page: TestClient, shop: Shop
) -> None:
    step = next(each for each in dead(page, shop)["steps"] if each["kind"] == "measure")
    seen = dead(page, shop)["version"]
    keep(page, shop, step, typed="0.3", seen=seen)
    page.cookies.set("person", str(shop.okafor))
    keep(page, shop, step, typed="118", seen=seen)
    line = dead(page, shop)["steps"][step["number"] - 1]
    assert (line["reading"], [each["text"] for each in line["clashes"]]) == ("300 mV", ["118 V"])
    form = {"row": line["clashes"][0]["id"], "other": line["row"]}
    page.post(f"/calls/{shop.call}/dead/choose", data=form)
    line = dead(page, shop)["steps"][step["number"] - 1]
    assert (line["reading"], line["clashes"]) == ("118 V", [])


def test_a_drawing_that_carries_no_plan_shows_why_and_nothing_of_its_solution(
    page: TestClient, shop: Shop, store: Store
) -> None:
    with store.writing() as book:
        text = UNIT_TOML.replace("title =", 'without = ["whip_l1", "whip_l2"]\ntitle =', 1)
        unit = book.units.add("wires forgotten", toml=text)
        call = book.calls.open(unit.id, title="No cooling", technician_id=shop.amari)
    view = twin(page, f"/calls/{call.id}/dead")
    assert view["steps"] == []
    assert any("feeds nothing" in what for what, _ in view["refused"])
    html = page.get(f"/calls/{call.id}/dead").text
    assert "No plan is made from this drawing" in html
    assert "Treat everything as live" in html
    assert "no point is over 50 V" not in html
