"""Web vitals of the main pages on a slow phone with little signal, written into the docs.

    .venv/bin/python tools/measure_vitals.py docs/app.md [--cpu 4] [--runs 3]

A processor four times slower, and "Slow 3G" as Chrome's developer tools had it: 400 kbit/s each
way and 2 s from each request to its answer. First visit: nothing of the app is on the phone;
later: its files are in the browser's cache. The service worker is left out, since a plain
connection has none. LCP, CLS and the longest answer to a touch as the browser itself reports
them, each the middle one of the runs; bytes as they come over the air. The table goes between the
two marks in the file; with FILE `-` it is printed. Needs Debian's chromium.
"""

from __future__ import annotations

import argparse
import re
import shutil
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from statistics import median
from typing import Any

from count_taps import served
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright
from tests.browser.conftest import FLAGS, PHONE
from tests.web.mill_street import UNIT_TOML

from rungwise.services import DiagnosisService, unit_from_text

SLOW = {
    "offline": False, "latency": 2000.0,
    "downloadThroughput": 50_000.0, "uploadThroughput": 50_000.0,
}  # fmt: skip
"""Milliseconds, and bytes a second."""

PAGES = {
    "day": ("/day", "#settings > summary"),
    "call card": ("/calls/1", "section.check .answers .key"),
    "lock out": ("/calls/1/dead?hands=cabinet", ".card .entry .key.go"),
    "wires": ("/calls/1/wires?of=contactor", ".card .entry .key"),
}
"""Path of each page, and what is touched on it."""

WATCH = """window.vitals = {lcp: 0, cls: 0, touch: 0};
new PerformanceObserver(list => { for (const each of list.getEntries())
  vitals.lcp = Math.max(vitals.lcp, each.startTime) })
  .observe({type: 'largest-contentful-paint', buffered: true});
new PerformanceObserver(list => { for (const each of list.getEntries())
  if (!each.hadRecentInput) vitals.cls += each.value })
  .observe({type: 'layout-shift', buffered: true});
new PerformanceObserver(list => { for (const each of list.getEntries())
  if (each.interactionId) vitals.touch = Math.max(vitals.touch, each.duration) })
  .observe({type: 'event', buffered: true, durationThreshold: 16})"""

MARKS = re.compile(r"(<!-- measured: tools/measure_vitals\.py -->\n).*?(<!-- end -->)", re.DOTALL)


@dataclass(frozen=True)
class Visit:
    """What one visit of a page came to: ms, shift, ms, bytes, requests."""

    lcp: float
    cls: float
    touch: float
    size: int
    requests: int


def main(told: argparse.Namespace) -> None:
    """Measure every page and write the table."""
    desk = DiagnosisService()
    desk.table(unit_from_text(UNIT_TOML))
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as play:
        browser = play.chromium.launch(executable_path=shutil.which("chromium"), args=list(FLAGS))
        with served(Path(folder), UNIT_TOML, desk) as server:
            _begin(browser, server.address)
            rows = list(_rows(browser, server.address, told.cpu, told.runs))
        browser.close()
    desk.close()
    head = ("page", "visit", "LCP, s", "CLS", "longest answer to a touch, ms", "KB", "requests")
    table = "\n".join((f"| {' | '.join(head)} |", "|---" * len(head) + "|", *rows))
    if told.file == "-":
        print(table)
        return
    path = Path(told.file)
    text = path.read_text(encoding="utf-8")
    if not MARKS.search(text):
        sys.exit(f"{path} has no marks for the table")
    path.write_text(MARKS.sub(rf"\g<1>\n{table}\n\n\g<2>", text), encoding="utf-8")


def _begin(browser: Browser, address: str) -> None:
    """A call, and every page of it once, so that the server has worked out what it needs."""
    page = _phone(browser, address).new_page()
    page.goto("/new-call")
    page.locator("button[name=unit]").first.click()
    page.wait_for_url("**/calls/1*")
    for path, _ in PAGES.values():
        page.goto(path, timeout=120_000)
    page.context.close()


def _rows(browser: Browser, address: str, cpu: float, runs: int) -> Iterator[str]:
    for name, (path, key) in PAGES.items():
        found: dict[str, list[Visit]] = {"first": [], "later": []}
        for _ in range(runs):
            context = _phone(browser, address)
            context.add_init_script(WATCH)
            for when, seen in found.items():
                seen.append(_visited(context, path, key, cpu))
                print(name, when, seen[-1], file=sys.stderr)
            context.close()
        for when, seen in found.items():
            middle = [median(getattr(each, field) for each in seen) for field in FIELDS]
            lcp, cls, touch, size, requests = middle
            yield (
                f"| {name} | {when} | {lcp / 1000:.1f} | {cls:.3f} | {touch:.0f} |"
                f" {size / 1000:.0f} | {requests:.0f} |"
            )


FIELDS = ("lcp", "cls", "touch", "size", "requests")


def _phone(browser: Browser, address: str) -> BrowserContext:
    context = browser.new_context(
        base_url=address, viewport=PHONE, has_touch=True, reduced_motion="reduce",  # type: ignore[arg-type]
        device_scale_factor=2, service_workers="block",
    )  # fmt: skip
    context.add_cookies([{"name": "person", "value": "1", "url": address}])
    context.set_default_timeout(240_000)
    return context


def _visited(context: BrowserContext, path: str, key: str, cpu: float) -> Visit:
    """Open the page on the slow phone, touch it once, and say what it came to."""
    page = context.new_page()
    session = context.new_cdp_session(page)
    sizes: list[float] = []

    def came(told: dict[str, Any]) -> None:
        sizes.append(told["encodedDataLength"])

    session.on("Network.loadingFinished", came)
    session.send("Network.enable")
    session.send("Network.emulateNetworkConditions", SLOW)
    session.send("Emulation.setCPUThrottlingRate", {"rate": cpu})
    page.goto(path, wait_until="load")
    page.wait_for_timeout(1500)
    size, asked = sum(sizes), len([each for each in sizes if each])
    _touched(page, key)
    told = page.evaluate(
        "localStorage.clear(); vitals"
    )  # what was not sent waits for no later visit
    page.close()
    return Visit(told["lcp"], told["cls"], told["touch"], int(size), asked)


def _touched(page: Page, key: str) -> None:
    """Touch a key and wait for the next picture; what it sends is not waited for."""
    page.route(
        "**/*", lambda route: route.abort() if route.request.method == "POST" else route.fallback()
    )
    page.locator(key).first.tap(no_wait_after=True)
    page.wait_for_timeout(1500)


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("file", help="whose table is replaced; - prints it")
    parser.add_argument("--cpu", type=float, default=4.0, help="times slower")
    parser.add_argument("--runs", type=int, default=3)
    main(parser.parse_args())
