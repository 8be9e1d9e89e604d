"""A thumb that works a whole call, from the day's list to the signed report, and what it costs.

Nothing is told by its words, so that it goes alike in every language: a form is known by where it
leads, a key by what it is. Every state of every page is looked at on the way.
"""

from __future__ import annotations

import re
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any
from urllib.parse import urlsplit

from playwright.sync_api import Locator, Page
from tests.browser.hidden_fault import Cabinet
from tests.browser.walker import Count, walk

__all__ = ["SIGNED_BY", "Look", "State", "Walk"]

SIGNED_BY = "Mrs. Finch"
MOST = 60
GAUGES = {
    "refrigerant.suction_pressure": "118",
    "refrigerant.suction_line": "52",
    "refrigerant.liquid_pressure": "340",
    "refrigerant.liquid_line": "94",
}
"""What gauges and clamps show once the leak is mended and the charge weighed in, psi and °F."""

NEXT = (
    ".card .entry .key.go:not(.pad .go), .card .go-on .key, .card .entry .answers .key,"
    " .card .entry input[name=typed], .card .entry .key,"
    " main > .rung .key.go, main button[name=unit]"
)
"""What is touched next, by the first of these that the page has."""

PATIENCE_S = 150.0
STILL = """before => { const token = document.querySelector('main input[name=token]');
  return document.readyState !== 'complete' || !token && !document.querySelector('main .stamp')
    || token && token.value === before }"""
"""Whether a page is still the one on which the token was this."""

STATE = """next => {
  const seen = each => each && each.offsetParent && each.getBoundingClientRect().height > 0;
  const way = document.querySelector('.strip');
  const floor = way && way.getBoundingClientRect().top > innerHeight / 2
    ? way.getBoundingClientRect().top : innerHeight;
  const key = next.split(', ').flatMap(each => [...document.querySelectorAll(each)]).find(seen);
  const box = key && key.getBoundingClientRect();
  const keys = document.querySelector('.card .entry');
  const edge = keys && getComputedStyle(keys).position === 'sticky'
    ? keys.getBoundingClientRect().top : floor;
  const cut = [...document.querySelectorAll('.card .signal')].filter(seen)
    .filter(each => !keys || !keys.contains(each)).map(each => each.getBoundingClientRect())
    .filter(each => each.top < edge - 1 && each.bottom > edge + 1).length;
  const shifts = new PerformanceObserver(() => {});
  shifts.observe({type: 'layout-shift', buffered: true});
  return {
    key: key ? key.textContent.trim().slice(0, 40) || key.name : '',
    on_first: Boolean(box) && box.top >= -0.5 && box.bottom <= floor + 0.5,
    screens: document.documentElement.scrollHeight / innerHeight, cut,
    wide: document.documentElement.scrollWidth > innerWidth,
    shifts: shifts.takeRecords().map(each => [each.startTime, each.value, each.hadRecentInput,
      each.sources.map(({node}) => node?.outerHTML?.slice(0, 60) ?? '').join()]),
    loaded: performance.timeOrigin,
  } }"""


@dataclass
class State:
    """One state of a page, with all that is behind one tap closed.

    cut: cautions that lie half under the keys. shift: of the layout since the last state, not
    after a touch; touched: within half a second of one.
    """

    page: str
    key: str
    on_first: bool
    screens: float
    cut: int
    wide: bool
    shift: float
    touched: float
    moved: str = ""


Look = Callable[[Page], None]


@dataclass
class Walk:
    """One whole call on one phone. cabinet: the unit with its fault; good: once it is repaired."""

    page: Page
    cabinet: Cabinet
    good: Cabinet
    count: Count = field(default_factory=Count)
    states: list[State] = field(default_factory=list)
    to_cause: int = 0
    by_stage: dict[str, int] = field(default_factory=dict)
    cause: str = ""
    look: Look | None = None
    _told: tuple[float, float] = (0.0, -1.0)

    def whole(self) -> None:
        """From the day's list to the signed report."""
        for stage in (self.begin, self.find, self.repair, self.test, self.sign):
            before = self.count.taps
            stage()
            self.by_stage[stage.__name__] = self.count.taps - before

    def begin(self) -> None:
        """To a new call on the first unit of the list."""
        self.page.goto("/day")
        self.seen()
        self.tap(self.page.locator('main a[href="/new-call"]'))
        self.page.wait_for_url("**/new-call")
        self.seen()
        self.tap(self.page.locator("button[name=unit]").first)
        self.page.wait_for_url(re.compile(r"/calls/\d+"))

    def find(self) -> None:
        """Symptoms and checks until a cause is named."""
        walk(self.page, self.cabinet, self.count, lambda _: self.seen())
        self.to_cause = self.count.taps
        self.cause = self.page.locator("#cause").inner_text()

    def repair(self) -> None:
        """What the verdict leads to: locked out, the part, its wires; or gauges."""
        self.tap(self.page.locator(".verdict .go-on a.key.go"))
        self.page.wait_for_load_state()
        if self.at("dead"):
            self.lock_out()
            self.part()
            if self.at("wires"):
                self.wires()
        elif "gauges=" in self.page.url:
            self.gauges()

    def lock_out(self) -> None:
        """Every card of the lockout until its stamp; then on."""
        for _ in self.cards():
            twin = self.twin()["card"]
            key = self.page.locator(".card .entry .key.go:not(.pad .go)")
            if key.count():
                self.tap_and_wait(key.first)
            else:
                self.enter("120" if twin["kind"] == "prove meter" else "0")
        self.onward()

    def part(self) -> None:
        """The part that the van has for it, or none."""
        self.seen()
        install = self.page.locator(".card form[action$='/part'] button.go")
        if install.count():
            self.tap_and_wait(install.first)
            self.seen()
            self.onward()
        else:
            self.tap(self.page.locator(".card .entry a[href*='/wires']").first)
            self.page.wait_for_url("**/wires*")

    def wires(self) -> None:
        """As found, moved, as left."""
        for _ in self.cards():
            self.tap_and_wait(self.page.locator(".card .entry .key.go").first)
        self.onward()

    def gauges(self) -> None:
        """What gauges show, field by field, and what comes of it."""
        self.seen()
        for name, chosen in (("name", "R-410A"), ("metering", "expansion valve")):
            self.count.taps += 2  # the list, and the line in it
            self.page.locator(f"#gauges [name='refrigerant.{name}']").select_option(chosen)
        for name, typed in GAUGES.items():
            self.type(self.page.locator(f"#gauges [name='{name}']"), typed)
        self.tap_and_wait(self.page.locator(".card .entry button.go"))
        self.seen()
        self.tap(self.page.locator(".card .entry a.key.go"))
        self.page.wait_for_url("**/proof")

    def test(self) -> None:
        """The test of the repair as a good unit answers it, until its stamp."""
        if not self.at("proof"):
            self.tap(self.page.locator(".strip a[href$='/proof']"))
            self.page.wait_for_url("**/proof*")
        for _ in self.cards():
            self.prove_one()
        on = self.page.locator(".card .entry a[href$='/sign-off']")
        self.tap(on)
        self.page.wait_for_url("**/sign-off*")

    def prove_one(self) -> None:
        """One card of the test."""
        now = self.twin()["now"]["doing"]
        card = self.page.locator(".card")
        form = card.locator("form[data-draft]").first
        if now == "repaired":
            self.tap_and_wait(card.locator(".entry .answers .key").first)
        elif now != "check":
            self.tap_and_wait(card.locator(".entry .key.go").first)
        elif card.locator(".entry .key.go[name=typed]").count():
            self.tap_and_wait(card.locator(".entry .key.go[name=typed]").first)
        elif form.locator("button[name=typed]").count():
            read = self.good.read(form.get_attribute("data-draft") or "")
            self.tap_and_wait(form.locator(f'button[name=typed][value="{read}"]'))
        else:
            self.enter(self.figure(form.get_attribute("data-draft") or ""))

    def figure(self, check: str) -> str:
        """What a good unit reads; of a check of the test alone, the middle of what it must read."""
        try:
            return self.good.read(check)
        except KeyError:
            told = self.page.locator("section.check .must").inner_text()
            ends = [float(each) for each in re.findall(r"\d+(?:\.\d+)?", told)][-2:]
            return f"{sum(ends) / len(ends):.3g}"

    def sign(self) -> None:
        """The customer signs, and the call is closed."""
        self.seen()
        self.type(self.page.locator("#received_by"), SIGNED_BY)
        self.tap(self.page.locator(".card .entry button[form=sign]"))
        self.page.locator(".stamp").wait_for()
        self.seen()

    # --- how it is touched ----------------------------------------------------------------------
    def at(self, leaf: str) -> bool:
        """Whether the page is this one of the call's."""
        return urlsplit(self.page.url).path.endswith(f"/{leaf}")

    def twin(self) -> Any:
        """What the page tells as JSON."""
        told = urlsplit(self.page.url)
        path = f"{told.path}.json?{told.query}"
        return self.page.request.get(path).json()

    def cards(self) -> Iterator[None]:
        """Every card of a page until the one with its result."""
        for _ in range(MOST):
            self.seen()
            if self.page.locator(".card .stamp").count():
                return
            yield
        message = f"{self.page.url} comes to no result"
        raise AssertionError(message)

    def onward(self) -> None:
        """By the key under a result to the next page."""
        key = self.page.locator(".card .entry a.key.go").first
        leads = urlsplit(key.get_attribute("href") or "").path
        self.tap(key)
        self.page.wait_for_url(re.compile(re.escape(leads)))

    def tap(self, key: Locator) -> None:
        """Touch it once."""
        self.count.tap(key)

    def tap_and_wait(self, key: Locator) -> None:
        """Touch it, and wait until another page is there: each carries tokens of its own."""
        token = self.page.locator("main input[name=token]").first
        before = token.get_attribute("value") if token.count() else ""
        self.tap(key)
        until = time.monotonic() + PATIENCE_S
        while self.page.evaluate(STILL, before):  # without script the page itself cannot wait
            if time.monotonic() > until:
                message = f"{self.page.url} stays as it was after a touch"
                raise AssertionError(message)
            time.sleep(0.03)

    def type(self, box: Locator, text: str) -> None:
        """Touch a field and type letters with the phone's own keyboard."""
        self.tap(box)
        self.count.typed += len(text)
        box.fill(text)

    def enter(self, read: str) -> None:
        """A figure on the keys of the card, or without them in its field."""
        number, _, unit = read.partition(" ")
        form = self.page.locator(".card form:has(.pad)").first
        units = form.locator("select[name=unit]")
        if unit and units.count() and units.input_value() != unit:
            self.count.taps += 2
            units.select_option(unit)
        if number == "OL":
            self.tap_and_wait(form.locator('button[value="OL"]'))
            return
        if form.locator("[data-types]").first.is_visible():
            for each in number.replace("-", "\u2212"):
                self.tap(form.locator(f'[data-types="{each}"]'))
        else:
            self.type(form.locator("input[name=typed]"), number)
        self.tap_and_wait(form.locator(".pad .go"))

    def seen(self) -> None:
        """Look at the state that the page is in."""
        told = self.page.evaluate(STATE, NEXT)
        since = self._told[1] if told["loaded"] == self._told[0] else -1.0
        fresh = [each for each in told["shifts"] if each[0] > since]
        self._told = (told["loaded"], max((each[0] for each in told["shifts"]), default=since))
        name = re.sub(r"/calls/\d+", "/calls/N", urlsplit(self.page.url).path)
        self.states.append(
            State(
                name, told["key"], told["on_first"], told["screens"], told["cut"], told["wide"],
                sum(each[1] for each in fresh if not each[2]),
                sum(each[1] for each in fresh if each[2]),
                "; ".join(each[3] for each in fresh),
            )
        )  # fmt: skip
        if self.look:
            self.look(self.page)
