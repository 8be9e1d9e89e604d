"""Humid air against ASHRAE's own figures, and against what must hold for any air.

The ASHRAE rows are from memory (no stored copy was found); they are called so in each name.
"""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rungwise.errors import BadReading
from rungwise.proof.air import MoistAir, capacity, expected_split_k, pressure_at


def c(fahrenheit: float) -> float:
    return (fahrenheit - 32.0) / 1.8


def test_memory_ashrae_fundamentals_chapter_1_example_1() -> None:
    # ASHRAE Handbook Fundamentals 2009/2013, ch. 1 example 1, chart readings, memory:
    # 40 °C dry, 20 °C wet, 101.325 kPa: W 6.5 g/kg, h 56.7 kJ/kg, dew 7 °C, 14 %, v 0.896 m³/kg.
    air = MoistAir.of(40.0, 20.0)
    assert 1e3 * air.ratio == pytest.approx(6.5, abs=0.1)
    assert air.enthalpy_kj_kg == pytest.approx(56.7, abs=0.5)
    assert air.dew_c == pytest.approx(7.0, abs=0.6)
    assert air.humidity == pytest.approx(0.14, abs=0.005)
    assert air.volume_m3_kg == pytest.approx(0.896, abs=0.001)


@pytest.mark.parametrize(
    ("celsius", "ratio", "enthalpy"), [(20.0, 0.014758, 57.555), (25.0, 0.020170, 76.500)]
)
def test_memory_ashrae_table_of_saturated_air(
    celsius: float, ratio: float, enthalpy: float
) -> None:
    # ASHRAE Fundamentals ch. 1 table 2, memory; 0.05 %.
    air = MoistAir.of(celsius, celsius)
    assert air.ratio == pytest.approx(ratio, rel=5e-4)
    assert air.enthalpy_kj_kg == pytest.approx(enthalpy, rel=5e-4)


def test_memory_rating_air_80_f_67_f() -> None:
    # AHRI 210/240 indoor rating point on the ASHRAE chart, memory: 51 %, 31.5 Btu/lb.
    air = MoistAir.of(c(80.0), c(67.0))
    assert air.humidity == pytest.approx(0.51, abs=0.01)
    # Btu/lb count from 0 °F, kJ/kg from 0 °C: 7.69 Btu/lb between (1 Btu/lb is 2.326 kJ/kg).
    assert air.enthalpy_kj_kg / 2.326 + 7.69 == pytest.approx(31.5, abs=0.1)


@settings(max_examples=20, deadline=None)
@given(st.floats(12.0, 35.0), st.floats(0.0, 10.0))
def test_air_of_any_wet_bulb_is_between_dry_and_saturated(dry: float, depression: float) -> None:
    air = MoistAir.of(dry, dry - depression)
    assert 0.0 <= air.humidity <= 1.0 + 1e-6
    assert air.dew_c <= air.wet_c + 1e-3 <= air.dry_c + 2e-3


def test_a_wet_bulb_above_the_dry_is_refused() -> None:
    with pytest.raises(BadReading, match="the wrong way round"):
        MoistAir.of(20.0, 24.0)


def test_capacity_is_enthalpy_times_dry_air_and_latent_is_what_is_left() -> None:
    back, supply = MoistAir.of(c(80.0), c(67.0)), MoistAir.of(c(58.0), c(56.5))
    found = capacity(back, supply, 0.5663)  # 1200 cfm
    # Trade rule for standard air: 4.5·cfm·Δh Btu/h, 1.08·cfm·Δt Btu/h (common practice, no
    # source); both take denser air than this, so 5 %.
    drop = (back.enthalpy_kj_kg - supply.enthalpy_kj_kg) / 2.326
    assert found.total_w / 0.29307 == pytest.approx(4.5 * 1200 * drop, rel=0.05)
    assert found.sensible_w / 0.29307 == pytest.approx(1.08 * 1200 * 22.0, rel=0.05)
    assert found.latent_w > 0.0


def test_capacity_without_a_flow_is_refused() -> None:
    air = MoistAir.of(25.0, 18.0)
    with pytest.raises(ValueError, match="air flow"):
        capacity(air, air, 0.0)


# A target-split chart that goes round the trade, °F dry, wet, split (common practice, no source).
@pytest.mark.parametrize(("dry", "wet", "split"), [(80, 67, 18.5), (75, 63, 18.0), (75, 57, 24.0)])
def test_expected_split_is_near_the_trades_chart(dry: float, wet: float, split: float) -> None:
    assert 1.8 * expected_split_k(MoistAir.of(c(dry), c(wet))) == pytest.approx(split, abs=4.5)


def test_the_wetter_the_air_the_smaller_the_split() -> None:
    splits = [expected_split_k(MoistAir.of(25.0, wet)) for wet in (14.0, 17.0, 20.0, 22.0)]
    assert splits == sorted(splits, reverse=True)


def test_memory_pressure_at_1500_m() -> None:
    # ICAO standard atmosphere, memory: 84 556 Pa at 1500 m; 0.1 %.
    assert pressure_at(1500.0) == pytest.approx(84_556.0, rel=1e-3)
    assert pressure_at(0.0) == 101_325.0
