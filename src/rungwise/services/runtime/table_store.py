"""Fault tables kept between runs, beside the unit file or in a folder that stays small."""

from __future__ import annotations

import contextlib
import hashlib
import os
import tempfile
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from importlib import resources
from pathlib import Path

from rungwise.diagnosis import FaultTable, build_table, table_digest
from rungwise.errors import BadInput
from rungwise.services.input_files import UnitSource
from rungwise.services.runtime.progress import Watching, unwatched
from rungwise.services.runtime.worker_pool import share_out
from rungwise.unit import Unit

SUFFIX = ".faults.npz"
ROOMS = ("files", "parts", "unit", "circuit", "faults", "diagnosis")
"""Rooms whose code decides what is in a table."""


def fault_table(opened: UnitSource, watching: Watching = unwatched) -> FaultTable:
    """The fault table of a unit: a kept one if it still fits, else built and kept.

    It fits when unit, names and program are the same as when it was built. A table that cannot be
    kept anywhere is built each time.
    """
    digest = digest_of(opened.unit)
    for path in _places(opened):
        kept = kept_table(path, digest)
        if kept is not None:
            return kept
    with watching(f"solving the suspects of {opened.unit.name}") as progress:
        table = replace(
            build_table(opened.unit, progress=progress, share_out=share_out), digest=digest
        )
    for path in _places(opened):
        try:
            table.save(path)
        except OSError:
            continue
        break
    return table


def kept_table(path: Path, digest: str) -> FaultTable | None:
    """The table in a file, if there is one that can be read and is what `digest` says."""
    if not path.exists():
        return None
    try:
        table = FaultTable.load(path)
    except BadInput:
        return None
    return table if table.digest == digest else None


def _places(opened: UnitSource) -> Iterator[Path]:
    """Where the table may be kept, best first."""
    name = opened.unit.name
    if opened.path is not None:
        yield opened.path.with_suffix(SUFFIX)
        where = hashlib.sha256(str(opened.path.resolve()).encode()).hexdigest()[:12]
        name = f"{name}-{where}"
    cache_home = os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache"
    yield Path(cache_home, "rungwise", f"{name}{SUFFIX}")
    yield Path(tempfile.gettempdir(), f"rungwise-{_user()}", f"{name}{SUFFIX}")


def _user() -> str:
    return str(os.getuid()) if hasattr(os, "getuid") else os.environ.get("USERNAME", "user")


def digest_of(unit: Unit) -> str:
    """A hash of everything that a table holds: circuit, names on its cards, and the program."""
    names = [[part.name, part.title, part.place] for part in unit.parts]
    names += [[wire.name, unit.wire_title(wire), *wire.joints] for wire in unit.wires]
    content = f"{table_digest(unit)} {names} {_program()}"
    return hashlib.sha256(content.encode()).hexdigest()[:16]


@cache
def _program() -> str:
    """A hash of the code that makes tables, so that none outlives it."""
    told = hashlib.sha256()
    root = Path(str(resources.files("rungwise")))
    for room in ROOMS:
        for path in sorted((root / room).rglob("*.py")):
            told.update(path.read_bytes())
    return told.hexdigest()[:16]


MOST_TABLES = 32
"""Tables kept, each some 10 MB: about 320 MB of the disk. A shop works on fewer units in a week."""


def used(path: Path, most: int = MOST_TABLES) -> None:
    """Note that the table at `path` was used now, and let go of all but the `most` used last.

    The time of change of the file is when it was used last. Another process may take files away
    meanwhile, or the folder may be one to read only: what cannot be done is left.
    """
    with contextlib.suppress(OSError):
        os.utime(path)
    others = [each for each in path.parent.glob(f"*{SUFFIX}") if each != path]
    for each in sorted(others, key=_last_used, reverse=True)[max(0, most - 1) :]:
        with contextlib.suppress(OSError):
            each.unlink()


def _last_used(path: Path) -> float:
    """Seconds since 1970; 0 for a file that went meanwhile."""
    try:
        return path.stat().st_mtime
    except OSError:
        return 0.0
