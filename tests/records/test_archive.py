"""Everything in one file, and back: equal on either engine, or refused and nothing changed."""

from __future__ import annotations

import datetime as dt
import json
import math
import shutil
from collections.abc import Callable
from pathlib import Path
from zipfile import ZIP_STORED, ZipFile

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import func, select
from tests.records.conftest import NewStore, emptied
from tests.records.maple_hollow import EXAMPLES, UNIT_TEXT, Shop, furnished, photo_bytes

from rungwise.errors import BadArchive
from rungwise.records import Store, UnitOfWork, archive
from rungwise.records.intake import bring_call
from rungwise.records.row_json import digest_of
from rungwise.records.rows import Row

SHARED = settings(
    max_examples=10,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
"""The stores are emptied by the test itself before each example."""


def contents(path: Path) -> dict[str, bytes]:
    """All that an archive holds but the moment it was made."""
    with ZipFile(path) as file:
        names = [name for name in file.namelist() if not name.startswith("manifest")]
        return {name: file.read(name) for name in names}


def filled(store: Store) -> Shop:
    """A store with something in every table."""
    shop = furnished(store)
    call = shop.call
    with store.writing(shop.amari, at=dt.datetime(2026, 7, 3, 14, 5, 6, 789, dt.UTC)) as book:
        bring_call(book, EXAMPLES / "call-01-suspected-contactor.toml")
        visit = book.visits.arrive(call)
        for value in (math.inf, 14.000000000000002):
            book.readings.take(call, "ohms-coil", str(value), value=value, visit_id=visit.id)
        book.calls.leave(call, "day", "Tuesday")
        facts = {"name": "40 A", "price": 21.4, "x": None, "y": [1, 2.0]}
        book.fitted.fit(call, "contactor", facts)
        book.wires.record(call, "as left", "title = 'Ω'\n")
        book.steps.tick(call, "outdoor", 1, "Open the breaker.")
        book.verdicts.give(call, "found", "The coil is open.", probability=0.1 + 0.2)
        book.sign_offs.sign(call, "It cools.")
        book.truths.tell(call, "contactor")
        book.photos.add(photo_bytes(), call_id=call, shows="contactor")
        book.photos.add(photo_bytes(), unit_id=shop.unit, shows="nameplate")
        book.sent.claim("a token", "/calls", answer=f"/calls/{call}")
        book.arrangements.add("Two poles, heater on the line", UNIT_TEXT, unit_id=shop.unit)
        book.undo.note("call", call, "run capacitor: 31 µF", {"reading": [[1, 2, 0]]})
        book.shares.make(call, dt.timedelta(days=30), "en")
        practice = book.calls.open(shop.unit, kind="practice")
        book.practice.hide(practice.id, "fan.seized", 2**62)
    return shop


def test_every_table_goes_round_both_engines_unchanged(new_store: NewStore, tmp_path: Path) -> None:
    stores = [new_store(engine) for engine in ("sqlite", "postgresql", "sqlite")]
    filled(stores[0])
    paths = [tmp_path / f"{number}.zip" for number in range(3)]
    summaries = [archive.export(stores[0], paths[0])]
    for earlier, store, path in zip(paths, stores[1:], paths[1:], strict=False):
        archive.load(store, earlier)
        summaries.append(archive.export(store, path))
    assert contents(paths[0]) == contents(paths[1]) == contents(paths[2])
    assert all(summaries[0].rows[table] > 0 for table in Row.metadata.tables)
    assert [each.rows for each in summaries] == [summaries[0].rows] * 3
    assert summaries[0].photos == 1  # small enough to be its own small version, and kept once


def test_new_rows_are_numbered_on_after_a_load(new_store: NewStore, tmp_path: Path) -> None:
    source = new_store("sqlite")
    shop = filled(source)
    archive.export(source, tmp_path / "a.zip")
    for engine in ("sqlite", "postgresql"):
        store = new_store(engine)
        archive.load(store, tmp_path / "a.zip")
        with store.writing(shop.amari) as book:
            highest = max(each.id for each in book.readings.history(shop.call))
            assert book.readings.take(shop.call, "volts-coil", "27").row.id > highest
            assert book.calls.open(shop.unit).id > shop.call


Act = Callable[[UnitOfWork, Shop], object]
TYPED = st.text(max_size=30)
ACTS: st.SearchStrategy[Act] = st.one_of(
    st.builds(
        lambda check, typed, value, again: lambda book, shop: book.readings.take(
            shop.call, check, typed, value=value, again=again
        ),
        st.sampled_from(["a", "b"]), TYPED, st.none() | st.floats(allow_nan=False) | TYPED,
        st.booleans(),
    ),
    st.builds(
        lambda typed, seen: lambda book, shop: book.calls.leave(
            shop.call, "title", typed, seen=seen
        ),
        TYPED, st.integers(0, 9),
    ),
    st.builds(
        lambda facts: lambda book, shop: book.fitted.fit(shop.call, "contactor", facts),
        st.none() | st.dictionaries(TYPED, st.integers() | TYPED | st.booleans(), max_size=3),
    ),
    st.builds(
        lambda seed: lambda book, shop: book.practice.hide(
            book.calls.open(shop.unit, kind="practice").id, "fan.seized", seed
        ),
        st.integers(-(2**63), 2**63 - 1),
    ),
)  # fmt: skip
MOMENTS = st.datetimes(
    dt.datetime(1970, 1, 2), dt.datetime(2100, 1, 1), timezones=st.timezones()  # noqa: DTZ001
)  # fmt: skip


@pytest.fixture
def three(new_store: NewStore) -> tuple[Store, Store, Store]:
    """A store on SQLite, one on PostgreSQL, and one on SQLite."""
    return new_store("sqlite"), new_store("postgresql"), new_store("sqlite")


@SHARED
@given(st.lists(st.tuples(ACTS, MOMENTS, st.booleans()), max_size=8))
def test_whatever_is_told_goes_round_both_engines_unchanged(
    three: tuple[Store, Store, Store], tmp_path: Path, acts: list[tuple[Act, dt.datetime, bool]]
) -> None:
    for each in three:
        emptied(each)
    shop = furnished(three[0])
    for act, at, first in acts:
        with shop.store.writing(shop.amari if first else shop.okoro, at=at) as book:
            act(book, shop)
    paths = [tmp_path / f"{number}.zip" for number in range(3)]
    archive.export(three[0], paths[0])
    for earlier, store, path in zip(paths, three[1:], paths[1:], strict=False):
        archive.load(store, earlier)
        archive.export(store, path)
    assert contents(paths[0]) == contents(paths[1]) == contents(paths[2])


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A small archive, which nobody changes."""
    folder = tmp_path_factory.mktemp("small")
    store = Store.open(f"sqlite:///{folder / 'shop.sqlite'}")
    shop = furnished(store)
    with store.writing(shop.amari) as book:
        book.photos.add(photo_bytes(), unit_id=shop.unit)
    archive.export(store, folder / "records.zip")
    store.close()
    return folder / "records.zip"


@pytest.fixture
def archived(small: Path, tmp_path: Path) -> Path:
    """A copy of it, to be damaged."""
    return Path(shutil.copy(small, tmp_path))


@pytest.fixture
def target(new_store: NewStore) -> Store:
    """Where a damaged archive is read into."""
    return new_store("sqlite")


def is_empty(store: Store) -> bool:
    """Whether no table has a row."""
    with store.connection(writes=False) as connection:
        counts = [
            connection.scalar(select(func.count()).select_from(each))
            for each in Row.metadata.sorted_tables
        ]
    return set(counts) == {0}


@settings(SHARED, max_examples=60)
@given(at=st.floats(0, 1, exclude_max=True), change=st.integers(1, 255))
def test_a_byte_changed_is_found_or_does_no_harm(
    target: Store, archived: Path, at: float, change: int
) -> None:
    """Never is something else read in its place."""
    whole = contents(archived)
    content = bytearray(archived.read_bytes())
    content[int(at * len(content))] ^= change
    broken = archived.with_name("broken.zip")
    broken.write_bytes(content)
    try:
        archive.load(target, broken)
    except BadArchive:
        assert is_empty(target)
        return
    archive.export(target, archived.with_name("again.zip"))
    emptied(target)
    assert contents(archived.with_name("again.zip")) == whole


@pytest.mark.parametrize("share", [0.0, 0.2, 0.5, 0.9, 0.999])
def test_an_archive_cut_short_is_refused(target: Store, archived: Path, share: float) -> None:
    content = archived.read_bytes()
    archived.write_bytes(content[: int(share * len(content))])
    with pytest.raises(BadArchive, match="damaged"):
        archive.load(target, archived)
    assert is_empty(target)


def forged(path: Path, change: Callable[[dict[str, bytes]], object]) -> None:
    """Change files of an archive and seal it again, as somebody with a purpose would."""
    with ZipFile(path) as file:
        files = {name: file.read(name) for name in file.namelist()}
    change(files)
    manifest = json.loads(files["manifest.json"])
    for name, told in manifest["files"].items():
        if name in files:
            told |= {"sha256": digest_of(files[name]), "bytes": len(files[name])}
    files["manifest.json"] = json.dumps(manifest).encode()
    files["manifest.sha256"] = digest_of(files["manifest.json"]).encode()
    with ZipFile(path, "w", ZIP_STORED) as file:
        for name, content in files.items():
            file.writestr(name, content)


def row_with(table: str, **values: object) -> Callable[[dict[str, bytes]], None]:
    """The first row of a table with other values."""

    def change(files: dict[str, bytes]) -> None:
        name = f"tables/{table}.jsonl"
        first, *rest = files[name].decode().splitlines()
        files[name] = "\n".join([json.dumps(json.loads(first) | values), *rest, ""]).encode()

    return change


def manifest_with(**values: object) -> Callable[[dict[str, bytes]], None]:
    """A manifest that says something else."""

    def change(files: dict[str, bytes]) -> None:
        files["manifest.json"] = json.dumps(json.loads(files["manifest.json"]) | values).encode()

    return change


@pytest.mark.parametrize(
    ("change", "what"),
    [
        (row_with("unit", site_id=10**6), "damaged"),
        (row_with("unit", state="ruined"), "damaged"),
        (row_with("unit", title=5), "damaged"),
        (row_with("unit", title=None), "damaged"),
        (row_with("unit", colour="red"), "damaged"),
        (row_with("unit", added_at="2026-07-03T12:00:00"), "damaged"),
        (row_with("unit", added_at="yesterday"), "damaged"),
        (row_with("unit", id=2**70), "damaged"),
        (row_with("person", active=1), "damaged"),
        (row_with("photo", content="00ff"), "damaged"),
        (lambda files: files.pop("tables/step.jsonl"), "damaged"),
        (lambda files: files.update({"notes.txt": b"hello"}), "damaged"),
        (lambda files: files.update({"tables/unit.jsonl": b"[1]\n"}), "damaged"),
        (lambda files: files.update({"tables/unit.jsonl": b"\xff\n"}), "damaged"),
        (manifest_with(format="other"), "damaged"),
        (manifest_with(files={}), "damaged"),
        (manifest_with(version=2), "another version"),
        (manifest_with(form="next_century"), "another version"),
    ],
)
def test_a_forged_archive_is_refused_and_changes_nothing(
    target: Store, archived: Path, change: Callable[[dict[str, bytes]], object], what: str
) -> None:
    forged(archived, change)
    with pytest.raises(BadArchive, match=what):
        archive.load(target, archived)
    assert is_empty(target)


def test_a_forged_archive_is_refused_by_the_other_engine_too(
    new_store: NewStore, archived: Path
) -> None:
    target = new_store("postgresql")
    forged(archived, row_with("unit", site_id=10**6))
    with pytest.raises(BadArchive, match="damaged"):
        archive.load(target, archived)
    assert is_empty(target)


def test_forging_without_a_change_is_read(target: Store, archived: Path) -> None:
    """So that the refusals above are for the change and not for the forging."""
    forged(archived, dict.copy)
    archive.load(target, archived)
    assert not is_empty(target)


@pytest.mark.parametrize("name", ["README.md", "nothing.zip", "docs"])
def test_what_is_no_archive_is_refused(target: Store, name: str) -> None:
    with pytest.raises(BadArchive) as refused:
        archive.load(target, EXAMPLES.parents[1] / name)
    assert refused.value.next_step


def test_an_archive_of_something_else_is_refused(target: Store, tmp_path: Path) -> None:
    with ZipFile(tmp_path / "songs.zip", "w") as file:
        file.writestr("song.txt", "la la")
    with pytest.raises(BadArchive, match="none of ours"):
        archive.load(target, tmp_path / "songs.zip")


def test_a_store_that_holds_something_is_not_read_into(shop: Shop, tmp_path: Path) -> None:
    archive.export(shop.store, tmp_path / "a.zip")
    with pytest.raises(BadArchive, match="holds records already"):
        archive.load(shop.store, tmp_path / "a.zip")
    with shop.store.reading() as book:
        assert [each.id for each in book.calls.all()] == [shop.call]


def test_an_export_that_fails_leaves_the_old_archive(
    shop: Shop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "a.zip"
    archive.export(shop.store, path)
    old = path.read_bytes()

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(archive, "_seal", full)
    with pytest.raises(BadArchive, match="No space left"):
        archive.export(shop.store, path)
    assert path.read_bytes() == old
    assert [each.name for each in tmp_path.glob("*.zip")] == ["a.zip"]
    assert not list(tmp_path.glob(".rungwise-*"))
    with pytest.raises(BadArchive, match="cannot be written"):
        archive.export(shop.store, tmp_path / "no folder" / "a.zip")


def test_an_export_replaces_an_older_archive_and_nothing_else(shop: Shop, tmp_path: Path) -> None:
    for _ in range(2):
        archive.export(shop.store, tmp_path / "a.zip")
    (tmp_path / "call.toml").write_text("unit = 'x'")
    with ZipFile(tmp_path / "songs.zip", "w") as file:
        file.writestr("song.txt", "la la")
    for name in ("call.toml", "songs.zip", "."):
        with pytest.raises(BadArchive, match="Something else"):
            archive.export(shop.store, tmp_path / name)
    assert (tmp_path / "call.toml").read_text() == "unit = 'x'"
