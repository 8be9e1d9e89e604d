"""What goes wrong in a yard: a wrong number, the back button, a second person, no signal."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect
from tests.browser.conftest import Phone
from tests.web.mill_street import Shop

from rungwise.records import Store

VOLTS = "volts-coil"
SCRIPT = pytest.mark.parametrize("script", [True, False], ids=["with script", "without script"])


def enter(page: Page, call: int, check: str, typed: str) -> None:
    """Choose a check and enter what the meter shows."""
    page.goto(f"/calls/{call}?check={check}#check")
    page.locator("section.check input[name=typed]").fill(typed)
    page.locator("section.check").get_by_role("button", name="Save").click()
    expect(page.locator(f"#r-{check}, section.check .wrong").first).to_be_attached()


def test_what_cannot_be_read_leaves_the_reading_that_counts(
    phone: Phone, shop: Shop, store: Store
) -> None:
    """A slip in a correction is told beside the field, and takes the good value from nobody."""
    page = phone()
    enter(page, shop.call, VOLTS, "27")
    enter(page, shop.call, VOLTS, "abc")
    expect(page.locator("section.check .wrong")).to_be_visible()
    expect(page.locator("section.check input[name=typed]")).to_have_value("abc")
    assert readings(store, shop.call, VOLTS) == [("27 V", True), ("abc", False)]


def test_an_empty_field_saves_nothing_and_says_so(phone: Phone, shop: Shop, store: Store) -> None:
    page = phone()
    enter(page, shop.call, VOLTS, "")
    expect(page.locator("section.check .wrong")).to_contain_text("Nothing was entered")
    expect(page.locator("#status")).not_to_contain_text("Saved")
    assert readings(store, shop.call, VOLTS) == []


def readings(store: Store, call: int, check: str) -> list[tuple[str, bool]]:
    """Everything ever told of a check: the text, and whether it counts now."""
    with store.reading() as book:
        return [(e.typed, e.counts) for e in book.readings.history(call) if e.check == check]


@SCRIPT
def test_a_wrong_number_is_kept_as_typed_and_mended(
    phone: Phone, shop: Shop, store: Store, *, script: bool
) -> None:
    page = phone(script=script)
    enter(page, shop.call, VOLTS, "27 A")
    expect(page.locator("section.check input[name=typed]")).to_have_value("27 A")
    assert readings(store, shop.call, VOLTS) == [("27 A", False)]
    page.locator("section.check input[name=typed]").fill("27 V")
    page.locator("section.check").get_by_role("button", name="Save").click()
    expect(page.locator(f"#r-{VOLTS} .line .figure")).to_have_text("27 V")
    for closed in ("#readings", f"#mend-{VOLTS}"):  # script leaves open what was
        if page.locator(closed).get_attribute("open") is None:
            page.locator(f"{closed} > summary").click()
    page.locator(f"#mend-{VOLTS} input[name=typed]").fill("0.2")
    page.locator(f"#mend-{VOLTS}").get_by_role("button", name="Save").click()
    expect(page.locator(f"#r-{VOLTS} .line .figure")).not_to_have_text("27 V")
    told = readings(store, shop.call, VOLTS)
    assert [typed for typed, _ in told][:2] == ["27 A", "27 V"]
    assert len(told) == 3
    assert [counts for _, counts in told].count(True) == 1


@SCRIPT
def test_back_and_reload_save_nothing_twice_and_lose_nothing(
    phone: Phone, shop: Shop, store: Store, *, script: bool
) -> None:
    page = phone(script=script)
    page.goto("/day")
    enter(page, shop.call, VOLTS, "27")
    page.reload()
    expect(page.locator(f"#r-{VOLTS}")).to_be_attached()
    page.go_back()
    page.go_forward()
    page.goto(f"/calls/{shop.call}")
    expect(page.locator(f"#r-{VOLTS}")).to_be_attached()
    assert len(readings(store, shop.call, VOLTS)) == 1


def test_what_is_half_typed_outlives_a_reload(phone: Phone, shop: Shop) -> None:
    page = phone()
    page.goto(f"/calls/{shop.call}?check={VOLTS}#check")
    page.locator("section.check input[name=typed]").press_sequentially("26.")
    page.reload()
    expect(page.locator("section.check input[name=typed]")).to_have_value("26.")


def test_two_people_on_one_call_lose_nothing_and_choose(
    phone: Phone, shop: Shop, store: Store
) -> None:
    """The second answers from a page that is older than the first one's answer."""
    first, second = phone(), phone(person=shop.okafor)
    for page in (first, second):
        page.goto(f"/calls/{shop.call}?check={VOLTS}#check")
    first.locator("section.check input[name=typed]").fill("27")
    first.locator("section.check").get_by_role("button", name="Save").click()
    expect(first.locator(f"#r-{VOLTS}")).to_be_attached()
    second.locator("section.check input[name=typed]").fill("0.3")
    second.locator("section.check").get_by_role("button", name="Save").click()
    expect(second.locator("main")).to_contain_text("Two answers to one check")
    assert len(readings(store, shop.call, VOLTS)) == 2
    second.get_by_role("button", name=re.compile("Okafor")).click()
    expect(second.locator("main")).not_to_contain_text("Two answers to one check")
    first.reload()
    expect(first.locator(f"#r-{VOLTS}")).to_contain_text("J. Okafor")


def test_without_signal_an_entry_waits_on_the_phone(phone: Phone, shop: Shop, store: Store) -> None:
    page = phone()
    page.goto(f"/calls/{shop.call}?check={VOLTS}#check")
    page.context.set_offline(True)
    page.locator("section.check input[name=typed]").fill("27")
    page.locator("section.check").get_by_role("button", name="Save").click()
    expect(page.locator("#status")).to_contain_text("waits on this phone")
    assert readings(store, shop.call, VOLTS) == []
    page.context.set_offline(False)
    expect(page.locator("#status")).to_contain_text("everything is saved", timeout=20_000)
    assert [typed for typed, _ in readings(store, shop.call, VOLTS)] == ["27 V"]


@SCRIPT
def test_a_new_unit_is_put_in_from_its_nameplate(
    phone: Phone, store: Store, *, script: bool
) -> None:
    """Two questions, then the plate; an impossible figure is kept and told, then mended."""
    page = phone(script=script)
    page.goto("/new-unit")
    for answer in ("Outdoor unit, cooling only", "Two", "That is enough"):
        page.get_by_role("link", name=re.compile(answer)).first.click()
    page.get_by_role("button", name="Use this unit").click()
    page.wait_for_url(re.compile(r"/units/\d+/plate"))
    number = int(re.findall(r"/units/(\d+)/plate", page.url)[0])
    for name, typed in (("rla_a", "10.2"), ("lra_a", "5"), ("fan_fla_a", "1.1")):
        page.locator(f"input[name={name}]").fill(typed)
    page.get_by_role("button", name="Check again").click()
    expect(page.locator("input[name=lra_a]")).to_have_value("5")
    expect(page.locator("input[name=lra_a]")).to_have_attribute("aria-invalid", "true")
    page.locator("input[name=lra_a]").fill("54")
    page.get_by_role("button", name=re.compile("Save unit")).click()
    page.wait_for_url(re.compile(rf"/units/{number}(?!/plate)"))
    with store.reading() as book:
        unit = book.units.get(number)
        assert unit.state == "whole"
        assert '"54' in unit.toml
