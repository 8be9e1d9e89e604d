"""`--complaint`: what the customer said, in the printed answer and in its JSON."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.cli.running import ran


@pytest.fixture
def call(tmp_path: Path) -> str:
    path = tmp_path / "call.toml"
    path.write_text('unit = "two_pole_plain"\ncomplaint = ["ice"]\n', encoding="utf-8")
    return str(path)


def test_it_adds_to_what_the_file_says(call: str, capsys: pytest.CaptureFixture[str]) -> None:
    told = ran(capsys, "diagnose", call, "--complaint", "water", "--json").json["call"]
    assert [each["id"] for each in told["complaint"]] == ["ice", "water"]
    printed = " ".join(ran(capsys, "diagnose", call, "--complaint", "water").out.split())
    assert 'The complaint "Water" made the pan and its float switch likelier by 15' in printed


@pytest.mark.parametrize("command", ["diagnose", "work"])
def test_what_is_not_known_is_refused_with_the_list(
    command: str, call: str, capsys: pytest.CaptureFixture[str]
) -> None:
    answer = ran(capsys, command, call, "--complaint", "after_strom")
    assert answer.code == 2
    assert "did you mean after_storm?" in answer.err
    assert "breaker_trips" in answer.err
