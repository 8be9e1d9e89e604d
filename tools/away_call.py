"""The same thumb without signal: the call is taken along, the server goes, and comes back for it.

A page that goes on by itself is told by the count on its card, and a card by what stands on it:
no page has a twin without a server.
"""

from __future__ import annotations

import re
import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlsplit

from playwright.sync_api import Locator, expect
from whole_call import PATIENCE_S, Walk

__all__ = ["AwayWalk"]

LONGEST_S = 600.0
"""All parts of a unit are taken along, each with its test."""

PROVES_METER = re.compile("prove |pruebe |compruebe ", re.IGNORECASE)
LEFT = """() => Object.keys(localStorage).filter(key => key.startsWith("rungwise.entry ")).length"""
SHOWN = "() => document.querySelector('[data-now]')?.dataset.shown ?? ''"


def nothing() -> None:
    """Where there is no server to be stopped."""


@dataclass
class AwayWalk(Walk):
    """A whole call on a phone without signal. leave: stops the server; back: starts it again."""

    leave: Callable[[], None] = nothing
    back: Callable[[], None] = nothing

    def whole(self) -> None:
        """From the day's list to the report that is signed here and made once there is signal."""
        super().whole()
        waiting = self.page.evaluate(LEFT)
        self.back()
        until = time.monotonic() + LONGEST_S
        while self.page.evaluate(LEFT):  # the page lets no text be run that would wait there
            if time.monotonic() > until:
                message = f"{self.page.evaluate(LEFT)} entries wait still"
                raise AssertionError(message)
            time.sleep(0.5)
        told = self.page.request.get(f"{urlsplit(self.page.url).path}.json").json()
        if not waiting or told["state"] != "closed":
            message = f"{waiting} entries waited, and then the call is {told['state']}"
            raise AssertionError(message)

    def begin(self) -> None:
        """A new call, taken along; then there is no signal."""
        super().begin()
        self.page.wait_for_function("() => navigator.serviceWorker.controller !== null")
        key = self.page.locator("#along button")
        key.wait_for(state="attached")
        fold = self.page.locator("details:has(#along) > summary")
        if fold.count() and not key.is_visible():
            self.tap(fold.last)
        key.wait_for(state="visible")  # once the script that takes it along is there
        self.tap(key)
        expect(self.page.locator("#along button:not([disabled])")).to_be_visible(
            timeout=1000 * LONGEST_S
        )
        self.leave()
        self.page.goto(self.page.url)  # from its head, where a thumb begins
        expect(self.page.locator("#kept-copy")).to_be_visible()

    def repair(self) -> None:
        """What the verdict leads to; its page goes on by itself."""
        self.tap(self.page.locator(".verdict .go-on a.key.go"))
        self.ready()
        if self.at("dead"):
            self.lock_out()
            self.part()
            if self.at("wires"):
                self.wires()

    def twin(self) -> Any:
        """What the card on the page is about."""
        self.ready()
        title = self.page.locator(".card h2").first.inner_text()
        kind = "prove meter" if PROVES_METER.match(title) else ""
        told = self.page.locator("[data-now]").get_attribute("data-tested")
        check = self.page.locator(".card form[action$='/proof/readings']").count()
        asks = self.page.locator(".card .entry .answers form[action$='/repaired']").count()
        doing = "check" if told and check else "repaired" if asks else ""
        return {"card": {"kind": kind}, "now": {"doing": doing}}

    def ready(self) -> None:
        """Until the phone has drawn the page of the work."""
        self.page.wait_for_selector("[data-now][data-shown]", timeout=1000 * PATIENCE_S)

    def seen(self) -> None:
        """Look at the state that the page is in, once it is there."""
        if not self.at("day") and not self.at("new-call") and "/calls/" in self.page.url:
            self.settled()
        super().seen()

    def settled(self) -> None:
        """Until the phone's own answer stands on the page."""
        told = "[data-shown], [data-worked]:not([data-worked=''])"
        self.page.wait_for_selector(told, state="attached", timeout=1000 * PATIENCE_S)

    def tap_and_wait(self, key: Locator) -> None:
        """Touch it, and wait until the page has gone on."""
        before, url = self.page.evaluate(SHOWN), self.page.url
        self.tap(key)
        until = time.monotonic() + PATIENCE_S
        while self.page.url == url and self.page.evaluate(SHOWN) in ("", before):
            if time.monotonic() > until:
                message = f"{self.page.url} stays as it was after a touch"
                raise AssertionError(message)
            time.sleep(0.03)

    def sign(self) -> None:
        """Signed on this phone."""
        self.ready()
        super().sign()
