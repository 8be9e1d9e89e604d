"""Fault tables that are built once in a run of the tests, by whichever test asks first.

A table takes some five seconds of work and depends on the unit alone. So the commands and the desk
take theirs from here while tests run, and tests that only read one ask `solved`. The folder is
shared by all workers of a run and goes with it.
"""

from __future__ import annotations

import fcntl
import hashlib
import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from rungwise.diagnosis import PARTICLES, FaultTable, build_table
from rungwise.evaluation import other_world
from rungwise.services import diagnosis_service
from rungwise.services.runtime import table_store
from rungwise.unit import Unit

__all__ = ["shared", "solved"]

FOLDER = "RUNGWISE_TEST_TABLES"
"""The variable that names the folder to every worker."""

ASKED_IN = (table_store, diagnosis_service, other_world)
"""Where the engine builds a table on the way to something else."""


@contextmanager
def shared(folder: Path) -> Iterator[None]:
    """Let commands, desk and campaigns take their tables from the folder."""
    folder.mkdir(exist_ok=True)
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv(FOLDER, str(folder))
        for module in ASKED_IN:
            patch.setattr(module, "build_table", solved)
        yield


def solved(
    unit: Unit,
    *,
    particles: int = PARTICLES,
    seed: int = 0,
    progress: Callable[[float], None] | None = None,
    share_out: object = None,  # noqa: ARG001  # one process: the workers share by tables
) -> FaultTable:
    """What `build_table` gives, built by the first who asks in this run and read by the others."""
    told = repr((unit.hz, unit.parts, unit.wires, unit.cables, particles, seed))
    path = Path(os.environ[FOLDER], f"{hashlib.sha256(told.encode()).hexdigest()[:16]}.npz")
    with _alone(path.with_suffix(".lock")):
        if not path.exists():
            build_table(unit, particles=particles, seed=seed).save(path)
    if progress is not None:
        progress(1.0)
    return FaultTable.load(path)


@contextmanager
def _alone(path: Path) -> Iterator[None]:
    """Hold a file's lock: two workers that want one table build it once."""
    with path.open("w") as file:
        fcntl.flock(file, fcntl.LOCK_EX)
        yield
