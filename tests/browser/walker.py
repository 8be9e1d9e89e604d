"""A thumb that works a call tap by tap, and counts what it costs."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field

from playwright.sync_api import Locator, Page
from tests.browser.hidden_fault import Cabinet

__all__ = ["CONTROL", "Count", "Seen", "begin", "control_of", "walk"]

CONTROL = "section.check .entry form, section.verdict .go-on"
"""What is used next on the page of a call: the answer's form, or the keys under a verdict."""

MOST_ANSWERS = 20
PREFIXES = {"m": 1e-3, "µ": 1e-6, "k": 1e3}


@dataclass
class Seen:
    """One state of the page: what is asked, how high the page is and where its control ends."""

    title: str
    screens: float
    control_top_px: float
    control_bottom_px: float
    free_bottom_px: float


@dataclass
class Count:
    """What a call took. scrolled: screens moved to bring what is tapped into view."""

    taps: int = 0
    typed: int = 0
    scrolled: float = 0.0
    readings: int = 0
    seen: list[Seen] = field(default_factory=list)

    def tap(self, key: Locator) -> None:
        """Tap once; what is out of sight is scrolled to first."""
        page = key.page
        before = page.evaluate("scrollY")
        key.scroll_into_view_if_needed()
        self.scrolled += abs(page.evaluate("scrollY") - before) / page.evaluate("innerHeight")
        self.taps += 1
        key.click()


def begin(page: Page, count: Count, unit: str) -> None:
    """From the day's list to a new call on a unit."""
    page.goto("/day")
    count.tap(page.get_by_role("link", name="New call"))
    count.tap(page.get_by_role("button", name=re.compile(unit)).first)
    page.wait_for_url(re.compile(r"/calls/\d+"))


def control_of(page: Page) -> Seen:
    """The state that the page is in."""
    told = page.evaluate(
        """selector => { const box = document.querySelector(selector).getBoundingClientRect();
        const strip = document.querySelector('.strip').getBoundingClientRect();
        const fixed = strip.top > innerHeight / 2;
        return [document.querySelector('.card .lead').textContent.trim(),
          document.documentElement.scrollHeight / innerHeight,
          box.top, box.bottom, fixed ? strip.top : innerHeight] }""",
        CONTROL,
    )
    return Seen(*told)


def walk(
    page: Page, cabinet: Cabinet, count: Count, look: Callable[[Page], None] | None = None
) -> None:
    """Answer what the card asks until the page names a cause. look: at each state of the page."""
    for _ in range(MOST_ANSWERS):
        page.locator(CONTROL).first.wait_for()
        page.wait_for_load_state()  # without script it may still be read, half of its card there
        count.seen.append(control_of(page))
        if look:
            look(page)
        if not page.locator("section.check").count():
            return
        _answer(page, cabinet, count)
    raise AssertionError(f"no cause after {MOST_ANSWERS} answers: {count.seen}")


def _answer(page: Page, cabinet: Cabinet, count: Count) -> None:
    """One answer: a key for what is seen, the keys of a meter for what is read."""
    form = page.locator("section.check form[data-draft]")
    check = form.get_attribute("data-draft") or ""
    seen = form.locator("input[name=seen]").get_attribute("value")
    read = cabinet.read(check)
    if form.locator("button[name=typed]").count():
        count.tap(form.locator(f'button[name=typed][value="{read}"]'))
    else:
        count.readings += 1
        _enter(form, read, count)
    # The same check may be asked again: a reading that all hangs on is taken twice.
    before = f'form[data-draft="{check}"]:has(input[name=seen][value="{seen}"])'
    page.locator(f"section.check {before}").wait_for(state="detached")


def _enter(form: Locator, read: str, count: Count) -> None:
    number, _, unit = read.partition(" ")
    offered = form.locator("select[name=unit] option").all_inner_texts()
    if offered and unit not in offered and unit[:1] in PREFIXES:  # as the meter's own range has it
        number, unit = f"{float(number) * PREFIXES[unit[0]]:.4g}", unit[1:]
    if number == "OL":
        count.tap(form.locator('button[value="OL"]'))
        return
    units = form.locator("select[name=unit]")
    if unit in offered and units.input_value() != unit:
        count.taps += 2  # the list, and the unit in it
        units.select_option(unit)
    digit = form.locator("[data-types]").first
    if digit.is_visible():
        for each in number.replace("-", "\u2212"):
            count.tap(form.locator(f'[data-types="{each}"]'))
    else:
        count.taps += 1  # into the field
        count.typed += len(number)
        form.locator("input[name=typed]").fill(number)
    count.tap(form.locator(".pad .go"))
