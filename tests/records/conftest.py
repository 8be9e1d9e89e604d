"""Stores on both engines."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from sqlalchemy import delete
from tests.records.maple_hollow import Shop, furnished
from tests.records.postgres import Cluster, running_cluster

from rungwise.records import Store
from rungwise.records.rows import Row

ENGINES = ("sqlite", "postgresql")

NewStore = Callable[[str], Store]
"""Gives an empty store on the engine of that name; each time another."""


@pytest.fixture(scope="session")
def cluster() -> Iterator[Cluster]:
    """A server of our own."""
    with running_cluster() as running:
        yield running


@pytest.fixture(scope="session")
def opened() -> Iterator[dict[str, list[Store]]]:
    """Stores by engine, for one test after another: emptying one is quicker than making one."""
    held: dict[str, list[Store]] = {engine: [] for engine in ENGINES}
    yield held
    for each in [store for stores in held.values() for store in stores]:
        each.close()


def emptied(store: Store) -> Store:
    """A store without a row in it."""
    tables = reversed(Row.metadata.sorted_tables)
    deletions = [str(delete(table)) for table in tables]
    with store.connection(writes=True) as connection:
        # PostgreSQL takes all in one message, SQLite one at a time.
        for each in deletions if store.is_sqlite else ["; ".join(deletions)]:
            connection.exec_driver_sql(each)
    return store


@pytest.fixture
def new_store(
    opened: dict[str, list[Store]],
    tmp_path_factory: pytest.TempPathFactory,
    request: pytest.FixtureRequest,
) -> NewStore:
    """As many empty stores as a test asks for."""
    taken = dict.fromkeys(ENGINES, 0)

    def url(engine: str) -> str:
        if engine == "sqlite":
            return f"sqlite:///{tmp_path_factory.mktemp('store') / 'shop.sqlite'}"
        running: Cluster = request.getfixturevalue("cluster")
        return running.new()

    def make(engine: str) -> Store:
        held = opened[engine]
        if taken[engine] == len(held):
            held.append(Store.open(url(engine)))
        taken[engine] += 1
        return emptied(held[taken[engine] - 1])

    return make


@pytest.fixture(params=ENGINES)
def store(request: pytest.FixtureRequest, new_store: NewStore) -> Store:
    """An empty store: every test that asks for it runs on both engines."""
    return new_store(request.param)


@pytest.fixture
def shop(store: Store) -> Shop:
    """A store with two persons and an open call on one unit."""
    return furnished(store)


@pytest.fixture
def on_sqlite(new_store: NewStore) -> Shop:
    """The same on SQLite only, for what does not depend on the engine."""
    return furnished(new_store("sqlite"))
