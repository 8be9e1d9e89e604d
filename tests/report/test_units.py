"""A paper tells temperatures, pressures, lengths and flows in one system, the rest as it is."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rungwise.quantity import parse
from rungwise.report.units import SYSTEMS, Words


@pytest.mark.parametrize(
    ("told", "us", "si"),
    [
        ("Superheat 6.4 K (12 °F); good is 2.8 K (5 °F) to 11.1 K (20 °F).",
         "Superheat 12 °F; good is 5 °F to 20 °F.",
         "Superheat 6.4 K; good is 2.8 K to 11.1 K."),
        ("it is too cold (15 °C, 59 °F; at least 18 °C, 64 °F)",
         "it is too cold (59 °F; at least 64 °F)", "it is too cold (15 °C; at least 18 °C)"),
        ("Capacity 10.3 kW (35146 Btu/h) in all", "Capacity 35146 Btu/h in all",
         "Capacity 10.3 kW in all"),
        ("about 20 K, up to 72 °C", "about 36 °F, up to 162 °F", "about 20 K, up to 72 °C"),
        ("65 to 70 K at terminals", "117 to 126 °F at terminals", "65 to 70 K at terminals"),
        ("124 psi", "124 psi", "855 kPa"),
        ("54 °F", "54 °F", "12 °C"),
        ("−4 °F", "−4 °F", "-20 °C"),
        ("1200 cfm over 25 ft", "1200 cfm over 25 ft", "2039 m³/h over 7.6 m"),
        ("a run of 20 m", "a run of 66 ft", "a run of 20 m"),
    ],
)  # fmt: skip
def test_each_quantity_stands_in_one_system(told: str, us: str, si: str) -> None:
    assert Words("us")(told) == us
    assert Words("si")(told) == si


def test_what_is_typed_as_a_difference_is_converted_as_one() -> None:
    assert Words("si").difference("10 °F") == "5.6 K"
    assert Words("us").difference("5.6 °C") == "10.1 °F"
    assert Words("us").difference("5 K") == "9 °F"


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize(
    "text", ["27 V", "1.2 kΩ", "45 µF", "96 MΩ", "26.1 A", "12 K-rated", "300 mV", "kV + 1 MΩ"]
)
def test_what_is_electric_is_left_alone(system: str, text: str) -> None:
    words = Words("us" if system == "us" else "si")
    assert words(text) == text


@given(st.floats(-40.0, 250.0))
def test_a_temperature_comes_back_within_a_degree(fahrenheit: float) -> None:
    """There and back through the file's own reader: both are rounded to the degree."""
    typed = f"{fahrenheit:.0f} °F"
    assert abs(parse(Words("si")(typed), "°C") - parse(typed, "°C")) <= 0.56


@given(st.text(max_size=60))
def test_telling_twice_changes_nothing_more(text: str) -> None:
    for system in SYSTEMS:
        once = Words(system)(text)
        assert Words(system)(once) == once
