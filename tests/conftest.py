"""What every test shares."""

from __future__ import annotations

import gc
import os
import shutil
from collections.abc import Iterator

import pytest
from hypothesis import settings
from tests.tables import shared

# The tests run side by side already: a table that is built in one of them stays in its process.
os.environ["RUNGWISE_PROCESSES"] = "1"

# No deadline: a busy machine must not turn a right answer into a failed test.
settings.register_profile("house", deadline=None, print_blob=True)
settings.load_profile("house")


LONG_FILES = ("browser", "evaluation", "phone", "replacement", "rewiring")
"""Rooms with files that take long: one that begins last leaves the other worker idle."""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Their files go first, within that in the order of chance."""
    items.sort(key=lambda each: each.path.parent.name not in LONG_FILES)


def pytest_collection_finish() -> None:
    """What was imported stays to the end: the collector need not walk through it each time."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20, 50)


@pytest.fixture(scope="session", autouse=True)
def tables_of_this_run(
    tmp_path_factory: pytest.TempPathFactory, request: pytest.FixtureRequest
) -> Iterator[None]:
    """Fault tables are built once for all workers of a run."""
    base = tmp_path_factory.getbasetemp()
    is_worker = hasattr(request.config, "workerinput")
    with shared((base.parent if is_worker else base) / "tables"):
        yield


def pytest_sessionfinish(session: pytest.Session) -> None:
    """Half a gigabyte of tables does not stay behind with what pytest keeps of a run."""
    if not hasattr(session.config, "workerinput"):
        factory: pytest.TempPathFactory = session.config._tmp_path_factory  # type: ignore[attr-defined]
        shutil.rmtree(factory.getbasetemp() / "tables", ignore_errors=True)
