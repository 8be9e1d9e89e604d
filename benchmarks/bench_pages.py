"""Time of the app's pages under load, next check included, against a real `rungwise serve`.

Budget (docs/architecture.md): 150 ms at the 95th percentile of every kind of page, at 20 requests
a second for a minute. A second budget is the weight of a first load: 150 KB as gzip sends it. The
demo shop is filled into a database of its own; readings are entered all the while, so that new
next checks are worked out. Asks at even times whatever the answers take, so waiting counts.
With --new-units the same pages are asked while units that the server has not met are built.

    python benchmarks/bench_pages.py [--seconds 60] [--rate 20] [--seed 1] [--new-units 4]
"""

from __future__ import annotations

import argparse
import itertools
import re
import socket
import subprocess
import sys
import tempfile
import time
from collections import defaultdict
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path
from random import Random

import httpx
import numpy as np

ROOT = Path(__file__).parent.parent
BUDGET_MS = 150.0
MOST_BYTES = 150 * 1024
AT_ONCE = 40
"""Phones that may wait for an answer at the same time."""

WARM_ROUNDS = 12

OF_CALL = ("", "/dead", "/part?of=contactor", "/wires?of=contactor", "/proof", "/sign-off")
OF_UNIT = ("", "/plate", "/ahead")
PLAIN = ("/day", "/units", "/ahead", "/new-call", "/new-unit", "/practice")
KEPT = "a reading is kept"
NEXT = "then the call, next check anew"
BOTH = "both, one after the other"
Took = list[tuple[str, float]]
"""What was asked for, and the milliseconds until it was there."""

VOLTS = ("0 V", "24 V", "26.4 V", "27 V")
CHECKS = ("volts-coil", "volts-board-Y-C", "volts-board-R-C")


@contextmanager
def served(folder: Path) -> Iterator[str]:
    """`rungwise serve` over the demo shop; its address."""
    database = f"sqlite:///{folder / 'shop.sqlite'}"
    filler = ROOT / "tools" / "make_demo_shop.py"
    subprocess.run([sys.executable, filler, database], check=True)
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    command = [sys.executable, "-m", "rungwise", "serve", "--port", str(port)]
    server = subprocess.Popen([*command, "--database", database])
    try:
        yield f"http://127.0.0.1:{port}"
    finally:
        server.terminate()
        server.wait()


def wait_until_solved(client: httpx.Client, calls: list[str]) -> None:
    """Wait until the server answers and every unit of the calls at these paths is solved."""
    for path in ("/day", *calls):
        while True:
            try:
                if client.get(path + ".json").json().get("building") is None:
                    break
            except httpx.TransportError:
                pass
            time.sleep(0.5)


def open_calls(client: httpx.Client) -> dict[int, int]:
    """The calls open today, each with its unit."""
    today = client.get("/day.json").json()
    return {each["id"]: each["unit"]["id"] for each in today["calls"]}


def practice_begun(client: httpx.Client, arrangement: str) -> str:
    """The path of a practice call on an arrangement, whose unit may still be built."""
    client.cookies.set("person", "1")
    token = client.get("/practice.json").json()["token"]
    told = {"token": token, "level": "any", "on": arrangement}
    return client.post("/practice", data=told).headers["location"]


def practice_call(client: httpx.Client) -> str:
    """The path of a practice call that was begun, its fault drawn and its unit solved."""
    path = practice_begun(client, "one_pole_heater")
    wait_until_solved(client, [path])
    return path


NEW_UNITS = ("time_delay_board", "one_pole_ptc_start", "fan_cycling", "condensate_pump")
"""Units that the demo shop has none of."""


def built(client: httpx.Client, arrangements: Sequence[str]) -> list[float]:
    """Begin a practice call on each; seconds until each unit was solved."""
    begin, ready = time.perf_counter(), []
    for path in [practice_begun(client, each) for each in arrangements]:
        wait_until_solved(client, [path])
        ready.append(time.perf_counter() - begin)
    return ready


def practice_score(client: httpx.Client) -> str:
    """The path of the score of another one, that was given up after a check."""
    path = practice_call(client)
    client.post(f"{path}/readings", data={"check": CHECKS[0]})
    client.post(f"{path}/end")
    return f"{path}/score"


def kinds_of(calls: dict[int, int]) -> dict[str, list[str]]:
    """The paths of each kind of page."""
    kinds = {each: [each] for each in PLAIN}
    for tail in OF_CALL:
        kinds["/calls/N" + tail.partition("?")[0]] = [f"/calls/{n}{tail}" for n in calls]
    for tail in OF_UNIT:
        kinds["/units/N" + tail] = [f"/units/{n}{tail}" for n in calls.values()]
    return kinds


def since_ms(begin: float) -> float:
    """Milliseconds since then."""
    return 1000.0 * (time.perf_counter() - begin)


def ask(client: httpx.Client, kind: str, path: str, due: float) -> Took:
    """Open a page; how long from when it was due to when it was there whole."""
    client.get(path).raise_for_status()
    return [(kind, since_ms(due))]


def enter_reading(client: httpx.Client, call: int, told: dict[str, str], due: float) -> Took:
    """Enter what a meter shows, and go where the answer leads: to the page with the next check."""
    kept = client.post(f"/calls/{call}/readings", data=told)
    took, then = since_ms(due), time.perf_counter()
    client.get(kept.headers["location"]).raise_for_status()
    return [(KEPT, took), (NEXT, since_ms(then)), (BOTH, since_ms(due))]


def load(
    client: httpx.Client, kinds: dict[str, list[str]], calls: list[int], rate: float,
    seconds: float, rng: Random,
) -> dict[str, list[float]]:  # fmt: skip
    """Ask at an even rate; milliseconds of each answer by kind of page."""
    jobs = []
    turns = itertools.cycle([*kinds, KEPT])
    with ThreadPoolExecutor(AT_ONCE) as phones:
        begin = time.perf_counter()
        for n in range(int(rate * seconds)):
            due = begin + n / rate
            time.sleep(max(0.0, due - time.perf_counter()))
            kind = next(turns)
            if kind in kinds:
                jobs.append(phones.submit(ask, client, kind, rng.choice(kinds[kind]), due))
            else:
                told = {"check": rng.choice(CHECKS), "typed": rng.choice(VOLTS)}
                jobs.append(phones.submit(enter_reading, client, rng.choice(calls), told, due))
    found = defaultdict(list)
    for kind, took in itertools.chain.from_iterable(job.result() for job in jobs):
        found[kind].append(took)
    return found


def warmed_up(client: httpx.Client, kinds: dict[str, list[str]]) -> None:
    """Open every page until none is slow: what is worked out once for a unit is no page's time."""
    for _ in range(WARM_ROUNDS):
        slow = False
        for path in itertools.chain.from_iterable(kinds.values()):
            begin = time.perf_counter()
            client.get(path).raise_for_status()
            slow = slow or since_ms(begin) > BUDGET_MS
        if not slow:
            return


def first_load_bytes(client: httpx.Client, path: str) -> int:
    """Bytes of the page with everything that it links to, as they come over the wire."""

    def sent(address: str) -> tuple[int, str]:
        with client.stream("GET", address) as answer:
            text = answer.read().decode(errors="replace")
            return answer.num_bytes_downloaded, text

    own, html = sent(path)
    linked = set(re.findall(r'(?:href|src)="(/static/[^"]+)"', html))
    linked |= set(re.findall(r'<img src="([^"]+)"', html))
    return own + sum(sent(each)[0] for each in sorted(linked))


def main() -> int:
    """Print the table; 1 where a budget is not kept."""
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    options.add_argument("--seconds", type=float, default=60.0)
    options.add_argument("--rate", type=float, default=20.0)
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--new-units", type=int, default=0, choices=range(len(NEW_UNITS) + 1))
    chosen = options.parse_args()
    with tempfile.TemporaryDirectory() as folder, served(Path(folder)) as address:
        limits = httpx.Limits(max_connections=AT_ONCE)
        with httpx.Client(base_url=address, timeout=60, limits=limits) as client:
            wait_until_solved(client, [])
            calls = open_calls(client)
            wait_until_solved(client, [f"/calls/{each}" for each in calls])
            kinds = kinds_of(calls) | {
                "/practice/N": [practice_call(client)],
                "/practice/N/score": [practice_score(client)],
            }
            weights = {kind: first_load_bytes(client, paths[0]) for kind, paths in kinds.items()}
            warmed_up(client, kinds)
            with ThreadPoolExecutor(1) as beside:
                ready = beside.submit(built, client, NEW_UNITS[: chosen.new_units])
                took = load(
                    client, kinds, list(calls), chosen.rate, chosen.seconds, Random(chosen.seed)
                )
            solved = [f"{each:.1f} s" for each in ready.result()]
    print(f"{chosen.rate:g} requests a second for {chosen.seconds:g} s")
    if solved:
        print("new units solved after", ", ".join(solved))
    return tell(took, weights)


def tell(took: dict[str, list[float]], weights: dict[str, int]) -> int:
    """Print a line for each kind of page; 1 where one is over its budget."""
    print(f"{'page':32}{'asked':>6}{'p50 ms':>9}{'p95 ms':>9}{'most':>9}{'first load KB':>15}")
    over = False
    for kind, times in took.items():
        half, high = np.percentile(times, [50, 95])
        weight = weights.get(kind, 0)
        shown = f"{weight / 1024:15.1f}" if weight else ""
        print(f"{kind:32}{len(times):6}{half:9.1f}{high:9.1f}{max(times):9.1f}{shown}")
        over = over or (kind != BOTH and high > BUDGET_MS) or weight > MOST_BYTES
    everything = [each for kind, times in took.items() if kind != BOTH for each in times]
    whole = np.percentile(everything, 95)
    print(f"{'all':32}{len(everything):6}{np.median(everything):9.1f}{whole:9.1f}")
    print(f"budget {BUDGET_MS:g} ms, {MOST_BYTES // 1024} KB: {'NOT kept' if over else 'kept'}")
    return int(over)


if __name__ == "__main__":
    sys.exit(main())
