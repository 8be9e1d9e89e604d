"""From an empty shop's new-unit page to what the unit does: taps counted, with real touches.

Three minutes on a phone are asked for; what a person needs to look into the cabinet is not in it.
"""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect
from tests.browser.conftest import Phone

from rungwise.records import Store
from rungwise.services import unit_from_text

LABEL = """\
two-pole contactor L1, black, disconnect load 1
CC L2, red, disconnect load 2
CC T1, red, comp R
CC T2, black, comp C
cap H, blue, comp S
cap C, purple, CC T1
cap C, white, OFM R
cap F, brown, OFM S
OFM C, yellow/black, CC T2
CC L1, orange, CCH
CC L2, orange, CCH
Y, yellow, HPS
HPS, yellow, LPS
LPS, yellow, CC coil 1
C, blue, CC coil 2
"""


def tapped(page: Page, *keys: str) -> int:
    """Tap keys one after the other; how many.

    A tap waits for the page that it leads to. A busy machine may take long over the first unit,
    which a server has read before anybody comes; a key that is not on the page is missed sooner.
    """
    page.set_default_timeout(60_000)
    for key in keys:
        name = re.compile(f"^{key}")
        link = page.get_by_role("link", name=name)
        found = link.or_(page.get_by_role("button", name=name)).first
        found.wait_for(timeout=20_000)
        found.click()
    return len(keys)


@pytest.mark.parametrize("script", [True, False], ids=["script", "no script"])
def test_six_questions_lead_to_a_two_pole_unit_with_its_heater(
    phone: Phone, store: Store, *, script: bool
) -> None:
    page = phone(script=script)
    page.goto("/new-unit")
    taps = tapped(page, "Outdoor unit, cooling only", "Two", "Across the line, with its own", "No",
                  "High and low", "Neither")  # fmt: skip
    assert taps == 6
    does = page.get_by_role("region", name="What it does")
    expect(does).to_contain_text("Compressor, outdoor fan motor and indoor blower motor run")
    expect(page.get_by_role("region", name="Missing")).to_have_count(0)
    tapped(page, "Use this unit", "Save unit")
    page.wait_for_url(re.compile(r"/units/\d+$"))
    number = int(page.url.rpartition("/")[2])
    with store.reading() as book:
        made = unit_from_text(book.units.get(number).toml)
    assert made.roles.heaters
    assert made.wired_together("contactor.L2") & {"heater.1", "heater.2"}


@pytest.mark.parametrize(
    ("answers", "says"),
    [
        (("Heat pump, outdoor unit", "Two", "No heater", "No", "High and low", "A board that"),
         "heating"),
        (("Rooftop or package unit, cooling", "Three", "Across the line, with its own", "No",
          "High and low", "A board that"), "cooling"),
    ],
    ids=["heat pump", "rooftop"],
)  # fmt: skip
def test_six_taps_lead_to_a_heat_pump_and_to_a_rooftop_unit(
    phone: Phone, answers: tuple[str, ...], says: str
) -> None:
    page = phone()
    page.goto("/new-unit")
    assert tapped(page, *answers) == 6
    does = page.get_by_role("region", name="What it does")
    expect(does).to_contain_text(re.compile(f"{says}.*[Cc]ompressor"), timeout=30_000)
    expect(page.get_by_role("region", name="Missing")).to_have_count(0)


def test_that_nobody_knows_is_an_answer_and_two_taps_are_enough(phone: Phone) -> None:
    page = phone()
    page.goto("/new-unit")
    tapped(page, "Outdoor unit, cooling only", "I don't know", "That is enough")
    unsaid = page.get_by_role("region", name="Not known")
    expect(unsaid).to_contain_text("How many poles has the contactor?")


def test_a_label_typed_as_a_list_leads_to_the_unit_and_a_slip_to_its_line(
    phone: Phone, store: Store
) -> None:
    page = phone()
    page.goto("/new-unit")
    tapped(page, "Outdoor unit, cooling only", "Type its wiring label")
    page.get_by_label("One wire a line").fill(LABEL.replace("comp S", "comp Q"))
    tapped(page, "Show the unit")
    expect(page.locator("main")).to_contain_text("Line 5")
    expect(page.locator("main")).to_contain_text("C, R, S")
    page.get_by_label("One wire a line").fill(LABEL)
    tapped(page, "Show the unit")
    unusual = page.get_by_role("region", name="Unusual")
    expect(unusual).to_contain_text("heats while the compressor runs")
    tapped(page, "Use this unit", "Save unit")
    page.wait_for_url(re.compile(r"/units/\d+$"))
    with store.reading() as book:
        made = unit_from_text(book.units.get(int(page.url.rpartition("/")[2])).toml)
    assert made.wired_together("contactor.L1") & {"heater.1", "heater.2"}


def test_a_wire_is_moved_and_a_part_taken_out_on_the_unit_s_own_page(
    phone: Phone, store: Store
) -> None:
    page = phone()
    page.goto("/units/1")
    tapped(page, "Wiring")
    wires = page.get_by_label("One wire a line").input_value()
    assert "compressor R" in wires
    page.get_by_label("One wire a line").fill(wires.replace("compressor R", "compressor S"))
    tapped(page, "Show what it then does")
    expect(page.get_by_role("region", name="Missing")).to_contain_text("compressor R")
    tapped(page, "Leave it as it was")
    expect(page.get_by_role("region", name="Missing")).to_have_count(0)  # the page before is gone
    page.wait_for_load_state()
    page.get_by_text("Take a part out").click()
    tapped(page, "High-pressure switch", "Save these wires")
    page.wait_for_url(re.compile(r"/units/1$"))
    with store.reading() as book:
        text = book.units.get(1).toml
    made = unit_from_text(text)
    assert "high_pressure" not in made.part_by_name
    assert "[nameplate]" in text
    assert made.nameplate


def test_a_unit_is_kept_as_the_shop_s_own_and_the_next_one_starts_from_it(
    phone: Phone, store: Store
) -> None:
    page = phone()
    page.goto("/units/1")
    page.get_by_text("Save as the shop's own arrangement").click()
    page.get_by_label("What it is, in a few words").fill("Mill Street sort")
    tapped(page, "Save for new units")
    with page.expect_download() as asked:
        tapped(page, "Its file")
    shared = asked.value.path().read_text(encoding="utf-8")
    assert "nameplate" not in shared
    assert unit_from_text(shared).title == "Mill Street sort"
    page.goto("/new-unit")
    tapped(page, "Mill Street sort", "Use this unit", "Save unit")
    page.wait_for_url(re.compile(r"/units/\d+$"))
    page.goto("/arrangements")
    page.get_by_label("A unit file").set_input_files(
        {"name": "other.toml", "mimeType": "text/plain",
         "buffer": shared.replace("Mill Street sort", "From the next town").encode()}
    )  # fmt: skip
    tapped(page, "Save")
    expect(page.locator("main")).to_contain_text("From the next town")
    page.get_by_role("button", name="Take it off the list").first.click()
    expect(page.get_by_role("button", name="Take it off the list")).to_have_count(1)
    with store.reading() as book:
        assert [each.title for each in book.arrangements.listed()] == ["From the next town"]


def test_a_unit_like_none_gets_its_lock_out_by_the_supplies_and_no_verdict(phone: Phone) -> None:
    page = phone()
    page.goto("/new-unit")
    tapped(page, "Not like any of these")
    page.get_by_label("240 V, two hot wires").check()
    page.get_by_label("24 V from another cabinet").check()
    tapped(page, "Show what is known")
    told = page.locator("main")
    for words in ("has no model of this unit", "Open and lock the pull-out disconnect",
                  "216 V to 264 V", "Whether anything else feeds it"):  # fmt: skip
        expect(told).to_contain_text(words)
