"""`rungwise shape`: a unit file from plain answers, from a label, or nothing but the supplies."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.cli.running import ran

ANSWERS = ("--answer", "sort=cooling", "--answer", "poles=2")


def test_answers_give_a_unit_file_that_other_commands_read(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    path = tmp_path / "mine.toml"
    made = ran(capsys, "shape", *ANSWERS, "--answer", "heater=line", "--write", str(path), "--json")
    assert made.code == 0
    told = made.json
    assert path.read_text(encoding="utf-8") == told["file"]
    assert told["unusual"] == [
        "The crankcase heater heats while the compressor runs: watts for nothing."
    ]
    again = ran(capsys, "shape", "--unit", str(path), "--json").json
    assert again["does"] == told["does"]
    assert ran(capsys, "shape", *ANSWERS, "--write", str(path)).code == 2  # never over another file


def test_a_label_with_a_wire_too_few_says_what_is_missing(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    label = tmp_path / "label.txt"
    label.write_text("CC L1, bk, disconnect load 1\nCC T1, rd, comp R\n", encoding="utf-8")
    made = ran(capsys, "shape", *ANSWERS, "--label", str(label))
    assert made.code == 1
    assert "MISSING" in made.out
    assert "compressor C" in made.out


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("--answer", "poles"), "names its question"),
        (("--answer", "poles=9"), "no answer to it"),
        (("--from", "two_pole_plane"), "two_pole_plain"),
        (("--label", "nowhere.txt"), "cannot be read"),
        (("--fed-by", "600"), "No such supply"),
    ],
)
def test_what_cannot_be_used_is_refused_in_words(
    capsys: pytest.CaptureFixture[str], arguments: tuple[str, ...], words: str
) -> None:
    made = ran(capsys, "shape", *arguments)
    assert made.code == 2
    assert words in made.err


def test_a_unit_like_none_is_locked_out_by_its_supplies(capsys: pytest.CaptureFixture[str]) -> None:
    told = ran(capsys, "shape", "--fed-by", "240", "--json").json
    assert told["model"] is None
    assert {each["title"] for each in told["devices"]} == {"outdoor breaker", "pull-out disconnect"}
    volts = {each["points"]: each["volt"] for each in told["leads"]}
    # 120/240 V of a house, ANSI C84.1 (from memory): the leads carry nothing.
    assert volts["lead L1 in the cabinet to lead L2 in the cabinet"] == pytest.approx(
        240.0, rel=0.01
    )
    assert volts["lead L1 in the cabinet to ground"] == pytest.approx(120.0, rel=0.01)
