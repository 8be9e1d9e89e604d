"""A fault table is kept beside its unit, used again, and built anew when anything has changed."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import Any

import pytest
from tests.tables import solved

from rungwise.services.input_files import UnitSource, open_unit
from rungwise.services.runtime import table_store
from rungwise.services.runtime.table_store import SUFFIX, fault_table

UNIT = 'arrangement = "two_pole_plain"\n'


@pytest.fixture
def builds(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The names of the units whose table was built, a small one for speed."""
    done: list[str] = []

    def build(unit: Any, **told: Any) -> Any:
        done.append(unit.name)
        return solved(unit, particles=2, **told)

    monkeypatch.setattr(table_store, "build_table", build)
    return done


@pytest.fixture
def unit(tmp_path: Path) -> Path:
    file = tmp_path / "mill.toml"
    file.write_text(UNIT, encoding="utf-8")
    return file


def opened(file: Path) -> UnitSource:
    return open_unit(str(file))


def test_a_table_is_kept_beside_the_unit_and_used_again(unit: Path, builds: list[str]) -> None:
    first, again = fault_table(opened(unit)), fault_table(opened(unit))
    assert builds == ["mill"]
    assert unit.with_suffix(SUFFIX).exists()
    assert first.digest == again.digest
    assert [card.id for card in first.checks] == [card.id for card in again.checks]


def test_a_changed_unit_is_solved_anew(unit: Path, builds: list[str]) -> None:
    fault_table(opened(unit))
    unit.write_text(UNIT + '[nameplate]\nherm_uf = "40 µF"\n', encoding="utf-8")
    fault_table(opened(unit))
    unit.write_text(UNIT + '[parts.fan]\nlabel = "the big fan"\n', encoding="utf-8")
    titles = [card.title for card in fault_table(opened(unit)).checks]
    assert any("the big fan" in title for title in titles)
    assert builds == ["mill"] * 3


def test_a_changed_program_builds_anew(
    unit: Path, builds: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    fault_table(opened(unit))
    monkeypatch.setattr(table_store, "_program", lambda: "another")
    fault_table(opened(unit))
    assert builds == ["mill"] * 2


def test_a_broken_table_is_built_anew(unit: Path, builds: list[str]) -> None:
    unit.with_suffix(SUFFIX).write_bytes(b"not a table")
    fault_table(opened(unit))
    fault_table(opened(unit))
    assert builds == ["mill"]


def test_where_nothing_can_be_written_beside_the_unit_the_cache_serves(
    unit: Path, builds: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    unit.with_suffix(SUFFIX).mkdir()  # as if the folder could not be written
    fault_table(opened(unit))
    fault_table(opened(unit))
    assert builds == ["mill"]
    assert len(list((tmp_path / "cache" / "rungwise").glob(f"mill-*{SUFFIX}"))) == 1


def test_a_table_that_can_be_kept_nowhere_is_still_an_answer(
    unit: Path, builds: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    blocked = tmp_path / "blocked"
    blocked.write_text("", encoding="utf-8")
    monkeypatch.setenv("XDG_CACHE_HOME", str(blocked))
    monkeypatch.setattr(tempfile, "gettempdir", lambda: str(blocked))
    unit.with_suffix(SUFFIX).mkdir()
    assert len(fault_table(opened(unit)).suspects) > 90
    assert builds == ["mill"]


def test_a_shipped_arrangement_is_kept_in_the_cache(
    builds: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    fault_table(open_unit("two_pole_plain"))
    assert (tmp_path / "rungwise" / f"two_pole_plain{SUFFIX}").exists()
    assert builds == ["two_pole_plain"]
