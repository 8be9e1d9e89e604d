"""Opening a store: which database, its form, and what is refused."""

from __future__ import annotations

import sqlite3
import threading
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import Connection, inspect, text
from tests.records.conftest import NewStore
from tests.records.postgres import Cluster

from rungwise.errors import BadRecord, StoreError
from rungwise.records import Store
from rungwise.records.engine import DATABASE, chosen_url, connected, data_folder
from rungwise.records.rows import Row


def described(connection: Connection) -> dict[str, list[str]]:
    """Everything that a database tells of its tables, in any order."""
    seen = inspect(connection)
    looks = (
        seen.get_columns, seen.get_indexes, seen.get_foreign_keys, seen.get_unique_constraints,
        seen.get_check_constraints, lambda table: [seen.get_pk_constraint(table)],
    )  # fmt: skip
    return {
        table: sorted(str(sorted(each.items(), key=str)) for look in looks for each in look(table))
        for table in seen.get_table_names()
        if table != "alembic_version"
    }


@pytest.mark.parametrize("engine", ["sqlite", "postgresql"])
def test_the_migrations_lead_from_nothing_to_the_tables_of_the_code(
    engine: str, tmp_path: Path, new_store: NewStore, request: pytest.FixtureRequest
) -> None:
    url = f"sqlite:///{tmp_path / 'plain.sqlite'}"
    if engine == "postgresql":
        cluster: Cluster = request.getfixturevalue("cluster")
        url = cluster.new()
    plain = connected(chosen_url(url))[0]
    with plain.begin() as connection:
        Row.metadata.create_all(connection)
        wanted = described(connection)
    plain.dispose()
    with new_store(engine).connection(writes=False) as connection:
        assert described(connection) == wanted
        assert compare_metadata(MigrationContext.configure(connection), Row.metadata) == []
    assert wanted.keys() == Row.metadata.tables.keys()


def test_opening_a_store_again_changes_nothing(tmp_path: Path) -> None:
    url = f"sqlite:///{tmp_path / 'deep' / 'er' / 'shop.sqlite'}"
    for _ in range(2):
        store = Store.open(url)
        with store.writing() as book:
            book.units.add("A unit")
        store.close()
    with sqlite3.connect(tmp_path / "deep" / "er" / "shop.sqlite") as file:
        assert file.execute("SELECT count(*) FROM unit").fetchone() == (2,)
    file.close()


@pytest.mark.parametrize("engine", ["sqlite", "postgresql"])
def test_two_programs_may_open_a_new_store_at_once(
    engine: str, tmp_path: Path, request: pytest.FixtureRequest
) -> None:
    url = f"sqlite:///{tmp_path / 'shop.sqlite'}"
    if engine == "postgresql":
        cluster: Cluster = request.getfixturevalue("cluster")
        url = cluster.new()
    opened: list[Store] = []
    threads = [threading.Thread(target=lambda: opened.append(Store.open(url))) for _ in range(3)]
    for each in threads:
        each.start()
    for each in threads:
        each.join()
    assert len(opened) == 3
    for store in opened:
        store.close()


def test_a_new_file_that_another_program_is_preparing_is_waited_for(tmp_path: Path) -> None:
    """SQLite refuses the change to a log at once, whatever its wait for locks is set to."""
    path = tmp_path / "shop.sqlite"
    other = sqlite3.connect(path, isolation_level=None, check_same_thread=False)
    other.execute("BEGIN IMMEDIATE")
    letting_go = threading.Timer(0.3, other.execute, ["COMMIT"])
    letting_go.start()
    Store.open(f"sqlite:///{path}").close()
    letting_go.join()
    other.close()


def test_a_database_made_by_a_newer_program_is_left_alone(tmp_path: Path) -> None:
    store = Store.open(f"sqlite:///{tmp_path / 'shop.sqlite'}")
    with store.connection(writes=True) as connection:
        connection.execute(text("UPDATE alembic_version SET version_num = 'next_century'"))
    store.close()
    with pytest.raises(StoreError, match="newer Rungwise"):
        Store.open(f"sqlite:///{tmp_path / 'shop.sqlite'}")


def test_the_database_of_another_program_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "other.sqlite"
    with sqlite3.connect(path) as file:
        file.execute("CREATE TABLE song (title TEXT)")
    file.close()
    with pytest.raises(StoreError, match="another program"):
        Store.open(f"sqlite:///{path}")
    with sqlite3.connect(path) as file:
        assert file.execute("SELECT name FROM sqlite_master").fetchall() == [("song",)]
    file.close()


def test_a_file_that_is_no_database_is_refused_and_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "notes.txt"
    path.write_text("Call Mrs. Finch.\n" * 100)
    with pytest.raises(StoreError, match="cannot be used"):
        Store.open(f"sqlite:///{path}")
    assert path.read_text() == "Call Mrs. Finch.\n" * 100


def test_a_server_that_is_not_there_is_told_without_its_password(tmp_path: Path) -> None:
    with pytest.raises(StoreError, match="cannot be used") as refused:
        Store.open(f"postgresql://shop:s3cret@/records?host={tmp_path}")
    assert "s3cret" not in str(refused.value)


@pytest.mark.parametrize(
    "url",
    ["shop.sqlite", "mysql://localhost/shop", "sqlite://", "sqlite:///:memory:", "postgres:/"],
)
def test_what_is_no_address_of_a_database_is_refused(url: str) -> None:
    with pytest.raises(StoreError, match="address of a database"):
        chosen_url(url)


def test_the_environment_names_the_database(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(DATABASE, "postgres://shop@db.example/records")
    assert chosen_url().render_as_string() == "postgresql+psycopg://shop@db.example/records"
    assert chosen_url("sqlite:///x.sqlite").database == "x.sqlite"


def test_without_a_name_the_records_lie_in_the_users_data_folder(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.delenv(DATABASE, raising=False)
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    monkeypatch.setattr("sys.platform", "linux")
    assert data_folder() == tmp_path / "rungwise"
    assert chosen_url().database == str(tmp_path / "rungwise" / "rungwise.sqlite")
    monkeypatch.setattr("sys.platform", "win32")
    monkeypatch.setenv("LOCALAPPDATA", str(tmp_path / "local"))
    assert data_folder() == tmp_path / "local" / "rungwise"
    monkeypatch.setattr("sys.platform", "darwin")
    assert data_folder().parts[-3:] == ("Library", "Application Support", "rungwise")


def test_sqlite_lets_readers_in_beside_a_writer_and_holds_its_references(
    new_store: NewStore,
) -> None:
    store = new_store("sqlite")
    with store.connection(writes=False) as connection:
        asked = ("journal_mode", "foreign_keys")
        told = [connection.exec_driver_sql(f"PRAGMA {each}").scalar() for each in asked]
    assert told == ["wal", 1]


def test_a_reference_to_nothing_is_refused_in_words(store: Store) -> None:
    with pytest.raises(BadRecord, match="cannot hold this"), store.writing() as book:
        book.units.add("A unit", site_id=10**6)


def test_a_reader_sees_one_moment(store: Store) -> None:
    with store.reading() as before:
        assert before.units.all() == []
        with store.writing() as book:
            book.units.add("A unit")
        assert before.units.all() == []
    with store.reading() as after:
        assert len(after.units.all()) == 1
