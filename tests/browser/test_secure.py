"""A phone that trusts the shop's authority has a secure connection, and works without signal."""

from __future__ import annotations

import os
import subprocess
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
import uvicorn
from playwright.sync_api import BrowserContext, Error, Playwright, expect
from starlette.types import ASGIApp
from tests.browser.conftest import FLAGS, PHONE
from tests.web.mill_street import Shop

from rungwise.records import Store
from rungwise.services import DiagnosisService
from rungwise.web import Authority, Door, Secure, create_app
from rungwise.web.deps import AppState

Opened = Callable[[], BrowserContext]


def started(
    app: ASGIApp, certificate: Path | None = None, key: Path | None = None
) -> tuple[uvicorn.Server, int]:
    config = uvicorn.Config(
        app, host="127.0.0.1", port=0, log_level="error", ws="none", lifespan="off",
        ssl_certfile=certificate, ssl_keyfile=key,
    )  # fmt: skip
    server = uvicorn.Server(config)
    threading.Thread(target=server.run, daemon=True).start()
    while not server.started:
        time.sleep(0.01)
    return server, server.servers[0].sockets[0].getsockname()[1]


@pytest.fixture
def authority(tmp_path: Path) -> Authority:
    return Authority.of(tmp_path / "authority")


@pytest.fixture
def served(
    store: Store, desk: DiagnosisService, shop: Shop, authority: Authority
) -> Iterator[Secure]:
    """The app over HTTPS, and its plain door."""
    assert shop.call
    app = create_app(store, desk)
    certificate, key = authority.server_files(["127.0.0.1"])
    inside, port = started(app, certificate, key)
    where = f"https://127.0.0.1:{port}/"
    trust = Secure(authority.der, authority.fingerprint, "http://127.0.0.1/", where)
    door, beside = started(Door(trust, app))
    trust = Secure(trust.der, trust.fingerprint, f"http://127.0.0.1:{beside}/", where)
    app.state.house = AppState(store, desk, trust)
    yield trust
    inside.should_exit = door.should_exit = True


def trusting(home: Path, authority: Authority) -> None:
    """Put the authority among those that this user's browser trusts, as a person would."""
    folder = home / ".pki" / "nssdb"
    folder.mkdir(parents=True)
    base = ["certutil", "-d", f"sql:{folder}"]
    subprocess.run([*base, "-N", "--empty-password"], check=True)
    told = ["-A", "-t", "C,,", "-n", "shop", "-i", str(authority.folder / "authority.crt")]
    subprocess.run([*base, *told], check=True)


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """The home of a browser of its own, that trusts nobody but the usual."""
    made = tmp_path / "home"
    made.mkdir()
    return made


@pytest.fixture
def opened(home: Path, playwright: Playwright, chromium: str) -> Iterator[Opened]:
    """Starts a browser in that home, which reads at its start whom it trusts."""
    started_here: list[BrowserContext] = []

    def start() -> BrowserContext:
        context = playwright.chromium.launch_persistent_context(
            home / "profile", executable_path=chromium, args=list(FLAGS),
            env={**os.environ, "HOME": str(home)}, viewport=PHONE,  # type: ignore[arg-type]
        )  # fmt: skip
        started_here.append(context)
        return context

    yield start
    for each in started_here:
        each.close()


KEPT = """async () => {
  for (let tries = 0; tries < 200 && !(await caches.match(location.href)); tries += 1)
    await new Promise((done) => setTimeout(done, 50));
}"""
"""Until the worker has put this page away, which it does after the page is there."""


def test_a_browser_that_does_not_trust_the_authority_is_turned_away(
    served: Secure, opened: Opened
) -> None:
    with pytest.raises(Error, match="ERR_CERT_AUTHORITY_INVALID"):
        opened().new_page().goto(served.address)


def test_a_phone_that_trusts_the_authority_keeps_pages(
    served: Secure, home: Path, opened: Opened, authority: Authority, shop: Shop
) -> None:
    """The plain door tells how; over the secure connection the worker comes, and pages stay."""
    trusting(home, authority)
    context = opened()
    page = context.new_page()
    page.goto(served.door)
    expect(page.locator(".fingerprint")).to_have_text(authority.fingerprint)
    page.get_by_role("link", name="Continue over the secure connection").click()
    page.wait_for_url(f"{served.address}phone")
    expect(page.locator("[data-state=secure]")).to_have_attribute("data-is", "yes")
    expect(page.locator("[data-state=worker]")).to_have_attribute("data-is", "yes")
    page.goto(f"{served.address}calls/{shop.call}")
    title = page.locator("h1").first.text_content() or ""
    page.evaluate(KEPT)
    context.set_offline(True)
    page.reload()
    expect(page.locator("h1").first).to_have_text(title)
    expect(page.locator("#kept-copy")).to_be_visible()
    page.goto(f"{served.address}units")
    expect(page.locator("h1")).to_have_text("No signal")


def test_over_plain_http_the_page_says_what_is_missing(
    served: Secure, playwright: Playwright, chromium: str
) -> None:
    """The door's own address stands for any machine's: only loopback names count as secure."""
    plain = served.door.replace("127.0.0.1", "shop.local")
    rules = "--host-resolver-rules=MAP shop.local 127.0.0.1"
    browser = playwright.chromium.launch(executable_path=chromium, args=[*FLAGS, rules])
    try:
        page = browser.new_page()
        page.goto(f"{plain}phone")
        state = page.locator("[data-state=secure]")
        expect(state).to_have_attribute("data-is", "no")
        expect(state).to_contain_text("Do step 1")
    finally:
        browser.close()
