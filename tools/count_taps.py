"""Work whole calls tap by tap in a browser, count what each costs, and write it into the docs.

    .venv/bin/python tools/count_taps.py docs/app.md [--modes script,spanish] [--calls 1,2]

Each call goes from the day's list to the signed report on a screen of 390 by 844, every digit a
tap of its own on the keys of the card. The units are demo units, each with a fault that only its
simulated meter knows. In every state of every page it is held where the next control stands, how
high the page is, whether a caution lies half under the keys, and what moved. The tables go between
the two marks in the file; with FILE `-` they are printed. Needs Debian's chromium.
"""

from __future__ import annotations

import argparse
import json
import re
import shutil
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import asdict, dataclass
from functools import partial
from pathlib import Path
from typing import Any

import uvicorn
from playwright.sync_api import Browser, Page, sync_playwright
from playwright.sync_api import Error as PlaywrightError

sys.path.insert(0, str(Path(__file__).parent.parent))

from away_call import AwayWalk
from tests.browser.conftest import FLAGS, PHONE
from tests.browser.hidden_fault import Cabinet
from tests.web.mill_street import EXAMPLES
from whole_call import State, Walk

from rungwise.faults import HEALTHY
from rungwise.records import Store
from rungwise.services import DiagnosisService, unit_from_text
from rungwise.web.app import create_app

CALLS = (
    ("unit-01-mill-street", "low_pressure.open"),
    ("unit-01-mill-street", "fan.seized"),
    ("unit-01-mill-street", "capacitor.fan_weak"),
    ("unit-01-mill-street", "contactor.welded"),
    ("unit-02-orchard-lane", "contactor.coil_open"),
)
"""Demo unit and hidden fault of each call; the second takes three readings to its cause."""

COOKIES: dict[str, dict[str, str]] = {
    "script": {},
    "no script": {},
    "Spanish": {"language": "es"},
    "sun": {"light": "sun"},
    "night": {"light": "night"},
    "no signal": {},
    "no signal in sun": {"light": "sun"},
    "no signal in Spanish": {"language": "es"},
}
"""What the phone is set to, by mode; without signal the server is stopped from the symptoms on."""

AWAY = "no signal"
MOST_SCREENS = 3.0
MARKS = re.compile(r"(<!-- counted: tools/count_taps\.py -->\n).*?(<!-- end -->)", re.DOTALL)


@dataclass
class Worked:
    """One whole call in one mode: what it took, and every state of it."""

    title: str
    mode: str
    readings: int
    to_cause: int
    taps: int
    typed: int
    scrolled: float
    states: list[State]


def main(told: argparse.Namespace) -> None:
    """Work every call in every mode and write the tables."""
    calls = [CALLS[int(each) - 1] for each in told.calls.split(",")] if told.calls else CALLS
    modes = told.modes.split(",") if told.modes else list(COOKIES)
    held_already = list(kept_in(told.kept))
    done = {(each.title, each.mode) for each in held_already}
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as play:
        browser = play.chromium.launch(executable_path=shutil.which("chromium"), args=list(FLAGS))
        asked = Asked(browser, Path(folder), calls, modes, told.pictures, told.kept, done)
        worked = [*held_already, *every(asked)]
        browser.close()
    tables = "\n".join(("", *costs(worked), "", *held(worked), ""))
    if told.file == "-":
        print(tables)
        return
    path = Path(told.file)
    text = path.read_text(encoding="utf-8")
    if not MARKS.search(text):
        sys.exit(f"{path} has no marks for the tables")
    path.write_text(MARKS.sub(rf"\g<1>{tables}\n\g<2>", text), encoding="utf-8")


@dataclass(frozen=True)
class Asked:
    """What is to be walked. done: title and mode of what was walked before."""

    browser: Browser
    folder: Path
    calls: Sequence[tuple[str, str]]
    modes: Sequence[str]
    pictures: str | None
    kept: str | None
    done: set[tuple[str, str]]


def kept_in(path: str | None) -> Iterator[Worked]:
    """What was walked before."""
    if path and Path(path).exists():
        for line in Path(path).read_text(encoding="utf-8").splitlines():
            told = json.loads(line)
            yield Worked(**{**told, "states": [State(**each) for each in told["states"]]})


def every(asked: Asked) -> Iterator[Worked]:
    """Every call in every mode, each in a shop of its own."""
    desk = DiagnosisService()
    for mode in asked.modes:
        for name, fault in asked.calls:
            toml = (EXAMPLES / f"{name}.toml").read_text(encoding="utf-8")
            unit = unit_from_text(toml)
            desk.table(unit)
            cabinet = Cabinet(fault, unit=toml)
            title = f"{unit.title}: {cabinet.title}"
            if (title, mode) in asked.done:
                continue
            thumb = AwayWalk if AWAY in mode else Walk
            walk = thumb(None, cabinet, Cabinet(HEALTHY, unit=toml))  # type: ignore[arg-type]
            if asked.pictures:
                walk.look = partial(pictured, walk, Path(asked.pictures))
            with served(asked.folder, toml, desk) as server:
                if isinstance(walk, AwayWalk):
                    walk.leave, walk.back = server.stop, server.start
                held_up = one(asked.browser, server.address, mode, walk)
            if held_up:
                print(mode, title, "HELD UP", held_up, sep=" | ", file=sys.stderr)
            else:
                yield told_of(title, mode, walk, asked.kept)
    desk.close()


def told_of(title: str, mode: str, walk: Walk, kept: str | None) -> Worked:
    """What a walk came to, printed and kept."""
    count = walk.count
    found = Worked(
        title, mode, count.readings, walk.to_cause, count.taps, count.typed, count.scrolled,
        walk.states,
    )  # fmt: skip
    said = (mode, title, count.readings, walk.to_cause, count.taps, walk.cause, walk.by_stage)
    print(*said, sep=" | ", file=sys.stderr)
    for each in walk.states:
        if flaws(each):
            print("  ", *flaws(each), each, file=sys.stderr)
    if kept:
        with Path(kept).open("a", encoding="utf-8") as file:
            file.write(json.dumps(asdict(found)) + "\n")
    return found


def one(browser: Browser, address: str, mode: str, walk: Walk) -> str:
    """One call on a phone of its own; where and why it was held up, "" where it was not."""
    context = browser.new_context(
        base_url=address, viewport=PHONE, has_touch=True, reduced_motion="reduce",  # type: ignore[arg-type]
        java_script_enabled=mode != "no script",
        service_workers="allow" if AWAY in mode else "block",
    )  # fmt: skip
    context.set_default_timeout(60_000)
    cookies = {"person": "1", "zone": "America/Chicago", **COOKIES[mode]}
    context.add_cookies([{"name": n, "value": v, "url": address} for n, v in cookies.items()])
    walk.page = context.new_page()
    held_up = ""
    try:
        walk.whole()
    except (PlaywrightError, AssertionError) as error:
        name = f"held-up-{mode}-{walk.cabinet.title}.png".replace(" ", "-").replace("/", "-")
        walk.page.screenshot(path=Path(tempfile.gettempdir()) / name)
        held_up = f"{walk.page.url}: {error}".partition("\n")[0]
    context.close()
    return held_up


def pictured(walk: Walk, folder: Path, page: Page) -> None:
    """A picture of the page in a state that has a flaw."""
    found = flaws(walk.states[-1])
    if found:
        name = f"{walk.states[-1].page.strip('/').replace('/', '-')}-{len(walk.states)}"
        page.screenshot(path=folder / f"{name}-{'-'.join(found).replace(' ', '-')}.png")


def flaws(state: State) -> list[str]:
    """What is not as it should be in one state."""
    told = {
        "key below": not state.on_first,
        "long": state.screens > MOST_SCREENS,
        "caution cut": state.cut > 0,
        "wide": state.wide,
        "moved": state.shift > 0.0,
        "moved after a touch": state.touched > 0.0,
    }
    return [name for name, is_so in told.items() if is_so]


def costs(worked: Sequence[Worked]) -> Iterator[str]:
    """What each call takes, by mode."""
    modes = list(dict.fromkeys(each.mode for each in worked))
    yield f"| call | readings, taps to the cause | {' | '.join(modes)} |"
    yield "|---" * (len(modes) + 2) + "|"
    for title in dict.fromkeys(each.title for each in worked):
        ours = {each.mode: each for each in worked if each.title == title}
        cells = [
            f"{w.taps} · {w.typed} · {w.scrolled:.1f}" if (w := ours.get(mode)) else "not walked"
            for mode in modes
        ]
        first = next(iter(ours.values()))
        yield f"| {title} | {first.readings}, {first.to_cause} | {' | '.join(cells)} |"


def held(worked: Sequence[Worked]) -> Iterator[str]:
    """What was held in the states of each page, over all calls and modes."""
    states = [(each.mode, state) for each in worked for state in each.states]
    yield (
        "| page | states | next control on the first screen | most screens |"
        " cautions half under the keys | most shift, none touched | most shift after a touch |"
    )
    yield "|---" * 7 + "|"
    for page in dict.fromkeys(state.page for _, state in states):
        ours = [state for _, state in states if state.page == page]
        first = sum(each.on_first for each in ours)
        yield (
            f"| {page} | {len(ours)} | {'yes' if first == len(ours) else f'{first}'} |"
            f" {max(each.screens for each in ours):.1f} | {sum(each.cut for each in ours)} |"
            f" {max(each.shift for each in ours):.3f} | {max(each.touched for each in ours):.3f} |"
        )


@contextmanager
def served(folder: Path, toml: str, desk: DiagnosisService) -> Iterator[Server]:
    """The app with one unit, a van and somebody to work."""
    store = Store.open(f"sqlite:///{folder / f'{time.monotonic_ns()}.sqlite'}")
    stock = (EXAMPLES / "van-stock.toml").read_text(encoding="utf-8")
    with store.writing() as book:
        book.shop.name_it("Hollow Cooling", zone="America/Chicago")
        person = book.persons.add("R. Amari", zone="America/Chicago")
        book.persons.leave(person.id, "stock", stock)
        book.units.add("The unit", toml=toml)
    server = Server(partial(create_app, store, desk))
    server.start()
    yield server
    server.stop()
    store.close()


class Server:
    """An app on a port of this machine, which it keeps when it is started again."""

    def __init__(self, app: Callable[[], Any]) -> None:
        self.app = app
        self.port = 0

    @property
    def address(self) -> str:
        """Where it answers."""
        return f"http://127.0.0.1:{self.port}"

    def start(self) -> None:
        """Until it answers."""
        config = uvicorn.Config(
            self.app(), port=self.port, log_level="error", ws="none", lifespan="off",
            timeout_graceful_shutdown=1,
        )  # fmt: skip
        self.server = uvicorn.Server(config)
        self.thread = threading.Thread(target=self.server.run, daemon=True)
        self.thread.start()
        while not self.server.started:
            time.sleep(0.01)
        self.port = self.server.servers[0].sockets[0].getsockname()[1]

    def stop(self) -> None:
        """Nobody answers there."""
        self.server.should_exit = True
        self.thread.join(10)


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("file", help="whose tables are replaced; - prints them")
    parser.add_argument("--modes", help="only these, with commas between")
    parser.add_argument("--calls", help="only these, by number")
    parser.add_argument("--kept", help="JSON lines: what stands there is not walked again")
    parser.add_argument("--pictures", help="folder for a picture of each state that has a flaw")
    main(parser.parse_args())
