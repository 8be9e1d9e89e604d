"""An entry leaves the phone on the server's receipt for it, and on nothing else."""

from __future__ import annotations

import datetime as dt
import json
import threading
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, Route, expect
from tests.browser.conftest import Phone
from tests.browser.test_mishaps import VOLTS
from tests.web.mill_street import Shop

from rungwise.records import Store

LOGIN = "<!doctype html><title>Please log in</title><main id=main>Please log in</main>"


def page_saying(status: int) -> dict[str, Any]:
    """What a proxy or a captive portal answers: a page of its own."""
    return {"status": status, "body": LOGIN, "content_type": "text/html"}


STRANGERS: dict[str, dict[str, Any]] = {
    "login page with 200": page_saying(200),
    **{f"{status} of a proxy": page_saying(status) for status in (401, 403, 404, 413, 422, 503)},
    "led to a login": {"status": 302, "headers": {"location": "/person"}},
    "200 with JSON": {"status": 200, "body": "{}", "content_type": "application/json"},
    "receipt for another entry": {"status": 200, "body": "{}", "headers": {"rungwise-kept": "x"}},
}

WORDS = "expect not to lose this"
ENTRIES = "() => Object.keys(localStorage).filter((key) => key.startsWith('rungwise.entry '))"
ALL_FOUR = f"{ENTRIES}.length == 4"
NONE_LEFT = f"{ENTRIES}.length == 0"


def answering(told: dict[str, Any]) -> Callable[[Route], None]:
    """A stranger who answers in place of the server."""
    return lambda route: route.fulfill(**told)


def on_phone(page: Page) -> list[dict[str, Any]]:
    """What lies in the phone's storage, oldest first."""
    told = page.evaluate("Object.entries(localStorage)")
    held = [json.loads(text) for key, text in told if key.startswith("rungwise.entry ")]
    return sorted(held, key=lambda each: int(each["at"]))


def told_of(store: Store, call: int) -> list[tuple[str, str]]:
    with store.reading() as book:
        return [(each.check, each.typed) for each in book.readings.history(call)]


def keep(page: Page, typed: str) -> None:
    page.locator("section.check input[name=typed]").fill(typed)
    page.locator("section.check").get_by_role("button", name="Save").click()


def open_check(page: Page, shop: Shop, check: str = VOLTS) -> None:
    page.goto(f"/calls/{shop.call}?check={check}#check")


def back_in_signal(page: Page) -> None:
    page.evaluate("dispatchEvent(new Event('online'))")


def test_what_anything_in_between_answers_keeps_the_entry(
    phone: Phone, shop: Shop, store: Store
) -> None:
    """One reading after another, each met by another stranger first, then by the server."""
    page = phone()
    kept: list[tuple[str, str]] = []
    for number, (name, answer) in enumerate(STRANGERS.items(), start=20):
        open_check(page, shop)
        page.route("**/readings", answering(answer))
        keep(page, f"{number}")
        expect(page.locator("#status"), name).to_contain_text("1 entry waits on this phone")
        expect(page.locator("#tray"), name).to_contain_text("1 entry waits")
        (entry,) = on_phone(page)
        assert ["typed", f"{number}"] in entry["body"], name
        assert told_of(store, shop.call) == kept, name
        page.reload()
        assert len(on_phone(page)) == 1, name
        page.unroute("**/readings")
        back_in_signal(page)
        page.wait_for_function(NONE_LEFT, timeout=20_000)
        expect(page.locator("#tray"), name).to_be_hidden()
        kept.append((VOLTS, f"{number} V"))
        assert told_of(store, shop.call) == kept, name


def test_a_field_that_is_left_waits_as_well(phone: Phone, shop: Shop, store: Store) -> None:
    page = phone()
    page.goto(f"/calls/{shop.call}")
    page.locator("#about > summary").click()
    page.route("**/fields/note", answering(page_saying(200)))
    page.locator("#note").fill(WORDS)
    page.locator("#note").blur()
    expect(page.locator("#note-told")).to_have_text("Held on this phone, not yet sent.")
    assert len(on_phone(page)) == 1
    page.unroute("**/fields/note")
    back_in_signal(page)
    page.wait_for_function(NONE_LEFT, timeout=20_000)
    with store.reading() as book:
        assert book.calls.get(shop.call).note == WORDS


def test_what_the_server_refuses_for_good_stays_in_sight_with_its_words(
    phone: Phone, shop: Shop, store: Store
) -> None:
    """It is sent again once the reason is gone, or thrown away by hand, and never by itself."""
    page = phone()
    open_check(page, shop)
    with store.writing(shop.amari) as book:
        whole = book.calls.get(shop.call).unit_id
        book.calls.put_on(shop.call, book.units.add("A draft").id)
    keep(page, "27")
    tray = page.locator("#tray")
    expect(tray).to_contain_text("Not saved: 1 on this phone only")
    expect(tray).to_contain_text("still a draft")
    expect(tray.locator(".figure")).to_have_text("27 V")
    expect(page.locator("section.check input[name=typed]")).to_have_value("27")
    page.reload()
    expect(tray).to_contain_text("still a draft")
    with store.writing(shop.amari) as book:
        book.calls.put_on(shop.call, whole)
    tray.get_by_role("button", name="Send again").click()
    page.wait_for_function(NONE_LEFT)
    expect(tray).to_be_hidden()
    assert told_of(store, shop.call) == [(VOLTS, "27 V")]


def test_a_refused_field_says_so_and_is_thrown_away_by_hand_only(phone: Phone, shop: Shop) -> None:
    page = phone()
    page.goto(f"/calls/{shop.call}")
    page.locator("#about > summary").click()
    page.locator("#note").fill("x" * 2001)
    page.locator("#note").blur()
    expect(page.locator("#note-told")).to_contain_text("Not saved.")
    expect(page.locator("#note")).to_have_attribute("aria-invalid", "true")
    tray = page.locator("#tray")
    expect(tray).to_contain_text("x" * 2001)
    page.reload()
    expect(page.locator("#note")).to_have_value("x" * 2001)  # the draft is there still
    tray.get_by_role("button", name="Throw away").click()
    expect(tray).to_be_hidden()
    assert on_phone(page) == []


def keep_in_two(one: Page, other: Page, path: str) -> None:
    """Four readings in two tabs; each sees what the other wrote a moment later."""
    for page, numbers in ((one, (1, 2)), (other, (3, 4))):
        for number in numbers:
            page.evaluate(
                "([url, check, typed]) =>"
                " entries.add(url, [['check', check], ['typed', typed]], 'volts', typed)",
                [path, VOLTS, f"{number} V"],
            )
    for page in (one, other):
        page.wait_for_function(ALL_FOUR)


@pytest.mark.parametrize("locks", [True, False], ids=["with locks", "without locks"])
def test_two_tabs_lose_nothing(phone: Phone, shop: Shop, store: Store, *, locks: bool) -> None:
    """Both send the same entries, answers come late, and one sending is cut off."""
    one = phone()
    other = one.context.new_page()
    cut = threading.Event()

    def late(route: Route) -> None:
        body = route.request.post_data or ""
        if "typed=2" in body and not cut.is_set():
            cut.set()
            route.abort()
        else:
            route.continue_()

    for page in (one, other):
        if not locks:
            page.add_init_script("Object.defineProperty(navigator, 'locks', {value: undefined})")
        page.goto(f"/calls/{shop.call}")
        assert page.evaluate("Boolean(navigator.locks)") == locks
    one.context.set_offline(True)
    keep_in_two(one, other, f"/calls/{shop.call}/readings")
    one.context.route("**/readings", late)
    one.context.set_offline(False)
    both = "entries.drain(), 1"
    for _ in range(3):
        for page in (one, other):
            page.evaluate(both)
    for page in (one, other):
        page.wait_for_function(NONE_LEFT, timeout=20_000)
    assert cut.is_set()
    assert sorted(typed for _, typed in told_of(store, shop.call)) == ["1 V", "2 V", "3 V", "4 V"]
    assert on_phone(one) == []


def test_what_waited_is_under_the_name_and_time_of_its_entry(
    phone: Phone, shop: Shop, store: Store, address: str
) -> None:
    """Another person takes the phone before there is signal again."""
    page = phone()
    open_check(page, shop)
    page.context.set_offline(True)
    keep(page, "27")
    expect(page.locator("#tray")).to_contain_text("R. Amari")
    page.evaluate(
        "() => { for (const [key, text] of Object.entries(localStorage)) {"
        " const entry = JSON.parse(text); entry.at -= 3600000;"
        " localStorage[key] = JSON.stringify(entry) } }"
    )
    page.context.add_cookies([{"name": "person", "value": str(shop.okafor), "url": address}])
    page.context.set_offline(False)
    back_in_signal(page)
    expect(page.locator("#status")).to_contain_text("everything is saved", timeout=20_000)
    with store.reading() as book:
        (row,) = book.readings.history(shop.call)
    assert row.person_id == shop.amari
    assert row.kept_at is not None
    waited = row.kept_at - row.at
    assert dt.timedelta(hours=1) <= waited < dt.timedelta(hours=1, minutes=2)


def test_a_later_entry_does_not_overtake_one_that_waits(
    phone: Phone, shop: Shop, store: Store
) -> None:
    """The older number must not come in behind the newer one and take its place."""
    page = phone()
    open_check(page, shop)
    page.route("**/readings", lambda route: route.abort())
    keep(page, "27")
    expect(page.locator("#tray")).to_contain_text("1 entry waits")
    page.unroute("**/readings")
    keep(page, "0.2")
    page.wait_for_function(NONE_LEFT, timeout=20_000)  # the tray hides what is on its way just now
    with store.reading() as book:
        assert book.readings.now(shop.call)[VOLTS].typed == "0.2 V"


def test_half_a_signal_holds_nobody_up(phone: Phone, shop: Shop, store: Store) -> None:
    """An answer that does not come: the next reading can be typed, and both are kept in order."""
    page = phone()
    open_check(page, shop)
    held: list[Route] = []

    def first_hangs(route: Route) -> None:
        if held:
            route.continue_()
        held.append(route)

    page.route("**/readings", first_hangs)
    keep(page, "27")
    expect(page.locator("#status")).to_contain_text("Held on this phone, and being sent")
    keep(page, "0.2")
    expect(page.locator("#tray")).to_contain_text("2 entries wait")
    page.locator("section.check input[name=typed]").fill("half ty")
    held[0].continue_()
    page.wait_for_function(NONE_LEFT, timeout=20_000)
    expect(page.locator("section.check input[name=typed]")).to_have_value("half ty")
    assert [typed for _, typed in told_of(store, shop.call)] == ["27 V", "0.2 V"]


def test_a_double_tap_opens_one_call(phone: Phone, shop: Shop, store: Store) -> None:
    page = phone(script=False)
    page.goto("/new-call")
    page.get_by_text("14 Mill Street").first.dblclick()
    page.wait_for_url("**/calls/*")
    with store.reading() as book:
        assert len(book.calls.of_unit(shop.unit)) == 2


def test_what_cannot_wait_is_not_sent_into_the_void(phone: Phone, shop: Shop) -> None:
    """A new call needs signal: without it the page stays with all that was typed."""
    assert shop.call
    page = phone()
    page.goto("/new-call")
    page.locator("#said").fill("Hums")
    page.context.set_offline(True)
    page.locator("button[name=unit]").first.click()
    expect(page.locator("#status")).to_contain_text("this was not sent")
    expect(page.locator("#said")).to_have_value("Hums")
