"""`rungwise call`: asked at the keyboard, each answer in the file before the next question."""

from __future__ import annotations

import io
import math
import re
from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np
import pytest
import typer
from tests.cli.running import ran
from tests.tables import solved

from rungwise.diagnosis import CheckCard, FaultTable, read_call
from rungwise.unit import arrangement

UNIT = "one_pole_heater"


@pytest.fixture
def typing(monkeypatch: pytest.MonkeyPatch) -> Callable[[Sequence[str]], None]:
    """What is typed at the prompts, one line each, then the input ends."""

    def typed(lines: Sequence[str]) -> None:
        monkeypatch.setattr("sys.stdin", io.StringIO("".join(f"{line}\n" for line in lines)))

    return typed


def test_every_answer_is_in_the_file_when_the_input_breaks_off(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, typing: Callable[[Sequence[str]], None]
) -> None:
    path = tmp_path / "call.toml"
    typing(["2", "silent"])
    made = ran(capsys, "call", UNIT, "--file", str(path), "--customer", "Mrs. Finch")
    assert made.code == 1
    assert "same command goes on" in " ".join(made.out.split())
    call = read_call(path)
    assert (call.unit_name, call.customer) == (UNIT, "Mrs. Finch")
    assert [(each.check, each.typed) for each in call.readings] == [
        ("look-fan", "not turning"), ("look-compressor", "silent"),
    ]  # fmt: skip
    assert not list(tmp_path.glob(".*"))

    typing(["1"])  # the same command goes on with what is not yet told
    ran(capsys, "call", UNIT, "--file", str(path))
    assert read_call(path).readings[-1].check == "look-blower"


def test_what_cannot_be_an_answer_is_refused_and_asked_again(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, typing: Callable[[Sequence[str]], None]
) -> None:
    path = tmp_path / "call.toml"
    typing(["9", "humming", "", "s"])
    made = ran(capsys, "call", UNIT, "--file", str(path))
    assert made.out.count("NOTICE:") == 2
    assert [each.typed for each in read_call(path).readings] == ["-"]


def test_undo_puts_the_file_back_as_it_was(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, typing: Callable[[Sequence[str]], None]
) -> None:
    path = tmp_path / "call.toml"
    path.write_text(f'unit = "{UNIT}"  # hers\n\n[symptoms]\nfan = "turning"\n', encoding="utf-8")
    before = path.read_text(encoding="utf-8")
    typing(["silent", "u", "u"])
    made = ran(capsys, "call", UNIT, "--file", str(path))
    assert path.read_text(encoding="utf-8") == before
    assert "No answer of this session is left" in made.out


def test_another_check_is_found_by_words_of_its_title(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, typing: Callable[[Sequence[str]], None]
) -> None:
    path = tmp_path / "call.toml"
    typing(["o zebra", "o volts coil low-impedance contactor", "1", "26.4 V", "q"])
    made = ran(capsys, "call", UNIT, "--file", str(path))
    assert "No check has these words" in made.out
    (kept,) = read_call(path).readings
    assert (kept.check, kept.typed) == ("lowz-coil", "26.4 V")


def test_a_file_of_another_unit_is_left_alone(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    path = tmp_path / "call.toml"
    path.write_text('unit = "two_pole_plain"\n', encoding="utf-8")
    made = ran(capsys, "call", UNIT, "--file", str(path))
    assert made.code == 2
    assert "about another unit" in made.err
    assert path.read_text(encoding="utf-8") == 'unit = "two_pole_plain"\n'


def test_a_whole_call_ends_at_the_part_that_is_at_fault(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Answers as the unit's own table has them for an open coil: no outside check."""
    path, table = tmp_path / "call.toml", solved(arrangement(UNIT))
    at = next(n for n, each in enumerate(table.suspects) if each.id == "contactor.coil_open")
    particle = int(np.flatnonzero(table.suspect_of == at)[0])
    asked: list[CheckCard] = []
    monkeypatch.setattr("rungwise.cli.telling.tell_check", lambda _, card: asked.append(card))
    monkeypatch.setattr(typer, "prompt", lambda *_, **__: _read(table, particle, asked[-1]))
    made = ran(capsys, "call", UNIT, "--file", str(path))
    assert made.code == 0
    assert re.search(r"contactor coil open", made.out, re.IGNORECASE)
    assert f"rungwiseisolate{path}" in "".join(made.out.split())  # a long path may wrap
    assert len(asked) == len(read_call(path).readings)


def _read(table: FaultTable, particle: int, card: CheckCard) -> str:
    column = table.checks.index(card)
    if card.form == "choice":
        return card.choices[int(np.argmax(table.choice_probability[column][particle]))]
    value = float(table.reading[particle, column])
    if math.isnan(value):
        return "s"
    return "OL" if math.isinf(value) else f"{value:.4g}"


def test_a_place_that_cannot_be_written_to_is_refused(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    made = ran(capsys, "call", UNIT, "--file", str(tmp_path / "nowhere" / "call.toml"))
    assert made.code == 2
    assert "cannot be written" in made.err
