"""Calls are counted as they ended, and shares carry their uncertainty."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rungwise.evaluation.tally import Z_95, Share, missed, tally
from rungwise.evaluation.worked_call import Outcome, Step

RIGHT = Outcome(
    policy="rungwise",
    call=0,
    arrangement="two_pole_plain",
    truth="fan.seized",
    truth_kind="fan_motor.seized",
    truth_repair="fan:replace",
    severity="fan.seized=1",
    line_volt=240.0,
    contactor_at_fault=False,
    verdict="found",
    answer="fan:replace",
    answer_suspect="fan.seized",
    probability=0.97,
    checks=2,
    minutes=4.0,
    priced_minutes=6.0,
    live=1,
    steps=(),
    contactors=("contactor",),
)
CONDEMNED = replace(RIGHT, answer="contactor:replace", answer_suspect="contactor.coil_open")
NONE = replace(RIGHT, verdict="none_of_these", answer="", answer_suspect="")


@given(n=st.integers(1, 5000), data=st.data())
def test_wilson_s_interval_holds_the_shares_that_the_count_does_not_refute(
    n: int, data: st.DataObject
) -> None:
    """Its ends are the p with |count/n - p| = z·√(p(1-p)/n), the score test's own equation."""
    count = data.draw(st.integers(0, n))
    share = Share(count, n)
    low, high = share.interval
    assert 0.0 <= low <= share.share + 1e-12
    assert share.share - 1e-12 <= high <= 1.0
    for end in (low, high):
        reach = Z_95 * math.sqrt(end * (1 - end) / n)
        assert abs(share.share - end) == pytest.approx(reach, rel=1e-6, abs=1e-6)


def test_a_share_of_none_says_nothing() -> None:
    assert Share(0, 0).share == 0.0
    assert Share(0, 0).interval == (0.0, 1.0)


def test_a_share_is_told_in_percent() -> None:
    """Of 10 out of 10 the score test at 95% refutes all shares below 72.2%."""
    assert Share(10, 10).text() == "100.0% (72.2–100.0)"


def test_the_culprit_is_first_when_its_repair_is() -> None:
    assert RIGHT.culprit_first
    assert replace(RIGHT, truth="fan.s_open").culprit_first, "another fault, the same repair"
    assert not CONDEMNED.culprit_first
    assert not NONE.culprit_first


def test_only_a_contactor_without_fault_can_be_condemned() -> None:
    assert CONDEMNED.contactor_condemned
    assert not replace(CONDEMNED, contactor_at_fault=True).contactor_condemned
    assert replace(CONDEMNED, answer="whip_l1:remake+contactor:replace").contactor_condemned
    assert not replace(CONDEMNED, answer="contactor:clear").contactor_condemned
    assert not RIGHT.contactor_condemned


def test_a_tally_counts_and_averages() -> None:
    found = tally("rungwise", [RIGHT, replace(CONDEMNED, checks=4, minutes=8.0, live=3), NONE])
    assert (found.culprit_first.count, found.culprit_first.of) == (1, 3)
    assert found.contactor_condemned.count == 1
    assert (found.checks, found.minutes, found.live) == pytest.approx((8 / 3, 16 / 3, 5 / 3))
    assert dict(found.rows())["checks"] == "2.7"
    assert found.as_json()["culprit_first"]["share"] == pytest.approx(1 / 3)


def test_misses_are_gathered_by_sort_of_fault_with_what_was_answered() -> None:
    (found,) = missed([RIGHT, CONDEMNED, CONDEMNED, NONE])
    assert (found.kind, found.met, found.missed) == ("fan_motor.seized", 4, 3)
    assert found.instead == (
        ("fan.seized", "contactor.coil_open", 2),
        ("fan.seized", "none_of_these", 1),
    )


def test_an_over_range_reading_is_plain_data() -> None:
    told = replace(RIGHT, steps=(Step("ohms-coil", math.inf, "fan:replace", 0.5),)).as_json()
    assert told["steps"][0]["found"] == "OL"
    assert told["culprit_first"] is True
