"""-o never writes over what a person wrote."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from rungwise.cli.program import run

EXAMPLES = Path(__file__).parents[2] / "examples" / "maple-hollow"
UNIT = EXAMPLES / "unit-01-mill-street.toml"
COMMANDS = [
    ("draw", str(UNIT)),
    ("spice", str(UNIT)),
    ("spice", str(UNIT), "--json"),
]


@pytest.mark.parametrize("command", COMMANDS, ids=" ".join)
@pytest.mark.parametrize("more", [(), ("--replace",)], ids=["", "replace"])
@pytest.mark.parametrize("name", ["unit-02-orchard-lane.toml", "call-17-welded.toml", "notes.txt"])
def test_a_persons_file_is_left_alone(
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    command: tuple[str, ...],
    more: tuple[str, ...],
    name: str,
) -> None:
    file = tmp_path / name
    shutil.copy(UNIT, file)
    before = file.read_bytes()
    assert run([*command, "-o", str(file), *more]) == 2
    assert file.read_bytes() == before
    assert "left alone" in capsys.readouterr().err


@pytest.mark.parametrize("command", COMMANDS, ids=" ".join)
def test_its_own_file_is_written_over_only_when_that_is_said(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], command: tuple[str, ...]
) -> None:
    file = tmp_path / "out"
    assert run([*command, "-o", str(file)]) == 0
    first = file.read_bytes()
    file.write_bytes(first + b"<!-- mine -->")
    assert run([*command, "-o", str(file)]) == 2
    assert "--replace" in capsys.readouterr().err
    assert file.read_bytes().endswith(b"mine -->")
    assert run([*command, "-o", str(file), "--replace"]) == 0
    assert file.read_bytes() == first
    assert [each.name for each in tmp_path.iterdir()] == ["out"]


def test_a_device_takes_what_is_written(tmp_path: Path) -> None:
    assert run([*COMMANDS[0], "-o", "/dev/null"]) == 0
    assert run([*COMMANDS[0], "-o", str(tmp_path)]) == 2
