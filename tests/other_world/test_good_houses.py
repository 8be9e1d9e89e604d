"""Good houses against what the trade calls good (common practice, no source, as marked there)."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from rungwise.other_world.makes import good_house
from rungwise.other_world.visit import Visit
from rungwise.unit.unit_file import FIRST_ARRANGEMENTS, arrangement

HOUSES = 32


@cache
def visits() -> tuple[Visit, ...]:
    return tuple(
        Visit(good_house(arrangement(FIRST_ARRANGEMENTS[at % 4]), np.random.default_rng([8, at])))
        for at in range(HOUSES)
    )


def readings(a: str, b: str) -> np.ndarray:
    return np.array([abs(visit.calling.solved.volt(a, b)) for visit in visits()])


def amps(wire: str) -> np.ndarray:
    return np.array([visit.calling.wire_amp(wire) for visit in visits()])


def test_nearly_every_good_house_cools_and_none_shows_two_symptoms() -> None:
    """A few compressors are drawn that a site of 208 V cannot start; a case never has one."""
    ill = [visit for visit in visits() if visit.symptoms]
    assert len(ill) <= 2


def test_the_supply_is_that_of_plates_marked_208_to_230() -> None:
    """197 to 253 V, as plates of such units say."""
    volts = readings("service.L1", "service.L2")
    assert volts.min() > 195
    assert volts.max() < 254
    assert (volts < 216).any()
    assert (volts > 235).any()


def test_the_control_circuit_has_23_to_29_volts() -> None:
    volts = readings("board.R", "board.C")
    assert volts.min() > 22.5
    assert volts.max() < 29


def test_compressors_draw_less_than_their_plate_and_more_on_hot_days() -> None:
    share = amps("comp_c") / 16.0
    running = share > 0
    assert share[running].min() > 0.45
    assert share.max() < 1.0
    hot = np.array([visit.house.weather.outdoor_f for visit in visits()])
    assert np.corrcoef(share[running], hot[running])[0, 1] > 0.4


def test_fans_draw_seventy_to_a_hundred_percent_of_their_plate() -> None:
    share = amps("fan_c") / 1.3
    assert share.min() > 0.65
    assert share.max() < 1.12


def test_a_start_draws_the_locked_amps_of_the_plate_within_a_fifth_at_230_volts() -> None:
    at_230 = [
        visit.starting.inrush["comp_c"] * 230.0 / volt
        for visit, volt in zip(visits(), readings("contactor.L1", "contactor.L2"), strict=True)
    ]
    assert np.all(np.abs(np.array(at_230) / 80.0 - 1.0) < 0.2)


@pytest.mark.parametrize(
    ("part", "name", "low", "high"),
    [
        ("contactor", "coil_ohm", 8, 20),
        ("contactor", "pole1_ohm", 1e-3, 1e-2),
        ("compressor", "insulation_ohm", 2e7, 2e10),
        ("capacitor", "herm_uf", 38.2, 47.7),
    ],
)
def test_values_fill_the_range_of_the_trade(part: str, name: str, low: float, high: float) -> None:
    found = [visit.house.value(part, name) for visit in visits()]
    assert low <= min(found)
    assert max(found) <= high
    assert max(found) - min(found) > 0.3 * (high - low) * (name != "insulation_ohm")


def test_neutral_carries_what_the_legs_do_not_share() -> None:
    for visit in visits()[:8]:
        solved = visit.calling.solved
        legs = [abs(solved.volt(f"service.L{leg}")) for leg in (1, 2)]
        assert max(legs) < 130
        assert min(legs) > 108
        assert abs(solved.volt("service.N")) < 0.2
