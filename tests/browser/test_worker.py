"""The worker takes an open page also where its first try fails, and where the app is renewed."""

from __future__ import annotations

import asyncio
import threading
import time
from collections.abc import Awaitable, Callable, Iterator, MutableMapping
from contextlib import contextmanager
from typing import Any

import pytest
import uvicorn
from playwright.sync_api import Browser, Page, expect
from tests.browser.conftest import PHONE
from tests.web.mill_street import Shop

from rungwise.records import Store
from rungwise.services import DiagnosisService
from rungwise.web import create_app, installed

Message = MutableMapping[str, Any]
App = Callable[[Message, Callable[[], Awaitable[Message]], Callable[[Message], Awaitable[None]]],
               Awaitable[None]]  # fmt: skip

TAKEN = "navigator.serviceWorker.controller !== null"
MOST_S = 20.0
"""A failed try is followed by another after 2 s."""


class Failing:
    """The app, but a path is answered with 503 for the first few times. asked: how often it was."""

    def __init__(self, app: App, path: str, times: int) -> None:
        self.app, self.path, self.times, self.asked = app, path, times, 0

    async def __call__(self, scope: Message, receive: Any, send: Any) -> None:
        if scope["type"] == "http" and self.path and self.path in scope["path"]:
            self.asked += 1
            if self.asked <= self.times:
                await send({"type": "http.response.start", "status": 503, "headers": []})
                await send({"type": "http.response.body", "body": b""})
                return
        await self.app(scope, receive, send)


class Late:
    """The app, but what follows a saved answer comes later than the worker waits for a page."""

    LATE_S = 5.5

    def __init__(self, app: App) -> None:
        self.app = app

    async def __call__(self, scope: Message, receive: Any, send: Any) -> None:
        if scope["type"] == "http" and b"saved=" in scope["query_string"]:
            await asyncio.sleep(self.LATE_S)
        await self.app(scope, receive, send)


@contextmanager
def served(app: App) -> Iterator[str]:
    """Where the app listens until the end of the block."""
    config = uvicorn.Config(
        app, host="127.0.0.1", port=0, log_level="error", ws="none", lifespan="off"
    )
    server = uvicorn.Server(config)
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.01)
    yield f"http://127.0.0.1:{server.servers[0].sockets[0].getsockname()[1]}"
    server.should_exit = True
    thread.join(10)


def opened(browser: Browser, address: str, shop: Shop) -> Page:
    """A page of the day, in Amari's hand, of a phone that has a worker."""
    context = browser.new_context(base_url=address, viewport=PHONE)  # type: ignore[arg-type]
    context.add_cookies([{"name": "person", "value": str(shop.amari), "url": address}])
    page = context.new_page()
    page.goto("/day")
    return page


def waited(page: Page, said: str, told: object = None) -> None:
    """Until it is so in the page, whose policy lets no browser test wait inside it."""
    end = time.monotonic() + MOST_S
    while not page.evaluate(said, told):
        assert time.monotonic() < end, said
        time.sleep(0.1)


@pytest.mark.parametrize(
    ("path", "times"),
    [("", 0), ("/phone/no-signal", 1), ("icon-512.png", 2), ("/service-worker.js", 1)],
    ids=["all is well", "the page for no signal", "a file, twice", "the worker itself"],
)
def test_an_open_page_is_taken_though_something_did_not_come(
    browser: Browser, store: Store, desk: DiagnosisService, shop: Shop, path: str, times: int
) -> None:
    """Nobody opens another page meanwhile, and nobody loads this one anew."""
    app = Failing(create_app(store, desk), path, times)
    with served(app) as address:
        page = opened(browser, address, shop)
        try:
            waited(page, TAKEN)
            assert app.asked > times or not path
            page.context.set_offline(True)
            page.goto("/units")
            assert page.locator("h1").text_content() == "No signal"
        finally:
            page.context.close()


def test_an_app_that_is_renewed_while_a_page_is_open_takes_it_over(
    browser: Browser, store: Store, desk: DiagnosisService, shop: Shop,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    """The files of before go, those of now are there, and the page goes on without signal."""
    with served(create_app(store, desk)) as address:
        page = opened(browser, address, shop)
        try:
            waited(page, TAKEN)
            before = page.evaluate("caches.keys()")
            page.evaluate(
                "navigator.serviceWorker.addEventListener('controllerchange', "
                "() => { window.renewed = true })"
            )
            renewed = installed._worker().replace('"mark": "', '"mark": "new')
            monkeypatch.setattr(installed, "_worker", lambda: renewed)
            page.evaluate("navigator.serviceWorker.ready.then((found) => found.update())")
            waited(page, "window.renewed === true")
            gone = (
                "before => caches.keys().then((now) => !before.some((each) => now.includes(each)))"
            )
            waited(page, gone, [each for each in before if each.startswith("rungwise-files")])
            page.context.set_offline(True)
            page.goto("/units")
            assert page.locator("h1").text_content() == "No signal"
        finally:
            page.context.close()


def test_a_late_answer_is_waited_for_and_no_page_of_before_takes_its_place(
    browser: Browser, store: Store, desk: DiagnosisService, shop: Shop
) -> None:
    """Before, the question that was answered stood there again, from the phone, without a word."""
    with served(Late(create_app(store, desk))) as address:
        page = opened(browser, address, shop)
        try:
            waited(page, TAKEN)
            page.goto(f"/calls/{shop.call}")
            asked = page.locator("#check")
            before = asked.inner_text()
            page.locator("section.check button[name=typed]").first.click()
            expect(page.locator("#status")).to_contain_text("What comes next is being worked out")
            expect(asked).not_to_have_text(before, timeout=1000 * MOST_S)
            expect(page.locator("#status")).to_contain_text(f"Next: {asked.inner_text()}")
            assert page.evaluate("document.body.dataset.keptAt") is None
        finally:
            page.context.close()
