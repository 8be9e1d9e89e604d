"""`rungwise archive` carries the records from one database to another."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.cli.running import ran

from rungwise.records import Store


@pytest.fixture
def address(tmp_path: Path) -> str:
    """A database with one customer in it."""
    found = f"sqlite:///{tmp_path / 'shop.sqlite'}"
    store = Store.open(found)
    with store.writing() as book:
        book.customers.add("Mrs. Finch")
    store.close()
    return found


def test_the_records_go_out_and_in_again(
    address: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file, other = str(tmp_path / "shop.zip"), f"sqlite:///{tmp_path / 'other.sqlite'}"
    told = ran(capsys, "archive", "export", file, "--database", address)
    assert (told.code, "1 row and 0 pictures written" in told.out) == (0, True)
    told = ran(capsys, "archive", "import", file, "--database", other, "--json")
    assert told.code == 0
    assert told.json["rows"]["customer"] == 1
    store = Store.open(other)
    with store.reading() as book:
        assert [each.name for each in book.customers.all()] == ["Mrs. Finch"]
    store.close()


def test_the_environment_names_the_records(
    address: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setenv("RUNGWISE_DATABASE", address)
    told = ran(capsys, "archive", "export", str(tmp_path / "shop.zip"), "--json")
    assert told.json["rows"]["customer"] == 1


def test_what_cannot_be_read_is_refused_with_exit_code_2(
    address: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    told = ran(capsys, "archive", "import", str(tmp_path / "no.zip"), "--database", address)
    assert (told.code, "no such archive" in told.err) == (2, True)
    told = ran(capsys, "archive", "export", str(tmp_path / "a.zip"), "--database", "shop.db")
    assert (told.code, "address of a database" in told.err) == (2, True)


@pytest.mark.parametrize("name", ["export", "import"])
def test_each_explains_itself_with_an_example(
    name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    told = ran(capsys, "archive", name, "--help")
    assert f"Example: rungwise archive {name} shop.zip" in " ".join(told.out.split())
