"""The folder of fault tables holds a bounded number, and the one in use is never let go of."""

from __future__ import annotations

import os
from pathlib import Path
from types import SimpleNamespace

import pytest

from rungwise.services import DiagnosisService, diagnosis_service, unit_from_text
from rungwise.services.runtime.table_store import MOST_TABLES, SUFFIX, digest_of, used


def tables(folder: Path, count: int) -> list[Path]:
    """So many tables, the first of them used longest ago."""
    made = [folder / f"{number:02}{SUFFIX}" for number in range(count)]
    for age, path in enumerate(made):
        path.write_bytes(b"table")
        os.utime(path, (1000 + age, 1000 + age))
    return made


def test_what_was_not_used_for_longest_goes(tmp_path: Path) -> None:
    made = tables(tmp_path, 6)
    used(made[0], most=3)
    assert sorted(tmp_path.iterdir()) == [made[0], made[4], made[5]]


def test_nothing_else_in_the_folder_is_touched(tmp_path: Path) -> None:
    made = tables(tmp_path, 3)
    note = tmp_path / "note.txt"
    note.write_text("mine")
    os.utime(note, (1, 1))
    used(made[2], most=1)
    assert sorted(tmp_path.iterdir()) == sorted([made[2], note])


def test_a_table_that_could_not_be_written_costs_none_of_the_others(tmp_path: Path) -> None:
    made = tables(tmp_path, 3)
    used(tmp_path / f"never{SUFFIX}", most=4)
    assert sorted(tmp_path.iterdir()) == made


def test_a_desk_prunes_its_folder_as_it_takes_a_table(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The desk's table is found by its digest and counts as used; the oldest one goes."""
    made = tables(tmp_path, MOST_TABLES)
    unit = unit_from_text('arrangement = "two_pole_plain"\n')
    own = tmp_path / f"{digest_of(unit)}{SUFFIX}"
    own.write_bytes(b"")
    os.utime(own, (1, 1))
    monkeypatch.setattr(diagnosis_service, "kept_table", lambda *_: object())
    monkeypatch.setattr(
        diagnosis_service, "ReadingModel", lambda _: SimpleNamespace(prepare=lambda: None)
    )
    at_desk = DiagnosisService(tmp_path)
    at_desk.model(unit)
    at_desk.close()
    assert sorted(tmp_path.iterdir()) == sorted([own, *made[1:]])
