"""The page of a call is one card: what is needed next is in sight in every state of a call."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect
from tests.browser.conftest import Phone
from tests.browser.hidden_fault import Cabinet
from tests.browser.test_every_page import TARGETS
from tests.browser.walker import Count, begin, control_of, walk
from tests.web.mill_street import Shop
from tests.wide import WIDE

from rungwise.records import Store

UNIT = "14 Mill Street"
FAULTS = {
    "low_pressure.open": "low-pressure switch",
    "capacitor.fan_weak": "run capacitor, fan section",
    "contactor.welded": "contacts welded",
}
"""A switch that has opened, a part that is weak, one that does not let go; what names each."""

MOST_SCREENS = 3.0
MOST_TAPS = 30
MOST_SHIFT = 0.02
BESIDE = {"width": 1280, "height": 800}

SHIFTS = """window.moved = []; new PerformanceObserver(list => { for (const each of
list.getEntries()) if (!each.hadRecentInput) window.moved.push([each.value,
...each.sources.map(({node}) => node?.outerHTML?.slice(0, 90) ?? '')]) })
.observe({type: 'layout-shift', buffered: true})"""


@pytest.fixture(scope="module", params=FAULTS)
def fault(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture(scope="module")
def cabinet(fault: str) -> Cabinet:
    return Cabinet(fault)


def looked_at(
    small: list[object], moved: list[list[object]], *, script: bool
) -> Callable[[Page], None]:
    """What is looked at in each state: targets too small for a glove, and what has moved."""

    def look(page: Page) -> None:
        small.extend(page.evaluate(TARGETS))
        if script:
            moved.extend(page.evaluate("window.moved"))

    return look


@pytest.mark.parametrize("script", [True, False] if WIDE else [True])
def test_what_is_needed_next_is_on_the_first_screen(
    phone: Phone, fault: str, cabinet: Cabinet, *, script: bool
) -> None:
    """In every state of a call, with all that is behind one tap closed; the cause is named."""
    page = phone(script=script)
    small: list[object] = []
    moved: list[list[object]] = []
    if script:
        page.add_init_script(SHIFTS)
    count = Count()
    begin(page, count, UNIT)
    walk(page, cabinet, count, looked_at(small, moved, script=script))
    low = [each for each in count.seen if each.control_bottom_px > each.free_bottom_px + 0.5]
    assert [each for each in count.seen if each.control_top_px < 0] == []
    assert low == []
    assert [each for each in count.seen if each.screens > MOST_SCREENS] == []
    assert small == []
    assert [each for each in moved if float(str(each[0])) > MOST_SHIFT] == []
    assert len(count.seen) > 5
    expect(page.locator("#cause")).to_contain_text(FAULTS[fault], ignore_case=True)


def test_a_call_of_three_readings_takes_thirty_taps_at_the_most(phone: Phone) -> None:
    """From the day's list to the named cause, every digit a tap of its own."""
    page, count = phone(), Count()
    begin(page, count, UNIT)
    before = count.scrolled
    walk(page, Cabinet("low_pressure.open"), count)
    assert count.readings >= 1
    assert count.taps <= MOST_TAPS * max(1.0, count.readings / 3)
    assert (count.typed, count.scrolled - before) == (0, 0.0)


LEGIBLE_PX = 14.0
LEAST_PICTURE_PX = 106
LONG_CHECKS = (
    "ohms-y_splice-C", "uf-capacitor-FAN-C", "start-amps-fan_s", "loaduf-capacitor-HERM",
    "start-drop-disconnect-line2-load2", "wire-blower_cap_r", "volts-high_pressure-1-C",
    "earth-y_lp",
)  # fmt: skip
"""Checks of the unit in Mill Street whose cards say the most, and some with leads far apart."""

PICTURED = """() => {
  const box = (each) => each.getBoundingClientRect();
  const all = (selector) => [...document.querySelectorAll(selector)];
  const [hold, strip] = ['.hold', '.strip'].map((each) => box(document.querySelector(each)));
  const frame = document.querySelector('.look-at');
  const panes = all('.look-at .panes > svg');
  const leads = all('.look-at .whole [data-terminal] circle[r="8.4"]');
  const seen = (lead) => panes.some((pane) => {
    const [at, b] = [pane.getScreenCTM(), box(pane)];
    const margin = lead.closest('g[transform]').transform.baseVal.consolidate().matrix.e;
    const [x, y] = [lead.cx, lead.cy].map((each) => each.baseVal.value);
    return within(b, (x + margin) * at.a + at.e, y * at.d + at.f, lead.r.baseVal.value * at.a) });
  const within = (b, x, y, around) =>
    x - around >= b.left && x + around <= b.right && y - around >= b.top && y + around <= b.bottom;
  const middle = (each) => document.elementFromPoint(
    (box(each).left + box(each).right) / 2, (box(each).top + box(each).bottom) / 2);
  return {
    high: frame.clientHeight,
    leads: leads.length,
    unseen: leads.filter((each) => !seen(each)).length,
    covered: panes.filter((each) => !frame.contains(middle(each))).length,
    letters: Math.min(...panes.map((each) => 11 * each.getScreenCTM().a)),
    low: all('.entry .window, .entry .key')
      .filter((each) => box(each).height && box(each).bottom > strip.top + 0.5).length,
    under: all('.asks .lead, .asks .state, .asks .signal')
      .filter((each) => box(each).bottom > hold.top + 0.5).map((each) => each.textContent),
  } }"""
"""The picture of the leads as it is seen: its height, its leads, its letters, and what lies over it
or under the keys."""


@pytest.mark.parametrize("script", [True, False])
@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("light", ["auto", "sun", "night"] if WIDE else ["sun"])
def test_the_picture_of_the_leads_is_legible_however_long_the_words(
    phone: Phone, shop: Shop, address: str, language: str, light: str, *, script: bool
) -> None:
    """At 390 by 844: every lead, letters of 14 px, and field, keys and cautions in sight too."""
    page = phone(script=script)
    page.context.add_cookies(
        [
            {"name": name, "value": value, "url": address}
            for name, value in (("language", language), ("light", light))
        ]
    )
    for check in LONG_CHECKS:
        page.goto(f"/calls/{shop.call}?check={check}")
        seen = page.evaluate(PICTURED)
        assert seen["leads"] or "amps" in check, check  # a clamp alone has no lead on a terminal
        assert (seen["unseen"], seen["covered"], seen["low"]) == (0, 0, 0), (check, seen)
        assert seen["under"] == [], check
        assert seen["high"] >= LEAST_PICTURE_PX, (check, seen)
        assert seen["letters"] >= LEGIBLE_PX, (check, seen)


WORDS_SEEN = """() => {
  const hold = document.querySelector('.hold').getBoundingClientRect();
  return [...document.querySelectorAll('.lead-to > div, .needs > li')]
    .every((each) => each.getBoundingClientRect().bottom <= hold.top + 2) }"""
"""Whether every word about the leads stands above the picture and the keys."""


@pytest.mark.parametrize("language", ["en", "es"])
def test_words_that_are_too_long_are_shown_whole_by_one_tap(
    phone: Phone, shop: Shop, address: str, language: str
) -> None:
    """The key for it is there exactly where words go under, and leads back to the keys."""
    page, long = phone(), 0
    for name, value in (("language", language), ("light", "sun")):
        page.context.add_cookies([{"name": name, "value": value, "url": address}])
    for check in LONG_CHECKS:
        page.goto(f"/calls/{shop.call}?check={check}")
        page.wait_for_load_state()
        key = page.locator("[data-all-words]")
        expect(key).to_be_visible(visible=not page.evaluate(WORDS_SEEN))
        if key.is_visible():
            long += 1
            key.click()
            assert page.evaluate(WORDS_SEEN), check
            key.click()
            assert not page.evaluate(WORDS_SEEN), check
    assert long


@pytest.mark.parametrize("light", ["auto", "sun", "night"] if WIDE else ["sun"])
def test_axe_finds_nothing_on_the_card_in_any_light(
    phone: Phone, shop: Shop, store: Store, light: str
) -> None:
    """axe-core as axe-playwright-python carries it, all its rules: symptom, meter, verdict."""
    page, axe = phone(), Axe()
    call = f"/calls/{shop.call}"
    page.goto(call)
    page.locator("#settings > summary").click()
    page.locator(f'#settings button[value="{light}"]').click()
    expect(page.locator("html")).to_have_attribute("data-light", light)
    wrong = []
    for path in (call, f"{call}?check=volts-contactor-T1-T2", f"{call}?check=ohms-coil"):
        page.goto(path)
        wrong += [(path, each["id"]) for each in axe.run(page).response["violations"]]
    with store.writing(shop.amari) as book:
        for check, typed in (("look-fan", "not turning"), ("volts-coil", "26.4 V")):
            book.readings.take(shop.call, check, typed)
    page.goto(f"{call}/picture?check=volts-coil")
    wrong += [("picture", each["id"]) for each in axe.run(page).response["violations"]]
    assert wrong == []


def test_a_desk_shows_card_and_picture_at_once(phone: Phone, shop: Shop) -> None:
    """At 1280 by 800 nothing has to be scrolled to see where the leads go and to enter."""
    page = phone(size=BESIDE)
    page.goto(f"/calls/{shop.call}?check=volts-contactor-T1-T2")
    seen = control_of(page)
    assert seen.control_bottom_px <= BESIDE["height"]
    picture = page.locator(".card .drawing").bounding_box()
    card = page.locator(".card .asks").bounding_box()
    assert picture
    assert card
    assert picture["x"] >= card["x"] + card["width"] - 1
    assert picture["y"] + picture["height"] <= BESIDE["height"]


def asks(page: Page) -> bool:
    """Whether a check is on the card; a page on its way here has neither a check nor a verdict."""
    expect(page.locator("section.check, section.verdict").first).to_be_visible()
    return bool(page.locator("section.check").count())


def test_a_whole_call_is_worked_at_the_keyboard(phone: Phone) -> None:
    """The next answer has the focus as soon as the last one is saved."""
    fault = "low_pressure.open"
    cabinet, page = Cabinet(fault), phone(size=BESIDE)
    begin(page, Count(), UNIT)
    page.locator("section.check .entry button").first.focus()
    while asks(page):
        form = page.locator("section.check form[data-draft]")
        check = form.get_attribute("data-draft") or ""
        read = cabinet.read(check)
        if form.locator("button[name=typed]").count():
            for _ in range(12):
                if page.evaluate("document.activeElement.value") == read:
                    break
                page.keyboard.press("Tab")
        else:
            page.keyboard.type("OL" if read == "OL" else read)
        page.keyboard.press("Enter")
        page.locator(f'section.check form[data-draft="{check}"]').wait_for(state="detached")
    expect(page.locator("#cause")).to_contain_text(FAULTS[fault], ignore_case=True)


def test_a_picture_is_drawn_larger_and_the_checks_narrow_to_what_is_typed(
    phone: Phone, shop: Shop
) -> None:
    page = phone()
    page.goto(f"/calls/{shop.call}/picture?check=volts-coil")
    wide = page.locator("[data-zoom] svg").bounding_box()
    page.get_by_role("button", name="larger").click()
    wider = page.locator("[data-zoom] svg").bounding_box()
    assert wide
    assert wider
    assert wider["width"] == pytest.approx(1.5 * wide["width"], rel=0.02)
    page.goto(f"/calls/{shop.call}?open=others")
    page.locator("#find-check").fill("coil ohms")
    rows = page.locator("#others li:visible")
    expect(rows.first).to_contain_text("coil", ignore_case=True)
    assert 1 <= rows.count() < 20
