"""Double taps at two real servers on one database: each form must make one record.

    .venv/bin/python benchmarks/bench_double_taps.py [DATABASE]

DATABASE is an empty one, as `rungwise serve --database` takes it; a file of its own otherwise.
Two `rungwise serve` are started on it, and each form is sent to both at once, with one token. Then
the servers are started anew, and every form is sent once more: it must lead where it led.
"""

from __future__ import annotations

import socket
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

import httpx

PAIRS = 50
FORMS: Mapping[str, Mapping[str, str]] = {
    "/calls": {"said": "No cooling"},
    "/units": {"arrangement": "two_pole_plain"},
}
START_S = 120.0

Led = dict[tuple[str, int], set[str]]


def free_port() -> int:
    """A port that nobody listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@contextmanager
def two_servers(database: str) -> Iterator[list[str]]:
    """Two servers on one database; their addresses."""
    ports = [free_port() for _ in range(2)]
    serve = [sys.executable, "-m", "rungwise", "serve", "--database", database, "--port"]
    servers = [subprocess.Popen([*serve, str(port)]) for port in ports]
    try:
        yield [_answering(f"http://127.0.0.1:{port}") for port in ports]
    finally:
        for each in servers:
            each.terminate()
        for each in servers:
            each.wait()


def _answering(address: str) -> str:
    until = time.monotonic() + START_S
    while time.monotonic() < until:
        try:
            httpx.get(f"{address}/person", timeout=5.0)
        except httpx.TransportError:
            time.sleep(0.2)
        else:
            return address
    raise SystemExit(f"no answer from {address}")


def tap(address: str, led: Led, start: threading.Barrier) -> None:
    """Send every form; where each led goes into `led`."""
    with httpx.Client(base_url=address, timeout=60.0) as client:
        for path, number in led:
            token = f"{path} {number}"
            start.wait(60)
            answer = client.post(path, data={**FORMS[path], "token": token})
            led[path, number].add(answer.headers.get("location", str(answer.status_code)))


def tapped(addresses: list[str], led: Led) -> None:
    """Send every form to all servers, each at the same moment."""
    start = threading.Barrier(len(addresses))
    threads = [threading.Thread(target=tap, args=(each, led, start)) for each in addresses]
    for each in threads:
        each.start()
    for each in threads:
        each.join()


def main(database: str) -> int:
    """Print how many forms made how many records; 1 where any made two."""
    led: Led = {(path, number): set() for path in FORMS for number in range(PAIRS)}
    for _ in range(2):
        with two_servers(database) as addresses:
            tapped(addresses, led)
    for path in FORMS:
        found = [each for (there, _), each in led.items() if there == path]
        records = set().union(*found)
        print(f"{path}: {len(found)} forms sent four times each made {len(records)} records")
        print(f"  forms that led to more than one: {sum(len(each) != 1 for each in found)}")
    return int(any(len(each) != 1 for each in led.values()))


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as folder:
        default = f"sqlite:///{Path(folder) / 'shop.sqlite'}"
        sys.exit(main(sys.argv[1] if len(sys.argv) > 1 else default))
