"""A call that was taken along, worked while no server answers, and sent when one does again."""

from __future__ import annotations

import json
import re
import socket
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
import uvicorn
from playwright.sync_api import Browser, Locator, Page, expect
from tests.browser.conftest import PHONE
from tests.browser.test_nothing_lost import NONE_LEFT
from tests.web.mill_street import EXAMPLES, Shop
from tests.wide import WIDE, some

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


def found_out(page: Page, said: dict[str, str]) -> list[str]:
    """Work the call to its cause on the kept copy, with a photo and a page loaded anew between."""
    page.reload()
    expect(page.locator("#kept-copy")).to_be_visible()
    made = work(page, said, 4)
    add_photo(page)
    page.reload()
    made += work(page, said, 11)
    assert len(made) >= 6
    return made


@pytest.mark.parametrize("name", some(tuple(CALLS), "weak fan section"))
def test_a_call_is_worked_while_no_server_answers(
    name: str, page: Page, port: int, store: Store, desk: DiagnosisService, shop: Shop
) -> None:
    """The phone is loaded anew in between; all of it arrives once, under its name and time."""
    said = CALLS[name]
    with serving(store, desk, port):
        take_along(page, shop.call)
    made = found_out(page, said)
    phone = worked(page)
    expect(page.locator("#tray")).to_contain_text(f"{len(made) + 1} entries wait")
    with serving(store, desk, port):
        page.wait_for_function(NONE_LEFT, timeout=60_000)
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


def act(page: Page, tap: Callable[[], None]) -> None:
    """One tap on a page of the work, and wait until the phone has gone on."""
    before = page.locator("[data-now]").get_attribute("data-shown")
    tap()
    page.wait_for_function(
        "before => document.querySelector('[data-now]')?.dataset.shown !== before",
        arg=before, timeout=60_000,
    )  # fmt: skip


def opened(page: Page, path: str) -> Locator:
    """A page of the work as the phone shows it without a server."""
    page.goto(path)
    page.wait_for_selector("[data-now][data-shown]", timeout=60_000)
    return page.locator("[data-now]")


def lock_out(page: Page, call: int, hands: str) -> int:
    """Every card of a lock-out to its stamp; the first dead reading is live once."""
    now = opened(page, f"/calls/{call}/dead?hands={hands}")
    cards, live = 0, False
    while not now.locator(".stamp").count():
        quick = now.locator(".card button:has-text('Same again'), .card button[value='all below']")
        field = now.locator(".card input[name=typed]").first
        if quick.count() and quick.first.get_attribute("value") == "all below" and not live:
            live = True
            one = page.locator("#one-by-one")
            one.evaluate("each => { each.open = true; }")
            one.locator("input[name=typed]").first.fill("240")
            act(page, one.get_by_role("button", name="Save").first.click)
            expect(now.locator(".signal.DANGER").first).to_contain_text("240 V is not below")
            now.locator(".card input[name=typed]").fill("0")
            act(page, now.get_by_role("button", name="Save").click)
        elif quick.count():
            act(page, quick.first.click)
        elif field.count():
            proves = "Prove" in now.locator("h2").first.inner_text()
            field.fill("120" if proves else "0")
            act(page, now.get_by_role("button", name="Save").click)
        else:
            act(page, now.locator(".card button.go").first.click)
        cards += 1
        assert cards < 40
    expect(now.locator(".stamp")).to_contain_text("POWER OFF, VERIFIED")
    return cards


def put_in(page: Page, call: int, part: str) -> None:
    """The best of the van, its wires as found with one slip told and taken back, and as left."""
    now = opened(page, f"/calls/{call}/part?of={part}")
    act(page, now.locator("button[name=name]").first.click)
    expect(now.locator("#fitted")).to_contain_text("Installed")
    opened(page, f"/calls/{call}/wires?of={part}")
    act(page, now.locator(".terminals button:not(.meant)").first.click)
    expect(now.locator(".judged.wrong")).to_be_visible()
    act(page, now.get_by_role("button", name="Undo").click)
    act(page, now.get_by_role("button", name="All where the unit file has them").click)
    act(page, now.locator("form[action$='/move'] button").first.click)
    opened(page, f"/calls/{call}/wires?of={part}&step=left")
    act(page, now.get_by_role("button", name="All where the unit file has them").click)
    expect(now.locator(".stamp")).to_contain_text("WIRES CHECKED")


def good_figure(band: str) -> str:
    """A figure within what a check must read, as the card says it."""
    usual = band.rpartition("; ")[2]  # an upper limit stands before what is usual
    (first, unit), *more = re.findall(r"([\d.]+)\s*([mkM]?[VAΩF]|µF)?", usual)
    last = more[0][0] if more and " to " in usual else first
    unit = unit or next((each for _, each in more if each), "")
    share = 0.5 if usual.startswith(("under", "up to")) else 1.0
    middle = 0.5 * (float(first) + float(last)) * (1.2 if "more" in usual else share)
    return f"{middle:.4g} {unit}"


def prove(page: Page, call: int) -> dict[str, str]:
    """All of the test, each reading good; how each stands on the phone."""
    now = opened(page, f"/calls/{call}/proof")
    for _ in range(60):
        told = json.loads(now.get_attribute("data-tested") or "")
        if told["next"] in ("read", "refused", "some", "unknown"):
            break
        must = now.locator(".must")
        if now.locator("input[name=typed]").count():
            band = must.inner_text().replace("\xa0", " ")
            if band.startswith("OL"):
                act(page, now.get_by_role("button", name="OL", exact=True).click)
            else:
                now.locator("input[name=typed]").fill(good_figure(band))
                act(page, now.get_by_role("button", name="Save", exact=True).click)
        elif now.locator("button.go").count():
            act(page, now.locator("button.go").first.click)
        else:
            key = now.locator(f"button[name=typed][value='{must.inner_text()}']")
            act(page, key.click)
    assert told["next"] == "read", told
    expect(now.locator(".stamp")).to_contain_text("ALL READ")
    levels: dict[str, str] = told["levels"]
    return levels


PACKED = """async () => {
  let sum = 0;
  const along = await caches.open("rungwise-along");
  for (const each of await along.keys()) {
    const body = (await along.match(each)).body.pipeThrough(new CompressionStream("gzip"));
    sum += (await new Response(body).arrayBuffer()).byteLength;
  }
  return sum;
}"""
"""Bytes of all that was taken along, gzip."""

WORK = {
    "weak fan section": ("cabinet", "capacitor"),
    "open float switch": ("indoor", "transformer"),
}
"""Where the hands go, and the part that is put in."""


@pytest.mark.skipif(not WIDE, reason="every part of the unit is taken along: RUNGWISE_WIDE=1")
@pytest.mark.parametrize("name", CALLS)
def test_a_call_is_worked_whole_while_no_server_answers(
    name: str, page: Page, port: int, store: Store, desk: DiagnosisService, shop: Shop
) -> None:
    """From the first symptom to the signature, the phone loaded anew in between.

    All of it arrives once, under its name and time; every verdict is the server's.
    """
    said, (hands, part) = CALLS[name], WORK[name]
    call = shop.call
    with store.writing(shop.amari) as book:
        book.persons.leave(shop.amari, "stock", (EXAMPLES / "van-stock.toml").read_text())
    with serving(store, desk, port):
        take_along(page, call)
        done = page.locator("#along button:not([disabled])")
        expect(done).to_be_visible(timeout=600_000)
        assert page.evaluate(PACKED) < 2_000_000
    made = found_out(page, said)
    phone = worked(page)
    lock_out(page, call, hands)
    put_in(page, call, part)
    page.reload()
    levels = prove(page, call)
    opened(page, f"/calls/{call}/sign-off")
    page.locator("[name=received_by]").fill("E. Finch")
    act(page, page.get_by_role("button", name="Sign and close the call").click)
    expect(page.locator("[data-now]")).to_contain_text("Signed on this phone")
    with serving(store, desk, port):
        page.wait_for_function(NONE_LEFT, timeout=180_000)
        with store.reading() as book:
            rows = [*book.symptoms.history(call), *book.readings.history(call)]
            every = [*rows, *book.steps.history(call), *book.proofs.history(call)]
            photos = book.photos.of_call(call)
            assert [row.part for row in book.fitted.standing(call)] == [part]
            assert len(book.sign_offs.history(call)) == 1
        told = {each: page.request.get(f"/calls/{call}{each}.json").json() for each in PAGES}
    assert len(rows) == len(made)
    assert [photo.person_id for photo in photos] == [shop.amari]
    assert {row.person_id for row in every} == {shop.amari}
    assert all(row.kept_at is not None and row.at < row.kept_at for row in every)
    verdict = told[""]["diagnosis"]["verdict"]
    assert verdict["kind"] == phone["kind"]
    assert verdict["answer"]["repair"] == phone["repair"]
    assert verdict["probability"] == pytest.approx(phone["probability"], abs=0.01)
    assert told["/dead"]["hands"] == hands
    assert (told["/dead"]["proof"]["open"], told["/dead"]["proof"]["not_so"]) == ([], [])
    assert told["/wires"]["left_passes"]
    proofs = {each["check"]: each["good"] for each in told["/proof"]["readings"]}
    assert proofs == {check: level in ("good", "caution") for check, level in levels.items()}
    assert told["/sign-off"]["state"] == "closed"


PAGES = ("", "/dead", "/wires", "/proof", "/sign-off")


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
