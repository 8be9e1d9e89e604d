"""Stores on both engines."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from tests.records.postgres import Cluster, running_cluster

from rungwise.records import Store

ENGINES = ("sqlite", "postgresql")
TEMPLATE = "up_to_date"

NewStore = Callable[[str], Store]
"""Opens an empty store on the engine of that name."""


@pytest.fixture(scope="session")
def cluster() -> Iterator[Cluster]:
    """A server of our own, with one database whose tables are made already."""
    with running_cluster() as running:
        with running.connected() as connection:
            connection.execute(f"CREATE DATABASE {TEMPLATE}")
        Store.open(running.url(TEMPLATE)).close()
        yield running


@pytest.fixture
def new_store(tmp_path: Path, request: pytest.FixtureRequest) -> Iterator[NewStore]:
    """As many empty stores as a test asks for, on the engine that it names."""
    opened: list[Store] = []

    def make(engine: str) -> Store:
        if engine == "sqlite":
            url = f"sqlite:///{tmp_path / f'store-{len(opened)}.sqlite'}"
        else:
            running: Cluster = request.getfixturevalue("cluster")
            url = running.new(TEMPLATE)
        opened.append(Store.open(url))
        return opened[-1]

    yield make
    for each in opened:
        each.close()


@pytest.fixture(params=ENGINES)
def store(request: pytest.FixtureRequest, new_store: NewStore) -> Store:
    """An empty store: every test that asks for it runs on both engines."""
    return new_store(request.param)
