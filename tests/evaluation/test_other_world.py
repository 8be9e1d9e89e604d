"""A few calls in the other world, end to end, and what becomes of their results."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from tests.cli.running import ran

from rungwise.errors import BadInput
from rungwise.evaluation import other_world
from rungwise.evaluation.other_call import MOST_CHECKS
from rungwise.evaluation.other_tally import rows
from rungwise.evaluation.other_units import PLATES, drawn, unit_of
from rungwise.evaluation.other_world import run_other_world
from rungwise.evaluation.result_file import read_results
from rungwise.other_world import draw_case
from rungwise.unit.unit_file import FIRST_ARRANGEMENTS

SEED = 3
SMALL = tuple(call for call in range(60) if drawn(call, SEED).arrangement == "two_pole_plain")[:4]
"""Of one arrangement, so that one fault table serves them all."""


@cache
def small() -> tuple[dict[str, Any], ...]:
    return tuple(run_other_world(SMALL, SEED))


def test_a_call_tells_its_truth_its_checks_and_its_end() -> None:
    for line in small():
        assert line["arrangement"] == "two_pole_plain"
        assert line["right"]
        assert 0.0 <= line["probability"] <= 1.0
        assert line["checks"] == len(line["steps"]) <= MOST_CHECKS
        assert line["claimed"] == (line["verdict"] != "undecided")
        assert line["ngspice_apart_v"] < 1e-2
        json.dumps(line, allow_nan=False)


def test_what_cannot_be_taken_is_not_asked_for_again() -> None:
    for line in small():
        refused = [check for check, reading, *_ in line["steps"] if reading is None]
        assert len(refused) == len(set(refused))


def test_every_figure_is_counted_from_a_few_calls() -> None:
    told = {row.what: row.text for row in rows(small())}
    assert told["never stops in 25 checks"].endswith(f"of {len(SMALL)}")


def test_the_same_number_is_the_same_call_whatever_else_is_worked() -> None:
    (again,) = run_other_world(SMALL[1:2], SEED)
    assert again == small()[1]


def test_calls_that_stand_in_the_results_are_not_worked_again(tmp_path: Path) -> None:
    file = tmp_path / "calls.jsonl"
    file.write_text("".join(json.dumps(line) + "\n" for line in small()), encoding="utf-8")
    marked = [{**line, "truth": "kept"} for line in read_results(file)]
    file.write_text("".join(json.dumps(line) + "\n" for line in marked), encoding="utf-8")
    assert {line["truth"] for line in run_other_world(SMALL, SEED, results=file)} == {"kept"}


def test_another_file_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "calls.jsonl"
    file.write_text("not a line of results\n", encoding="utf-8")
    with pytest.raises(BadInput, match="no file of results"):
        read_results(file)


def test_calls_come_from_every_arrangement_and_every_plate_when_asked() -> None:
    assert {drawn(call, 1).arrangement for call in range(40)} == set(FIRST_ARRANGEMENTS)
    assert {drawn(call, 1, plates=True).plate for call in range(40)} == set(PLATES)
    assert {drawn(call, 1).plate for call in range(40)} == {""}


@pytest.mark.parametrize("plate", [plate for plate in PLATES if plate])
def test_houses_of_every_plate_draw_what_their_plate_says(plate: str) -> None:
    """Running amps under RLA, fan amps about FLA, inrush within a fifth of LRA."""
    for at, name in enumerate(FIRST_ARRANGEMENTS):
        unit = unit_of(name, plate)
        case = draw_case(unit, "healthy", np.random.default_rng([7, at]))
        told, call = unit.nameplate, case.visit.calling
        assert 0.4 < call.wire_amp("comp_c") / float(told["rla_a"]) < 1.0
        assert 0.6 < call.wire_amp("fan_c") / float(told["fan_fla_a"]) < 1.15
        volts = abs(call.solved.volt("contactor.L1", "contactor.L2"))
        assert call.inrush["comp_c"] * 230.0 / volts == pytest.approx(float(told["lra_a"]), rel=0.2)


def test_the_command_writes_the_tables_of_a_file(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "calls.jsonl"
    file.write_text("".join(json.dumps(line) + "\n" for line in small()), encoding="utf-8")
    told = ran(capsys, "study", "--tables", str(file))
    assert told.code == 0
    assert f"of {len(SMALL)} |" in told.out


def test_the_command_tells_a_call_check_by_check(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "calls.jsonl"
    file.write_text("".join(json.dumps(line) + "\n" for line in small()), encoding="utf-8")
    line, number = small()[0], str(SMALL[0])
    told = ran(
        capsys, "study", "--world", "other", "--seed", str(SEED), "--only", number, "--tell",
        "--results", str(file),
    )  # fmt: skip
    assert told.code == 0
    assert line["truth"] in told.out
    for check, *_ in line["steps"]:
        assert check in told.out


def test_calls_of_one_arrangement_alone_are_met_when_asked() -> None:
    met = {drawn(call, 1, arrangements=("rooftop_208",)).arrangement for call in range(5)}
    assert met == {"rooftop_208"}


def test_an_arrangement_with_a_part_unknown_to_the_other_world_is_refused(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """As of a kind that is new here and that nobody has told that world of."""
    monkeypatch.setattr(other_world, "known", lambda _: False)
    with pytest.raises(BadInput, match="knows nothing of a part"):
        run_other_world((1,), SEED, arrangements=("two_stage",))
