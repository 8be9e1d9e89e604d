"""A small version of tools/shop_study.py: simulated shops whose truth the estimates never see."""

from __future__ import annotations

from math import exp

import pytest

from shop_trial.counted import Counted, brier, calibration
from shop_trial.estimates import JudgedForecast, judge, lived
from shop_trial.stocking import try_stock

SEED = 7100  # not among those of docs/upkeep.md


@pytest.fixture(scope="module")
def judged() -> JudgedForecast:
    return judge(SEED, 100)


@pytest.mark.parametrize("what", ["weight over all ages", "weight by age band"])
def test_intervals_of_the_weights_hold_the_truth_as_often_as_they_say(
    judged: JudgedForecast, what: str
) -> None:
    """The promised 90% is not refuted from below: the exact 99% interval reaches it."""
    hits = judged.held[what]
    assert Counted(0.9, sum(hits), len(hits)).interval(0.99)[1] >= 0.9


def test_forecasts_add_up_to_the_failures_and_beat_one_rate_for_all(judged: JudgedForecast) -> None:
    """Told and true failures agree within three Poisson standard deviations."""
    told = sum(chance for chance, _ in judged.forecasts)
    true = sum(came for _, came in judged.forecasts)
    assert abs(told - true) <= 3.0 * told**0.5
    ours, base = brier(judged.forecasts)
    assert ours < base


def test_the_van_needs_fewer_second_trips_than_with_the_most_common_parts() -> None:
    """Over three shops together, at the same money and on the same calls."""
    tried = [try_stock(lived(SEED + n, 100)) for n in range(3)]
    assert sum(each.newsvendor for each in tried) < sum(each.most_common for each in tried)


def test_calibration_is_a_chi_squared_over_the_bins() -> None:
    """By hand: 60 of 100 at one half is 4, 20 of 100 at a fifth is 0; by luck exp(-4 / 2)."""
    far, luck = calibration([Counted(0.5, 60, 100), Counted(0.2, 20, 100)])
    assert far == pytest.approx(4.0)
    assert luck == pytest.approx(exp(-2.0))
