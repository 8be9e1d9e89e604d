"""What the browser tests share: Debian's chromium, and the app on a port of its own."""

from __future__ import annotations

import shutil
import threading
import time
from collections.abc import Callable, Iterator

import pytest
import uvicorn
from playwright.sync_api import Browser, BrowserContext, Page, Playwright, sync_playwright
from tests.web.conftest import desk, empty_database, furnished_shop, shop, store, tables
from tests.web.mill_street import Shop

from rungwise.records import Store
from rungwise.services import DiagnosisService
from rungwise.web.app import create_app

__all__ = ["desk", "empty_database", "furnished_shop", "shop", "store", "tables"]

FLAGS = (
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
)  # fmt: skip
PHONE = {"width": 390, "height": 844}
DESK = {"width": 1280, "height": 900}

Phone = Callable[..., Page]


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    """What starts browsers: one a process, a second one beside it is refused."""
    with sync_playwright() as play:
        yield play


@pytest.fixture(scope="session")
def chromium() -> str:
    """Debian's chromium; `make test` installs it."""
    path = shutil.which("chromium")
    assert path, "chromium is missing: run make test, which installs it"
    return path


@pytest.fixture(scope="session")
def browser(playwright: Playwright, chromium: str) -> Iterator[Browser]:
    """The browser that the tests share."""
    launched = playwright.chromium.launch(executable_path=chromium, args=list(FLAGS))
    yield launched
    launched.close()


@pytest.fixture
def address(store: Store, desk: DiagnosisService, shop: Shop) -> Iterator[str]:
    """Where the app of this test listens: a real server on a free port."""
    assert shop.call  # the shop is furnished before anybody comes
    config = uvicorn.Config(
        create_app(store, desk), host="127.0.0.1", port=0, log_level="error", ws="none",
        lifespan="off",
    )  # fmt: skip
    server = uvicorn.Server(config)
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.01)
    port = server.servers[0].sockets[0].getsockname()[1]
    yield f"http://127.0.0.1:{port}"
    server.should_exit = True
    thread.join(10)


@pytest.fixture
def phone(browser: Browser, address: str, shop: Shop) -> Iterator[Phone]:
    """A phone in somebody's hand: `phone(script=False, person=shop.okafor, size=DESK, ...)`."""
    opened: list[BrowserContext] = []

    def take(
        *, script: bool = True, person: int | None = shop.amari, size: dict[str, int] = PHONE,
        scheme: str = "light", worker: bool = False,
    ) -> Page:  # fmt: skip
        # Requests that the worker answers do not pass the routes that tests put in the way.
        context = browser.new_context(
            service_workers="allow" if worker else "block",
            base_url=address, viewport=size, java_script_enabled=script,  # type: ignore[arg-type]
            color_scheme=scheme, reduced_motion="reduce",  # type: ignore[arg-type]
        )  # fmt: skip
        context.set_default_timeout(15_000)
        if person is not None:
            context.add_cookies([{"name": "person", "value": str(person), "url": address}])
        opened.append(context)
        return context.new_page()

    yield take
    for each in opened:
        each.close()
