"""A few proofs in the other world, end to end, and what is counted of them."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from rungwise.evaluation.other_proof import met_by, run_other_proofs
from rungwise.evaluation.other_units import unit_of
from rungwise.evaluation.proof_tally import proof_rows
from rungwise.other_world import draw_repair, gauges_of
from rungwise.other_world.repaired import kind_of
from rungwise.other_world.ways import known_faults

SEED = 9
UNIT = ("two_pole_plain", "two tons")
SMALL = tuple(number for number in range(400) if met_by(number, SEED).unit_key == UNIT)[:9]
"""Of one unit, so that one fault table serves them all."""


@cache
def small() -> tuple[dict[str, Any], ...]:
    return tuple(run_other_proofs(SMALL, SEED))


def test_no_repair_is_proved_to_do_its_work_with_a_fault_left_in_that_nobody_named() -> None:
    left_in = [line for line in small() if line["past_limit"]]
    assert len(left_in) >= 4
    assert not [line["fault"] for line in left_in if line["whole"] and not line["named"]]


def test_a_good_repair_is_proved_and_its_line_tells_the_readings() -> None:
    good = [line for line in small() if not line["fault"]]
    assert len(good) >= 2
    for line in good:
        assert line["standing"] == "proved", line["reasons"]
        assert line["whole"]
        assert line["readings"] == len(line["steps"]) + 4  # and the gauges


def test_every_figure_is_counted() -> None:
    told = {row.what: row.text for row in proof_rows(small())}
    (named,) = (text for what, text in told.items() if what.endswith("not named"))
    assert named.endswith(f"0 of {len([line for line in small() if line['past_limit']])}")
    assert float(told["readings until proved, nothing left in, mean"]) > 10.0


def test_the_same_number_is_the_same_proof_and_is_not_worked_again(tmp_path: Path) -> None:
    file = tmp_path / "proofs.jsonl"
    (once,) = run_other_proofs(SMALL[:1], SEED, results=file)
    assert once == small()[0]
    assert run_other_proofs(SMALL[:1], SEED, results=file) == [once]
    assert len(file.read_text(encoding="utf-8").splitlines()) == 1


def test_second_faults_are_met_flat_over_their_kinds() -> None:
    """Whatever their weights: of 36 draws no kind comes more than four times, and most are new."""
    unit = unit_of(*UNIT)
    rng = np.random.default_rng(4)
    met = [draw_repair(unit, rng, left_in=True) for _ in range(36)]
    kinds = [each.kind for each in met]
    known = {kind_of(each, unit) for each in known_faults(met[0].visit.house)}
    assert set(kinds) <= known
    assert max(map(kinds.count, kinds)) <= 4
    assert len(set(kinds)) > 22


def test_gauges_show_a_good_unit_in_its_range_and_nothing_of_one_that_stands() -> None:
    """R-410A condenses 15 to 25 °F over the air and evaporates near 45 °F (common practice)."""
    unit = unit_of(*UNIT)
    rng = np.random.default_rng(8)
    good = draw_repair(unit, rng, left_in=False).visit
    gauges = gauges_of(good, rng)
    assert gauges is not None
    assert 118.0 < gauges.suction_psig < 140.0
    assert gauges.liquid_psig > gauges.suction_psig
    assert 45.0 < gauges.suction_line_f < 65.0
    dead = next(
        each.visit
        for each in (draw_repair(unit, rng, left_in=True) for _ in range(60))
        if "compressor dead" in each.visit.symptoms
    )
    assert gauges_of(dead, rng) is None


@pytest.mark.parametrize("left_in", [False, True])
def test_a_repaired_house_is_within_every_limit_but_for_what_was_left_in(*, left_in: bool) -> None:
    found = draw_repair(unit_of(*UNIT), np.random.default_rng(2), left_in=left_in)
    assert bool(found.fault) == left_in
    assert left_in or not found.visit.symptoms
    assert left_in or not found.past_limit
