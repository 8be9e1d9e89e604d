"""What is owed before a repair, and an acquittal, stand on the page as its twin tells them."""

from __future__ import annotations

from typing import Any

import pytest
from fastapi.testclient import TestClient
from tests.web.mill_street import Shop, give, twin
from tests.web.test_same_verdicts import words

from rungwise.diagnosis.wording import percent

RUNS = (
    ("look-fan", "turning"),
    ("look-blower", "turning"),
    ("look-compressor", "running"),
    ("look-plunger", "in"),
)
STILL_ON = (
    *RUNS,
    ("volts-coil", "26.4 V"),
    ("idle-lowz-coil", "0 V"),
    ("idle-volts-contactor-T1-T2", "238 V"),
)
"""Line volts behind the contactor while the thermostat is off: its contacts, not yet read.

No volts on its coil then: neither the thermostat nor a short of its cable holds it in.
"""

TRIPPED = (
    ("look-fan", "not turning"),
    ("look-blower", "turning"),
    ("look-compressor", "silent"),
    ("lowz-coil", "26.8 V"),
    ("amps-whip_l1", "0 A"),
    ("look-disconnect", "in"),
    ("look-compressor-shell", "not hot"),
    ("look-outdoor_breaker", "tripped"),
    ("ohms-contactor-T1-earth", "OL"),
)
ALL_WELL = (
    *RUNS,
    ("volts-coil", "26.4 V"),
    ("drop-contactor-L1-T1", "40 mV"),
    ("loaduf-capacitor-HERM", "45 µF"),
    ("loaduf-capacitor-FAN", "5 µF"),
    ("amps-fan_c", "1.15 A"),
    ("amps-comp_c", "12 A"),
    ("volts-contactor-T1-T2", "237 V"),
    ("idle-volts-contactor-L1-L2", "240 V"),
    ("idle-volts-contactor-T1-T2", "1 V"),
    ("idle-amps-heater_line", "0.29 A"),
    ("look-outdoor_breaker-smell", "no"),
    ("look-indoor_breaker-smell", "no"),
    ("look-disconnect-burnt", "no"),
    ("look-joints-outdoor", "none"),
)
"""What the trade judges a running 3-ton unit by: coil volts, drop, µF, amps under the plate's, and
its heater's amps at rest, what is hot, burnt or loose."""


def told_of(page: TestClient, shop: Shop, outcomes: tuple[tuple[str, str], ...]) -> tuple[Any, str]:
    """The verdict after these outcomes, and what its section of the page says."""
    for check, typed in outcomes:
        give(page, shop.call, check, typed)
    path = f"/calls/{shop.call}"
    return twin(page, path)["diagnosis"]["verdict"], words(page.get(path).text, "cause")


def test_a_suspected_part_comes_with_the_reading_to_take_first(
    page: TestClient, shop: Shop
) -> None:
    told, seen = told_of(page, shop, STILL_ON)
    assert (told["kind"], told["answer"]["suspect"]) == ("suspected", "contactor.welded")
    assert told["confirm"]["check"]["id"] == "ohms-contactor-L1-L2"
    assert not told["shown"]
    assert told["words"]["owed"][0].startswith("First read, before anything is changed: ")
    for line in told["words"]["owed"]:
        assert line in seen
    assert seen.startswith("Suspected ")
    assert "No reading on the part itself shows it yet." in seen
    assert "Only then: Replace the contactor." in seen


def test_a_tripped_breaker_warns_first_and_names_what_may_be_behind(
    page: TestClient, shop: Shop
) -> None:
    """No reset before a short is excluded: the ohms that do it are listed, and the causes."""
    told, seen = told_of(page, shop, TRIPPED)
    assert (told["kind"], told["answer"]["suspect"]) == ("suspected", "outdoor_breaker.tripped")
    assert "ohms-contactor-T1-T2" in told["first"]
    assert told["causes"]
    for line in told["words"]["owed"]:
        assert line in seen
    for each in told["causes"]:
        assert f"{each['title']} {percent(each['probability'])}".lower() in seen.lower()
    assert seen.index("WARNING Do not reset it yet") < seen.index(told["words"]["owed"][0])
    assert "Only then" not in seen


def test_nothing_wrong_now_is_said_with_what_was_not_read(page: TestClient, shop: Shop) -> None:
    told, seen = told_of(page, shop, ALL_WELL)
    assert told["kind"] == "nothing_wrong_now"
    assert told["words"]["headline"] in seen
    assert len(told["words"]["acquittal"]) >= len(told["not_read"]) > 0
    for line in told["words"]["acquittal"]:
        assert line in seen
    assert "safe" not in seen.lower()


@pytest.mark.parametrize(
    ("outcomes", "found", "run"),
    [
        (
            STILL_ON,
            "Most likely: the contactor had stuck closed",
            "It does not stop by the thermos",
        ),
        (TRIPPED, "Most likely: the outdoor breaker had tripped", "Leave this unit's breaker off"),
        (ALL_WELL, "", "You can run it: nothing that we measured speaks against it."),
    ],
)
def test_the_customers_page_says_no_more_than_the_verdict(
    page: TestClient, shop: Shop, outcomes: tuple[tuple[str, str], ...], found: str, run: str
) -> None:
    """Suspected is not told as found, and what is off stays off."""
    told, _ = told_of(page, shop, outcomes)
    customer = twin(page, f"/calls/{shop.call}/paper")["customer"]
    if told["kind"] == "suspected":
        assert found in customer["found"][0]
        assert customer["headline"].startswith("Not fixed yet.")
    else:
        assert customer["headline"].endswith("No fault was found on this visit.")
    assert customer["run"].startswith(run)
