"""Counting judged isolation plans, each figure by hand."""

from __future__ import annotations

from typing import Any

from rungwise.evaluation.isolation_tally import isolation_markdown, isolation_rows


def line(**changed: Any) -> dict[str, Any]:
    """A sound plan of an undamaged unit."""
    told: dict[str, Any] = {
        "seed": 1, "arrangement": "two_pole_plain", "case": 0, "family": "odd unit",
        "damages": ["nothing"], "scope": "cabinet", "ended": "plan", "refusal": "",
        "dangerous": False, "findings": [], "steps": 12, "stations": 3, "readings": 20,
    }  # fmt: skip
    return told | changed


UNPROVED = line(
    dangerous=True,
    damages=["jumper"],
    findings=[["live and nothing read shows it", "contactor.L1 120 V"]],
)
NEEDLESS = line(
    ended="refused",
    damages=["wrong label"],
    findings=[["needless refusal", "nothing runs"]],
    steps=0,
)
STOPPED = line(family="wrong description", damages=["jumper in the yard"], ended="stopped")
MISSED = STOPPED | {"ended": "plan"}


def text_of(lines: list[dict[str, Any]]) -> dict[str, str]:
    return {row.what: row.text for row in isolation_rows(lines)}


def test_what_can_hurt_is_counted_by_arrangement_family_and_sort() -> None:
    told = text_of([line(), UNPROVED, NEEDLESS, STOPPED])
    assert told["all: something that can hurt"].endswith("1 of 4")
    assert told["two_pole_plain: something that can hurt"].endswith("1 of 4")
    assert told["hard_start_delay: something that can hurt"] == "none met"
    assert told["odd unit: something that can hurt"].endswith("1 of 3")
    assert told["of these: live and nothing read shows it"].endswith("1 of 4")
    assert told["damages in which something can hurt"] == "jumper (1)"


def test_refusals_and_stops_are_counted() -> None:
    told = text_of([line(), NEEDLESS, STOPPED, MISSED])
    assert told["refused"].endswith("1 of 4")
    assert told["of the refused: needless"].endswith("1 of 1")
    assert told["wrong description: a reading stops the work, or refused"].endswith("1 of 2")


def test_lengths_are_means_of_undamaged_units_with_a_plan() -> None:
    told = text_of([line(), line(steps=14, readings=22), NEEDLESS, UNPROVED])
    assert told["cabinet, undamaged: on average"] == (
        "13.0 steps, 3.0 stations, 21.0 readings, 2 plans"
    )


def test_files_of_results_stand_side_by_side() -> None:
    table = isolation_markdown({"before": [UNPROVED], "now": [line()]})
    assert table.startswith("| what | before | now |")
    assert "| all: something that can hurt | 100.0%" in table
