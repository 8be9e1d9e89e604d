"""Humid air against ASHRAE's equations and figures, and against what must hold for any air.

The equations are those of ASHRAE Handbook Fundamentals 2017, chapter 1, SI, as PsychroLib 2.5.0
solves them: a program of others, which shares nothing with CoolProp. It cannot be installed from
wheels only, so its rows were computed outside and stand here. ASHRAE's printed figures are from
memory (no stored copy was found) and are called so in each name.
"""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rungwise.errors import BadReading
from rungwise.verification.air import MoistAir, capacity, expected_split_k, pressure_at


def c(fahrenheit: float) -> float:
    return (fahrenheit - 32.0) / 1.8


def test_memory_ashrae_fundamentals_chapter_1_example_1() -> None:
    # ASHRAE Handbook Fundamentals 2009/2013, ch. 1 example 1, chart readings, memory:
    # 40 °C dry, 20 °C wet, 101.325 kPa: W 6.5 g/kg, h 56.7 kJ/kg, dew 7 °C, 14%, v 0.896 m³/kg.
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
    # ASHRAE Fundamentals ch. 1 table 2, memory; 0.05%.
    air = MoistAir.of(celsius, celsius)
    assert air.ratio == pytest.approx(ratio, rel=5e-4)
    assert air.enthalpy_kj_kg == pytest.approx(enthalpy, rel=5e-4)


def test_memory_rating_air_80_f_67_f() -> None:
    # AHRI 210/240 indoor rating point on the ASHRAE chart, memory: 51%, 31.5 Btu/lb.
    air = MoistAir.of(c(80.0), c(67.0))
    assert air.humidity == pytest.approx(0.51, abs=0.01)
    # Btu/lb count from 0 °F, kJ/kg from 0 °C: 7.69 Btu/lb between (1 Btu/lb is 2.326 kJ/kg).
    assert air.enthalpy_kj_kg / 2.326 + 7.69 == pytest.approx(31.5, abs=0.1)


# Computed outside with PsychroLib 2.5.0: dry bulb, wet bulb, Pa; g/kg, kJ/kg, relative humidity,
# m³/kg, dew point. The Handbook's equations take air and vapour as perfect gases, CoolProp does
# not, and has some more water in the same air. What that makes is the tolerance: 0.1 g/kg,
# 0.2 kJ/kg, 0.002 of humidity, 0.06% of the volume, 0.06 K of the dew point.
PSYCHROLIB = (
    (26.667, 19.444, 101_325.0, 11.1652, 55.305, 0.5108, 0.86459, 15.727),  # 80 °F, 67 °F
    (23.889, 17.222, 101_325.0, 9.5291, 48.288, 0.5156, 0.85437, 13.316),  # 75 °F, 63 °F
    (23.889, 13.889, 101_325.0, 5.7788, 38.742, 0.3146, 0.84930, 5.962),  # 75 °F, 57 °F
    (14.444, 13.611, 101_325.0, 9.3720, 38.222, 0.9142, 0.82700, 13.065),  # 58 °F, 56.5 °F
    (35.0, 23.889, 101_325.0, 14.0603, 71.290, 0.3980, 0.89269, 19.305),  # 95 °F, 75 °F
    (40.0, 20.0, 101_325.0, 6.4008, 56.725, 0.1398, 0.89625, 7.434),
    (25.0, 25.0, 101_325.0, 20.0811, 76.307, 1.0, 0.87190, 25.0),
    (26.667, 19.444, 84_556.0, 14.0399, 62.637, 0.5336, 1.04076, 16.410),  # the first, at 1500 m
)


@pytest.mark.parametrize("row", PSYCHROLIB)
def test_air_meets_the_equations_of_ashrae_solved_by_another_program(
    row: tuple[float, ...],
) -> None:
    dry, wet, pascal, gram, enthalpy, humidity, volume, dew = row
    air = MoistAir.of(dry, wet, pascal)
    assert 1e3 * air.ratio == pytest.approx(gram, abs=0.1)
    assert air.enthalpy_kj_kg == pytest.approx(enthalpy, abs=0.2)
    assert air.humidity == pytest.approx(humidity, abs=2e-3)
    assert air.volume_m3_kg == pytest.approx(volume, rel=6e-4)
    assert air.dew_c == pytest.approx(dew, abs=0.06)


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
    # source); both take denser air than this, so 5%.
    drop = (back.enthalpy_kj_kg - supply.enthalpy_kj_kg) / 2.326
    assert found.total_w / 0.29307 == pytest.approx(4.5 * 1200 * drop, rel=0.05)
    assert found.sensible_w / 0.29307 == pytest.approx(1.08 * 1200 * 22.0, rel=0.05)
    assert found.total_w > found.sensible_w


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


def test_pressure_at_1500_m() -> None:
    # ICAO standard atmosphere, memory: 84 556 Pa; computed with PsychroLib 2.5.0: 84 555.93; 1 Pa.
    assert pressure_at(1500.0) == pytest.approx(84_555.93, abs=1.0)
    assert pressure_at(0.0) == 101_325.0
