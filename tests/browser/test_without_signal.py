"""A call that was taken along, worked while no server answers, and sent when one does again."""

from __future__ import annotations

import json
import socket
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
import uvicorn
from playwright.sync_api import Browser, Page, expect
from tests.browser.conftest import PHONE
from tests.web.mill_street import Shop

from rungwise.records import Store
from rungwise.services import DiagnosisService
from rungwise.web import create_app

PHOTO = Path(__file__).parents[1] / "web" / "contactor.png"

CALLS: dict[str, dict[str, str]] = {
    "weak fan section": {
        "look-compressor": "runs, then trips", "look-fan": "not turning",
        "look-blower": "turning", "look-idle": "stops", "look-plunger": "yes",
        "uf-capacitor-FAN-C": "2.1", "look-fan-by-hand": "free",
    },
    "open float switch": {
        "look-compressor": "silent", "look-fan": "not turning", "look-blower": "turning",
        "look-idle": "stops", "look-plunger": "no", "volts-coil": "0", "ohms-coil": "10.1",
        "ohms-y_splice-C": "10.5", "ohms-board-Y-C": "OL", "ohms-float_switch-1-2": "OL",
    },
}  # fmt: skip
"""What is answered to each check, if it is asked; to all others that it cannot be reached."""


@contextmanager
def serving(store: Store, desk: DiagnosisService, port: int) -> Iterator[None]:
    """The app on a port, until the end of the block; then nobody answers there."""
    config = uvicorn.Config(
        create_app(store, desk), host="127.0.0.1", port=port, log_level="error", ws="none",
        lifespan="off", timeout_graceful_shutdown=1,
    )  # fmt: skip
    server = uvicorn.Server(config)
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.01)
    yield
    server.should_exit = True
    thread.join(10)


@pytest.fixture
def port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        found: int = probe.getsockname()[1]
        return found


@pytest.fixture
def page(browser: Browser, port: int, shop: Shop) -> Iterator[Page]:
    """A phone with a worker, in Amari's hand."""
    where = f"http://127.0.0.1:{port}"
    context = browser.new_context(base_url=where, viewport=PHONE, reduced_motion="reduce")  # type: ignore[arg-type]
    context.add_cookies([{"name": "person", "value": str(shop.amari), "url": where}])
    yield context.new_page()
    context.close()


def take_along(page: Page, call: int) -> None:
    page.goto(f"/calls/{call}")
    page.wait_for_function("() => navigator.serviceWorker.controller !== null")
    page.get_by_role("button", name="Take along").click()
    expect(page.locator("#along")).to_contain_text("On this phone since", timeout=300_000)


def worked(page: Page) -> dict[str, Any]:
    """What the phone made of the call, as it stands on the page."""
    told = page.locator("[data-worked]").get_attribute("data-worked", timeout=30_000)
    found: dict[str, Any] = json.loads(told or "")
    return found


def answer(page: Page, check: str, said: str | None) -> None:
    """Answer the check on the card as a thumb would."""
    before = page.locator("[data-worked]").get_attribute("data-worked")
    card = page.locator("section.card.check")
    if said is None:
        card.locator("button", has_text="Can't reach").or_(
            card.locator("button[name=typed][value='-']")
        ).first.click()
    elif said == "OL":
        card.get_by_role("button", name="OL", exact=True).click()
    elif card.locator("input[name=typed]").count():
        card.locator("input[name=typed]").fill(said)
        card.get_by_role("button", name="Save").click()
    else:
        card.locator(f"button[name=typed][value='{said}']").click()
    page.wait_for_function(
        "before => document.querySelector('[data-worked]')?.dataset.worked !== before",
        arg=before, timeout=30_000,
    )  # fmt: skip
    assert worked(page)["asked"] != check


def work(page: Page, said: dict[str, str], most: int) -> list[str]:
    """Answer what is asked until a cause is named, at most so many; the checks that were made."""
    made: list[str] = []
    while len(made) < most and (check := worked(page)["asked"]):
        answer(page, check, said.get(check))
        made.append(check)
    return made


def add_photo(page: Page) -> None:
    """Put a photo into the form on the call's page, as the camera would."""
    page.locator("#photos > summary").click()
    page.locator("#add-photo > summary").click()
    page.locator("#add-photo input[type=file]").set_input_files(PHOTO)
    page.locator("#add-photo form button.go").click()
    expect(page.locator("#tray")).to_contain_text("photo")


@pytest.mark.parametrize("name", CALLS)
def test_a_call_is_worked_while_no_server_answers(
    name: str, page: Page, port: int, store: Store, desk: DiagnosisService, shop: Shop
) -> None:
    """The phone is loaded anew in between; all of it arrives once, under its name and time."""
    said = CALLS[name]
    with serving(store, desk, port):
        take_along(page, shop.call)
    page.reload()
    expect(page.locator("#kept-copy")).to_be_visible()
    made = work(page, said, 4)
    add_photo(page)
    page.reload()
    made += work(page, said, 11)
    assert len(made) >= 6
    phone = worked(page)
    expect(page.locator("#tray")).to_contain_text(f"{len(made) + 1} entries wait")
    with serving(store, desk, port):
        expect(page.locator("#tray")).to_be_hidden(timeout=60_000)
        with store.reading() as book:
            rows = [*book.symptoms.history(shop.call), *book.readings.history(shop.call)]
            photos = book.photos.of_call(shop.call)
        verdict = page.request.get(f"/calls/{shop.call}.json").json()["diagnosis"]["verdict"]
    assert len(rows) == len(made)
    assert [photo.person_id for photo in photos] == [shop.amari]
    assert {row.person_id for row in rows} == {shop.amari}
    assert all(row.kept_at is not None and row.at < row.kept_at for row in rows)
    assert verdict["kind"] == phone["kind"]
    assert verdict["answer"]["repair"] == phone["repair"]
    assert verdict["probability"] == pytest.approx(phone["probability"], abs=0.01)


def test_a_key_that_needs_signal_says_so(
    page: Page, port: int, store: Store, desk: DiagnosisService, shop: Shop
) -> None:
    with serving(store, desk, port):
        take_along(page, shop.call)
    page.goto(f"/calls/{shop.call}")
    key = page.locator("#about form[action$='/state']:not([data-swap]) button").first
    expect(key).to_contain_text("needs signal")
    expect(page.locator("section.card.check .needs-signal")).to_have_count(0)
    page.goto(f"/calls/{shop.call}/dead")
    expect(page.locator("#kept-copy")).to_be_visible()
    expect(page.locator("form[data-swap] .needs-signal")).to_have_count(0)
