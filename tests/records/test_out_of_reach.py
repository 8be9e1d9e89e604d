"""Records that cannot be written or read now: told in true words, and nothing half written."""

from __future__ import annotations

import sqlite3
import stat
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from sqlalchemy import event
from tests.records.postgres import Cluster

from rungwise.errors import StoreError
from rungwise.records import Store, engine

SHORT_S = 0.2


@pytest.fixture
def short(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nobody waits for long."""
    monkeypatch.setattr(engine, "LOCK_WAIT_S", SHORT_S)


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "shop.sqlite"


@contextmanager
def opened(url: str) -> Iterator[Store]:
    store = Store.open(url)
    try:
        yield store
    finally:
        store.close()


def units(store: Store) -> int:
    with store.reading() as book:
        return len(book.units.all())


@pytest.mark.usefixtures("short")
def test_a_writer_gives_up_behind_a_long_lock_and_readers_do_not_wait(file: Path) -> None:
    with opened(f"sqlite:///{file}") as store:
        other = sqlite3.connect(file, isolation_level=None)
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(StoreError, match="held by somebody else"), store.writing() as book:
            book.units.add("A unit")
        assert units(store) == 0
        other.close()
        with store.writing() as book:
            book.units.add("A unit")
        assert units(store) == 1


@pytest.mark.usefixtures("short")
def test_on_postgresql_too(request: pytest.FixtureRequest) -> None:
    cluster: Cluster = request.getfixturevalue("cluster")
    url = cluster.new()
    with opened(url) as store:
        with store.writing() as book:
            number = book.units.add("A unit").id
        with (
            cluster.connected(url.partition("@/")[2].partition("?")[0]) as other,
            other.transaction(),
        ):
            other.execute("SELECT * FROM unit FOR UPDATE")
            with pytest.raises(StoreError, match="held by somebody else"), store.writing() as book:
                book.units.leave(number, "note", "by the fence")
            assert units(store) == 1
        with store.reading() as book:
            assert book.units.get(number).note == ""


@pytest.mark.usefixtures("short")
def test_who_finds_no_connection_free_is_told_to_come_again(
    file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    few = {"pool_size": 1, "max_overflow": 0, "pool_timeout": SHORT_S}
    monkeypatch.setattr(engine, "POOL", few)
    with opened(f"sqlite:///{file}") as store, store.reading():
        with pytest.raises(StoreError, match="held by somebody else"), store.reading():
            pass
        with store.writing() as book:  # writers have connections of their own
            book.units.add("A unit")


def test_a_full_disk_is_told_as_one_and_what_was_there_can_be_read(file: Path) -> None:
    with opened(f"sqlite:///{file}") as store:
        with store.writing() as book:
            book.units.add("A unit")
        with store.connection(writes=False) as connection:
            pages = connection.exec_driver_sql("PRAGMA page_count").scalar_one()
        event.listen(
            store.engine, "checkout",
            lambda held, *_: held.execute(f"PRAGMA max_page_count = {pages}"),
        )  # fmt: skip
        with pytest.raises(StoreError, match="is full"), store.writing() as book:
            book.units.add("Another", note="x" * 1_000_000)
        assert units(store) == 1


def test_a_damaged_file_is_told_as_one(file: Path) -> None:
    with opened(f"sqlite:///{file}") as store, store.writing() as book:
        for number in range(300):
            book.units.add(f"Unit {number}", note="by the fence" * 20)
    held = bytearray(file.read_bytes())
    for at in range(8192, len(held) - 4096, 4096):
        held[at : at + 64] = b"\xff" * 64
    file.write_bytes(held)
    with pytest.raises(StoreError, match="is damaged"), opened(f"sqlite:///{file}") as store:
        units(store)


@pytest.mark.parametrize("instead", [False, True], ids=["gone", "another in its place"])
def test_nothing_is_told_as_kept_in_a_file_that_is_gone(file: Path, *, instead: bool) -> None:
    with opened(f"sqlite:///{file}") as store:
        with store.writing() as book:
            book.units.add("A unit")

        def write() -> None:
            with store.writing() as book:
                book.units.add("Another")
                file.unlink()
                if instead:
                    file.touch()

        with pytest.raises(StoreError, match="is gone"):
            write()
        with pytest.raises(StoreError, match="is gone"):
            units(store)
        assert file.exists() == instead


def test_a_new_file_is_for_its_owners_eyes(file: Path) -> None:
    with opened(f"sqlite:///{file}") as store, store.writing() as book:
        book.units.add("A unit")
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
