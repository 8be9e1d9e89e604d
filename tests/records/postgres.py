"""A PostgreSQL of the tests' own: made in a temporary folder, on a socket, and gone afterwards."""

from __future__ import annotations

import os
import pwd
import shutil
import signal
import subprocess
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from itertools import count
from pathlib import Path
from typing import Any

import psycopg
import pytest

OWNER = "rungwise"
START_S = 30.0
# Nothing of it outlives the tests, so nothing waits for the disk.
SETTINGS = {
    "listen_addresses": "",
    "fsync": "off",
    "synchronous_commit": "off",
    "full_page_writes": "off",
    "shared_buffers": "16MB",
    "max_connections": "20",
    "autovacuum": "off",
}


@dataclass(frozen=True)
class Cluster:
    """A server that runs. folder: where its socket lies."""

    folder: Path
    _numbers: Iterator[int] = field(default_factory=lambda: count(1))

    def url(self, name: str) -> str:
        """The address of one of its databases."""
        return f"postgresql://{OWNER}@/{name}?host={self.folder}"

    def new(self) -> str:
        """The address of a new database with nothing in it."""
        name = f"test_{next(self._numbers)}"
        with self.connected() as connection:
            connection.execute(f"CREATE DATABASE {name} TEMPLATE template0".encode())
        return self.url(name)

    def connected(self, name: str = "postgres") -> psycopg.Connection[Any]:
        """A connection of its own, without any of our code."""
        return psycopg.connect(self.url(name), autocommit=True, connect_timeout=5)


@contextmanager
def running_cluster() -> Iterator[Cluster]:
    """A fresh server, stopped and removed at the end."""
    folder = Path(tempfile.mkdtemp(prefix="rungwise-pg-"))
    user = _server_user()
    if user is not None:
        os.chown(folder, user, -1)
    try:
        _run("initdb", user, ["-D", str(folder / "data"), "-U", OWNER, "-A", "trust", "--no-sync",
             "-E", "UTF8", "--locale=C"])  # fmt: skip
        server = _start(folder, user)
        try:
            yield _ready(Cluster(folder), server)
        finally:
            server.send_signal(signal.SIGQUIT)  # at once: nothing in it is wanted any more
            server.wait(timeout=START_S)
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _start(folder: Path, user: int | None) -> subprocess.Popen[bytes]:
    settings = [part for key, value in SETTINGS.items() for part in ("-c", f"{key}={value}")]
    command = [_program("postgres"), "-D", str(folder / "data"), "-k", str(folder), *settings]
    with (folder / "log").open("wb") as log:
        return subprocess.Popen(command, stdout=log, stderr=log, cwd=folder, **_as(user))


def _ready(cluster: Cluster, server: subprocess.Popen[bytes]) -> Cluster:
    until = time.monotonic() + START_S
    while server.poll() is None and time.monotonic() < until:
        try:
            cluster.connected().close()
        except psycopg.OperationalError:
            time.sleep(0.02)
        else:
            return cluster
    told = (cluster.folder / "log").read_text(errors="replace")
    pytest.fail(f"PostgreSQL did not start:\n{told}")


def _run(program: str, user: int | None, arguments: list[str]) -> None:
    command = [_program(program), *arguments]
    ran = subprocess.run(command, capture_output=True, text=True, check=False, cwd="/", **_as(user))
    if ran.returncode:
        pytest.fail(f"{program} failed:\n{ran.stdout}{ran.stderr}")


def _as(user: int | None) -> dict[str, Any]:
    return {} if user is None else {"user": user, "extra_groups": []}


def _server_user() -> int | None:
    """PostgreSQL refuses to run as root: then another user runs it, and we ourselves else."""
    if os.geteuid() != 0:
        return None
    names = {each.pw_name: each.pw_uid for each in pwd.getpwall()}
    return names.get("postgres") or names["nobody"]


def _program(name: str) -> str:
    """A server program: on PATH, or where Debian keeps it, the newest version first."""
    found = shutil.which(name)
    if found:
        return found
    versions = Path("/usr/lib/postgresql").glob(f"*/bin/{name}")
    newest = sorted(versions, key=lambda path: int(path.parts[-3]), reverse=True)
    if not newest:
        pytest.fail(f"{name} is missing: `make test` installs Debian's package postgresql")
    return str(newest[0])
