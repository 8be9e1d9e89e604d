"""Take the pictures of the app for the docs: its main pages, with the demo shop in them.

    .venv/bin/python tools/make_app_pictures.py FOLDER [docs/app.md]

With a second file the list of pages, how long each is and where its first key stands on a phone,
goes between the two marks in it, beside what it was in the first release. The shop's clock stands
still, so that the same code takes the same pictures. Solved units are taken from the user's cache,
or solved first, which takes minutes. Needs Debian's chromium.
"""

from __future__ import annotations

import contextlib
import datetime as dt
import io
import re
import shutil
import sys
import tempfile
import threading
import time
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import cast

import httpx
import make_demo_shop
import uvicorn
from PIL import Image
from playwright.sync_api import Browser, Page, sync_playwright

from rungwise.evaluation.worked_call import free_symptoms
from rungwise.records import Store
from rungwise.services import DiagnosisService, unit_from_text
from rungwise.web.app import create_app
from rungwise.web.pages.practice.context import opened, practised

TODAY = dt.date(2026, 7, 6)
NOW = dt.datetime(2026, 7, 6, 14, 40, tzinfo=dt.UTC)
"""Half an hour into the first call of that day, by the shop's clock."""

HIDDEN = "capacitor.herm_weak"
READ = ("volts-coil", "uf-capacitor-HERM-C")
"""The fault of the practice calls, and the checks made on them; on the one that runs, the first."""

BEFORE = {
    "call": ("8.4", "1385 to 2302"),
    "dead": ("12.0", "2452"),
    "part": ("6.6", "1262"),
    "wires": ("9.6 to 12.7", "1330; moves 4959"),
    "proof": ("8.6 to 9.1", "4589"),
    "sign-off": ("4.0 to 5.6", "3893"),
    "nameplate": ("4.7", "at the end"),
    "unit": ("9.2", ""),
    "ahead": ("5.8", ""),
    "unit-ahead": ("6.3", ""),
}
"""Screens high and the top of the first working control in px, as measured on release 0.1."""

PLACED = """() => {
  const keys = [...document.querySelectorAll('main :is(.key, .window input, summary, a.row)')]
    .filter(each => each.checkVisibility() && !each.disabled);
  const way = document.querySelector('.strip').getBoundingClientRect();
  const first = document.querySelector('.card .entry') ?? keys[0];
  const box = first.getBoundingClientRect();
  return [document.documentElement.scrollHeight / innerHeight, box.top,
    box.top >= 0 && box.bottom <= way.top + 1] }"""
"""Screens high, where the keys of the card or else the first key begins, and whether in sight."""

MARKS = re.compile(r"(<!-- listed: tools/make_app_pictures\.py -->\n).*?(<!-- end -->)", re.DOTALL)

PATIENCE_MS = 600_000.0
MOST_BYTES = 120_000
COLOURS = (256, 128, 64, 32)

FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-sync",
         "--disable-background-networking", "--disable-component-update"]  # fmt: skip


@dataclass(frozen=True)
class Shot:
    """One picture. path: {call} and {unit} stand for their numbers. at: scrolled to, in view."""

    name: str
    path: str
    scheme: str = "light"
    width: int = 390
    height: int = 844
    at: str = ""


SHOTS = (
    Shot("day", "/day"),
    Shot("day-dark", "/day", "dark"),
    Shot("call", "/calls/{call}"),
    Shot("call-dark", "/calls/{call}", "dark"),
    Shot("call-sun", "/calls/{call}", "sun"),
    Shot("call-leads", "/calls/{call}/picture?check=volts-contactor-T1-T2"),
    Shot("call-suspects", "/calls/{call}?open=suspects", at="#suspects"),
    Shot("call-desk", "/calls/{call}?check=volts-contactor-T1-T2", width=1280, height=800),
    Shot("call-desk-dark", "/calls/{call}", "dark", width=1280, height=800),
    Shot("unit", "/units/{unit}"),
    Shot("unit-desk", "/units/{unit}", width=1280, height=900),
    Shot("unit-desk-dark", "/units/{unit}", "dark", width=1280, height=900),
    Shot("new-unit", "/new-unit"),
    Shot("nameplate", "/units/{unit}/plate"),
    Shot("dead", "/calls/{call}/dead", at="#now"),
    Shot("dead-desk-dark", "/calls/{call}/dead", "dark", width=1280, height=900),
    Shot("part", "/calls/{call}/part?of=contactor"),
    Shot("wires", "/calls/{call}/wires?of=contactor"),
    Shot("lost-wires", "/calls/{call}/lost?of=contactor"),
    Shot("proof", "/calls/{call}/proof"),
    Shot("sign-off", "/calls/{call}/sign-off"),
    Shot("practice", "/practice"),
    Shot("practice-call", "/practice/{practice}", at="#check"),
    Shot("practice-score", "/practice/{ended}/score"),
    Shot("ahead", "/ahead?wait=60"),
    Shot("ahead-desk-dark", "/ahead?wait=60", "dark", width=1280, height=900),
    Shot("unit-ahead", "/units/3/ahead?wait=60", at="#parts"),
)


def main(folder: Path, listed: Path | None = None) -> None:
    """Take every picture. listed: the file that gets the list of pages."""
    rows = []
    with tempfile.TemporaryDirectory() as made, contextlib.ExitStack() as held:
        database = f"sqlite:///{Path(made) / 'shop.sqlite'}"
        make_demo_shop.main(database, TODAY)
        store = Store.open(database, now=lambda: NOW)
        held.callback(store.close)
        desk = DiagnosisService()
        held.callback(desk.close)
        numbers = _numbers(store, desk)
        address = held.enter_context(_served(store, desk))
        numbers |= _practice(store, address, numbers)
        play = held.enter_context(sync_playwright())
        browser = play.chromium.launch(executable_path=shutil.which("chromium"), args=FLAGS)
        for shot in SHOTS:
            file = folder / f"app-{shot.name}.png"
            picture, row = taken(browser, address, shot, numbers)
            rows += [row] if row else []
            file.write_bytes(small(picture))
            print(f"{file}: {file.stat().st_size} bytes")
        browser.close()
    if listed:
        head = "| page | screens before | first key before, px | screens now | first key now |"
        table = "\n".join(("", head, "|---" * 5 + "|", *rows, ""))
        text = listed.read_text(encoding="utf-8")
        listed.write_text(MARKS.sub(rf"\g<1>{table}\n\g<2>", text), encoding="utf-8")


def _numbers(store: Store, desk: DiagnosisService) -> dict[str, int]:
    """The call in the pictures, its unit and who works on it, once that unit is solved."""
    with store.reading() as book:
        call = min(book.calls.of_day(TODAY), key=lambda each: each.id)
        unit = book.units.get(call.unit_id or 0)
        desk.table(unit_from_text(unit.toml))
        return {"call": call.id, "unit": unit.id, "person": call.technician_id or 0}


def _practice(store: Store, address: str, numbers: dict[str, int]) -> dict[str, int]:
    """A practice call that runs, with the next check on its card, and one that has ended."""
    running, ended = (_hidden(store, numbers) for _ in range(2))
    with httpx.Client(base_url=address, timeout=PATIENCE_MS / 1000) as client:
        client.cookies.set("person", str(numbers["person"]))
        for number, checks in ((running, READ[:1]), (ended, READ)):
            for check in checks:
                client.post(f"/practice/{number}/readings", data={"check": check})
        client.post(f"/practice/{running}/help")
        named = {"part": HIDDEN.partition(".")[0]}
        client.post(f"/practice/{ended}/name", data=named)
    return {"practice": running, "ended": ended}


def _hidden(store: Store, numbers: dict[str, int]) -> int:
    """A practice call on the unit of the pictures, always with the same fault; its number."""
    with store.writing(numbers["person"]) as book:
        unit = book.units.get(numbers["unit"])
        number = opened(
            book, person_id=numbers["person"], title=unit.title, text=unit.toml, level="any",
            fault=HIDDEN, seed=7,
        )  # fmt: skip
        call = practised(book, number)
        cards = call.unmeasured.by_id.values()
        for check in free_symptoms(call.unit, cards):
            seen = str(call.hidden.take(check))
            book.symptoms.take(number, check, seen, value=seen)
    return number


@contextlib.contextmanager
def _served(store: Store, desk: DiagnosisService) -> Iterator[str]:
    """The app on a free port; its address."""
    config = uvicorn.Config(create_app(store, desk), port=0, log_level="error", ws="none")
    server = uvicorn.Server(config)
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.01)
    yield f"http://127.0.0.1:{server.servers[0].sockets[0].getsockname()[1]}"
    server.should_exit = True
    thread.join(10)


def taken(browser: Browser, address: str, shot: Shot, numbers: dict[str, int]) -> tuple[bytes, str]:
    """The picture as the browser takes it, twice as fine on a phone; its line in the list."""
    context = browser.new_context(
        base_url=address, viewport={"width": shot.width, "height": shot.height},
        color_scheme="dark" if shot.scheme == "dark" else "light", reduced_motion="reduce",
        device_scale_factor=2 if shot.width < 600 else 1,
    )  # fmt: skip
    light = {"dark": "night", "light": "auto"}.get(shot.scheme, shot.scheme)
    told = {"person": str(numbers["person"]), "light": light}
    context.add_cookies([{"name": n, "value": v, "url": address} for n, v in told.items()])
    page = context.new_page()
    page.goto("/phone", timeout=PATIENCE_MS)  # the letters that ship are there from now on
    page.evaluate("document.fonts.ready")
    answer = page.goto(shot.path.format(**numbers), wait_until="networkidle", timeout=PATIENCE_MS)
    if answer is None or not answer.ok:
        sys.exit(f"{shot.path} cannot be shown")
    row = _row(page, shot) if shot.width < 600 and shot.scheme == "light" else ""
    if shot.at:
        page.locator(shot.at).evaluate("each => each.scrollIntoView()")
    picture = page.screenshot(animations="disabled")
    context.close()
    return picture, row


def _row(page: Page, shot: Shot) -> str:
    screens, top, seen = page.evaluate(PLACED)
    before = BEFORE.get(shot.name, ("", ""))
    where = f"{top:.0f} px" if seen else f"{top:.0f} px, below the first screen"
    return f"| {shot.name} | {before[0]} | {before[1]} | {screens:.1f} | {where} |"


def small(picture: bytes) -> bytes:
    """The same picture in its commonest colours, which stay exact; as many as a small file takes.

    A palette that is chosen by mixing would tint the grounds of the page.
    """
    whole = Image.open(io.BytesIO(picture)).convert("RGB")
    pixels = cast("tuple[tuple[int, int, int], ...]", whole.get_flattened_data())
    counted = Counter(pixels).most_common(max(COLOURS))
    for most in COLOURS:
        palette = Image.new("P", (1, 1))
        palette.putpalette([part for colour, _ in counted[:most] for part in colour])
        file = io.BytesIO()
        drawn = whole.quantize(palette=palette, dither=Image.Dither.NONE)
        drawn.save(file, "PNG", optimize=True)
        if file.tell() < MOST_BYTES:
            break
    return file.getvalue()


if __name__ == "__main__":
    main(*map(Path, sys.argv[1:3]))
