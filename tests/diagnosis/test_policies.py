"""The two plain rules that our choice is compared with."""

from __future__ import annotations

import pytest
from tests.diagnosis import control_circuit as circuit
from tests.diagnosis.small_tables import certain, suspect, yes_no

from rungwise.diagnosis import half_splitting, most_likely_first

CHAIN = [suspect(f"s{n}", weight) for n, weight in enumerate([10.0, 10.0, 10.0, 30.0, 5.0])]
POINTS = [yes_no(f"after s{n}") for n in range(4)]
LIVE_BEFORE = [[int(fault > point) for point in range(4)] for fault in range(5)]


def test_half_splitting_measures_where_half_of_the_weight_lies_before() -> None:
    """10 + 10 + 10 of 65 before the third point is nearest half."""
    assert half_splitting(certain(CHAIN, POINTS, LIVE_BEFORE)) == "after s2"


def test_half_splitting_does_not_split_what_no_suspect_changes() -> None:
    """Supply volts spread from call to call, yet no suspect of the control side moves them."""
    belief = circuit.start().observe("compressor", "silent")
    allowed = ["volts_after_supply", "volts_after_float"]
    assert half_splitting(belief, allowed=allowed) == "volts_after_float"
    assert half_splitting(belief, allowed=["volts_after_supply"]) is None


def test_most_likely_first_asks_about_the_most_probable_repair() -> None:
    belief = certain(
        CHAIN,
        [*POINTS, yes_no("is it s3")],
        [[*row, int(n == 3)] for n, row in enumerate(LIVE_BEFORE)],
    )
    assert most_likely_first(belief) == "is it s3"


@pytest.mark.parametrize("policy", [half_splitting, most_likely_first])
def test_a_decided_call_needs_no_check(policy: object) -> None:
    belief = certain([suspect("only")], [yes_no("any")], [[0]])
    assert policy(belief) is None  # type: ignore[operator]
