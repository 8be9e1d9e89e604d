"""A call that names a wires file: the wires are told with the call, and lose nothing of it."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.cli.running import EXAMPLES, Ran, ran

UNIT = "unit-01-mill-street.toml"
CALL = (EXAMPLES / "call-01-suspected-contactor.toml").read_text(encoding="utf-8")


def worked(folder: Path, capsys: pytest.CaptureFixture[str], wires: str, *options: str) -> Ran:
    """The example call with a wires file; its unit stays where its table is."""
    assert UNIT in CALL
    call = folder / "call.toml"
    text = CALL.replace(UNIT, str(EXAMPLES / UNIT))
    call.write_text(f'wires = "{wires}"\n{text}', encoding="utf-8")
    return ran(capsys, "work", str(call), *options)


def test_a_wrong_wire_makes_the_answer_negative(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    left = str(EXAMPLES / "wires-02-contactor-left.toml")
    result = worked(tmp_path, capsys, left, "--json")
    assert result.code == 1
    assert result.json["verdict"]["kind"] == "found"
    assert not result.json["wires"]["passes"]
    page = worked(tmp_path, capsys, left).out
    assert page.index("LOCK OUT") < page.index("AS LEFT")
    assert page.count("First lock out") == 0  # the call has its own plan for that


def test_wires_that_do_no_harm_leave_the_answer_as_it_is(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    result = worked(tmp_path, capsys, str(EXAMPLES / "wires-01-contactor.toml"), "--json")
    assert result.code == 0
    assert result.json["wires"]["passes"]
    assert (
        ran(capsys, "work", str(EXAMPLES / "call-01-suspected-contactor.toml"), "--json").json[
            "wires"
        ]
        is None
    )


def test_loose_wires_are_told_too(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    wires = tmp_path / "wires.toml"
    wires.write_text(
        'off = ["capacitor.HERM", "capacitor.FAN"]\n'
        '[[loose]]\nname = "a"\ncolour = "blue"\n[[loose]]\nname = "b"\n',
        encoding="utf-8",
    )
    result = worked(tmp_path, capsys, "wires.toml", "--json")
    assert result.code == 1
    assert result.json["wires"]["remaining"] == 2
    assert not result.json["wires"]["found"]


def test_a_slip_about_the_wires_costs_nothing_of_the_call(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    result = worked(tmp_path, capsys, "nowhere.toml")
    assert result.code == 2
    assert "CAUSE" in result.out
    assert "LOCK OUT" in result.out
    assert "nowhere.toml" in result.err
