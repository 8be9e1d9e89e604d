"""Counting the other world's calls, each figure by hand."""

from __future__ import annotations

from typing import Any

import pytest

from rungwise.evaluation.other_tally import (
    ARRANGEMENT_COLUMNS,
    arrangement_cells,
    brier,
    calls_markdown,
    claim_right,
    reliability,
    right,
    rows,
)


def line(**changed: Any) -> dict[str, Any]:
    """A listed fault of the fan, rightly found."""
    told: dict[str, Any] = {
        "class": "listed",
        "arrangement": "two_pole_plain",
        "truth": "fan.seized",
        "right": ["fan"],
        "faulty": ["fan"],
        "opened": [],
        "verdict": "found",
        "answer": "fan:replace",
        "suspect": "fan.seized",
        "probability": 0.95,
        "claimed": True,
        "right_first": True,
        "nothing_first": False,
        "behind_asked": True,
        "direct": True,
        "stopped": True,
        "checks": 4,
        "live": 1,
        "ngspice_apart_v": 1e-6,
    }
    return told | changed


WRONG = {"right_first": False, "answer": "compressor:replace", "suspect": "compressor.seized"}


def counted(*lines: dict[str, Any]) -> dict[str, str]:
    return {row.what: row.text for row in rows(lines)}


def test_culprit_first_is_counted_by_class() -> None:
    told = counted(line(), line(**WRONG), line(**{"class": "effect"}))
    assert told["listed single faults: culprit first"].endswith("1 of 2")
    assert told["effect with a cause behind: culprit first"].endswith("1 of 1")


def test_claims_count_only_from_their_height_and_only_when_something_is_claimed() -> None:
    told = counted(
        line(),
        line(probability=0.995, **WRONG),
        line(claimed=False, verdict="undecided", probability=0.99, **WRONG),
        line(probability=0.5, **WRONG),
    )
    assert told["claimed at 90% or more: right"].endswith("1 of 2")
    assert told["claimed at 99% or more: right"].endswith("0 of 1")


def test_a_good_part_is_condemned_when_a_claim_would_replace_it() -> None:
    told = counted(line(), line(**WRONG, direct=False), line(claimed=False, **WRONG))
    assert told["healthy compressor condemned"].endswith("1 of 3")
    assert told["of these without a direct reading on the part"] == "1"
    assert told["healthy motor condemned"].endswith("0 of 0")


def test_a_pair_condemns_each_good_half() -> None:
    told = counted(line(answer="fan:replace+contactor:replace", right_first=False))
    assert told["healthy contactor condemned"].endswith("1 of 1")


def test_none_of_the_known_is_right_of_a_stranger_and_wrong_of_a_listed_fault() -> None:
    none = {"verdict": "none_of_these", "answer": "", "suspect": "", "right_first": False}
    assert claim_right(line(**none, **{"class": "stranger"}))
    assert not claim_right(line(**none))
    told = counted(line(**none, **{"class": "stranger"}))
    assert told["strangers: right, or said to be none of the known"].endswith("1 of 1")
    assert told["strangers: confidently wrong"].endswith("0 of 1")


def test_nothing_is_right_where_nothing_is_and_where_only_air_or_charge_is_wrong() -> None:
    nothing = {"nothing_first": True, "right_first": False, "verdict": "nothing_wrong_now"}
    air = {"class": "stranger", "right": ["unit:look_elsewhere"]}
    assert right(line(**nothing, **{"class": "healthy"}))
    assert right(line(**nothing, **air))
    assert not right(line(**nothing, **air, opened=["high_pressure"]))
    assert not right(line(**nothing))


def test_a_cause_counts_when_it_is_named_or_was_asked_for() -> None:
    told = counted(
        line(opened=["compressor"]),
        line(opened=["compressor"], **WRONG),
        line(opened=["compressor"], behind_asked=False, **WRONG),
    )
    name = "something opened by a cause: cause named, or asked for before stopping"
    assert told[name].endswith("2 of 3")


def test_brier_is_the_mean_square_of_the_miss() -> None:
    """(0.05² + 0.95²) / 2, by hand."""
    assert brier([line(), line(**WRONG)]) == pytest.approx((0.05**2 + 0.95**2) / 2)


def test_the_largest_distance_from_ngspice_is_told_and_none_where_it_is_missing() -> None:
    name = "the world's own volts against ngspice's"
    assert counted(line(), line(ngspice_apart_v=3e-5))[name] == "3e-05 V at most, 2 calls"
    assert counted(line(ngspice_apart_v=None))[name] == "not held against it"


def test_bins_hold_every_call_once() -> None:
    lines = [line(probability=at / 100) for at in range(101)]
    assert sum(share.of for _, _, share in reliability(lines)) == 101


def test_the_tables_are_markdown_with_a_row_a_figure_and_a_column_a_campaign() -> None:
    before = [line(), line(**{"class": "healthy"}, nothing_first=True)]
    told = calls_markdown({"before": before, "after": [line(probability=0.5, verdict="suspected")]})
    assert told.startswith("| what | before | after |\n|---|---|---|\n")
    hit = "100.0% (20.7–100.0), 1 of 1"
    assert f"| listed single faults: culprit first | {hit} | {hit} |" in told
    assert f"| ended as suspected: right | - | {hit} |" in told
    assert "| 0.95 to 0.99 | 100.0% (34.2–100.0) of 2, mean 0.950 | - |" in told


def test_each_arrangement_is_counted_in_its_own_columns() -> None:
    cells = arrangement_cells(
        [
            line(),
            line(checks=8, **WRONG),
            line(**{"class": "stranger"}, right_first=False, verdict="none_of_these", answer=""),
            line(**{"class": "healthy"}, nothing_first=True, right_first=False, claimed=False),
        ]
    )
    told = dict(zip(ARRANGEMENT_COLUMNS, cells, strict=True))
    assert told["calls"] == "4"
    assert told["culprit first"].endswith("1 of 2")
    assert told["claimed at 90%: right"].endswith("2 of 3")
    assert told["healthy parts condemned"] == "1 of 4"
    assert told["strangers: right, or none of the known"].endswith("1 of 1")
    assert told["confidently wrong"].endswith("1 of 4")
    assert told["nothing wrong: said"].endswith("1 of 1")
    assert told["checks"] == "6.0"
