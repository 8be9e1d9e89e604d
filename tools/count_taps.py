"""Work calls tap by tap in a browser, count what each costs, and write the figures into the docs.

    .venv/bin/python tools/count_taps.py docs/app.md

Counted from the day's list to the named cause on a screen of 390 by 844, every digit a tap of its
own on the keys of the card. The units are demo units, each with a fault that only its simulated
meter knows. The table goes between the two marks in the file. Needs Debian's chromium.
"""

from __future__ import annotations

import re
import shutil
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import uvicorn
from playwright.sync_api import Browser, sync_playwright

sys.path.insert(0, str(Path(__file__).parent.parent))

from tests.browser.conftest import FLAGS, PHONE
from tests.browser.hidden_fault import Cabinet
from tests.browser.walker import Count, begin, walk
from tests.web.mill_street import EXAMPLES

from rungwise.records import Store
from rungwise.services import DiagnosisService, unit_from_text
from rungwise.web.app import create_app

CALLS = (
    ("unit-01-mill-street", "low_pressure.open"),
    ("unit-01-mill-street", "float_switch.open"),
    ("unit-01-mill-street", "capacitor.fan_weak"),
    ("unit-01-mill-street", "contactor.welded"),
    ("unit-02-orchard-lane", "contactor.coil_open"),
)
"""Demo unit and hidden fault of each call."""

HEAD = "| call | readings | taps | typed characters | screens scrolled | highest page, screens |"
MARKS = re.compile(r"(<!-- counted: tools/count_taps\.py -->\n).*?(<!-- end -->)", re.DOTALL)


def main(path: Path) -> None:
    """Work every call and write the table."""
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as play:
        browser = play.chromium.launch(executable_path=shutil.which("chromium"), args=list(FLAGS))
        rows = [worked(browser, Path(folder), unit, fault) for unit, fault in CALLS]
        browser.close()
    table = "\n".join((HEAD, "|---" * 6 + "|", *rows))
    text = path.read_text(encoding="utf-8")
    if not MARKS.search(text):
        sys.exit(f"{path} has no marks for the table")
    path.write_text(MARKS.sub(rf"\g<1>{table}\n\g<2>", text), encoding="utf-8")


def worked(browser: Browser, folder: Path, unit: str, fault: str) -> str:
    """One call, as a row of the table."""
    toml = (EXAMPLES / f"{unit}.toml").read_text(encoding="utf-8")
    cabinet, count = Cabinet(fault, unit=toml), Count()
    with served(folder, toml) as address:
        context = browser.new_context(
            base_url=address, viewport=PHONE, has_touch=True,  # type: ignore[arg-type]
            reduced_motion="reduce",
        )  # fmt: skip
        page = context.new_page()
        begin(page, count, "The unit")
        walk(page, cabinet, count)
        cause = page.locator("#cause").inner_text()
        page.close()
    highest = max(each.screens for each in count.seen)
    told = f"{unit_from_text(toml).title}: {cabinet.title}"
    print(f"{told} -> {cause}")
    figures = (f"{count.readings}", f"{count.taps}", f"{count.typed}", f"{count.scrolled:.1f}")
    return f"| {told} | {' | '.join(figures)} | {highest:.1f} |"


@contextmanager
def served(folder: Path, toml: str) -> Iterator[str]:
    """The app with one unit in its records, solved; its address."""
    store = Store.open(f"sqlite:///{folder / f'{time.monotonic_ns()}.sqlite'}")
    with store.writing() as book:
        book.shop.name_it("Hollow Cooling", zone="America/Chicago")
        book.units.add("The unit", toml=toml)
    desk = DiagnosisService()
    desk.table(unit_from_text(toml))
    config = uvicorn.Config(create_app(store, desk), port=0, log_level="error", ws="none")
    server = uvicorn.Server(config)
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.01)
    yield f"http://127.0.0.1:{server.servers[0].sockets[0].getsockname()[1]}"
    server.should_exit = True
    thread.join(10)
    desk.close()
    store.close()


if __name__ == "__main__":
    main(Path(sys.argv[1]))
