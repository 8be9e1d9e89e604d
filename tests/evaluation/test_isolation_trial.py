"""A small sample of damaged descriptions, asked for plans and judged; the long run is a command."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from tests.cli.running import ran

from rungwise.evaluation.isolation_trial import run_isolation
from rungwise.evaluation.result_file import Line, read_results
from rungwise.other_world.isolation_judge import DANGERS

SEED = 31
EACH = range(5)


@pytest.fixture(scope="module")
def lines(tmp_path_factory: pytest.TempPathFactory) -> list[Line]:
    """Twenty judged plans."""
    return run_isolation(EACH, SEED, results=tmp_path_factory.mktemp("plans") / "plans.jsonl")


def test_no_plan_of_a_small_sample_can_hurt(lines: list[Line]) -> None:
    """But for a source that nobody drew and that only a call brings: docs/isolation.md."""
    assert len(lines) == 4 * len(EACH)
    hidden = "live on a call or a pushed plunger, unread"
    hurting = {
        (line["arrangement"], line["case"], sort)
        for line in lines
        for sort, _ in line["findings"]
        if sort in DANGERS and not (line["family"] == "wrong description" and sort == hidden)
    }
    assert hurting == set()


def test_every_refusal_of_a_small_sample_says_why_in_circuit_words(lines: list[Line]) -> None:
    refused = [line for line in lines if line["ended"] == "refused"]
    assert refused
    for line in refused:
        assert not [each for each in line["findings"] if each[0] == "refusal without circuit words"]


def test_cases_that_stand_in_the_file_are_not_worked_again(tmp_path: Path) -> None:
    file = tmp_path / "plans.jsonl"
    first = run_isolation([0], SEED, results=file)
    assert sorted(map(str, read_results(file))) == sorted(map(str, first))
    file.write_text(file.read_text().replace('"steps": ', '"steps": 1'), encoding="utf-8")
    again = run_isolation([0], SEED, results=file)
    assert [line["steps"] for line in again] == [int(f"1{line['steps']}") for line in first]


def test_the_command_tells_each_case_with_what_became_of_it(
    capsys: pytest.CaptureFixture[str],
) -> None:
    told = ran(
        capsys, "study", "--world", "isolation", "--seed", str(SEED), "--only", "3", "--tell"
    )
    assert told.code == 0
    assert "4 isolation plans" in told.out
    assert "second source" in told.out.lower()


def test_the_command_writes_the_table_of_a_file(
    lines: list[Line], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "now.jsonl"
    file.write_text("".join(json.dumps(line) + "\n" for line in lines), encoding="utf-8")
    told = ran(capsys, "study", "--world", "isolation", "--tables", str(file))
    assert told.code == 0
    assert told.out.startswith("| what | now |")
    assert f"of {len(lines)} |" in told.out
