"""A quantity is told in the units of who reads it, everything else as it is."""

from __future__ import annotations

import pickle

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rungwise.quantity import parse, quantity_told
from rungwise.wording import (
    SYSTEMS,
    System,
    in_both,
    joined,
    measured,
    measuring,
    restored,
    say,
    speaking,
    stored,
    told,
    typed_told,
)


def _read(text: str) -> tuple[str, str]:
    """As a US reader has it, and one with SI units."""
    found = []
    for system in SYSTEMS:
        with measuring(system):
            found.append(told(text))
    return found[0], found[1]


@pytest.mark.parametrize(
    ("written", "us", "si"),
    [
        (measured("72", "°C"), "162 °F", "72 °C"),
        (measured("20", "K"), "36 °F", "20 K"),
        (measured("124", "psi"), "124 psi", "855 kPa"),
        (measured("1200", "cfm"), "1200 cfm", "2039 m³/h"),
        (measured("25", "ft"), "25 ft", "7.6 m"),
        (measured("−4", "°F"), "−4 °F", "-20 °C"),
        (in_both("10.3 kW", "35146 Btu/h"), "35146 Btu/h", "10.3 kW"),
        (quantity_told(15.0, "°C"), "59 °F", "15 °C"),
        (quantity_told(27.0, "V"), "27 V", "27 V"),
    ],
)
def test_each_quantity_stands_in_one_system(written: str, us: str, si: str) -> None:
    assert _read(written) == (us, si)


def test_the_engine_tells_it_as_it_has_it() -> None:
    superheat = in_both("6.4 K", "12 °F")
    assert superheat == "6.4 K (12 °F)"
    assert told(superheat) == superheat


def test_it_is_told_within_a_sentence_and_in_each_language() -> None:
    text = joined("", (say("at most {dry}", dry=measured("24.0", "°C")), ".")) + " 75 °C terminals"
    assert _read(text) == ("at most 75.2 °F. 75 °C terminals", "at most 24.0 °C. 75 °C terminals")
    with speaking("es"):
        assert _read(text)[0].startswith("a lo más 75.2 °F.")


def test_it_goes_to_another_process_and_to_the_records_as_it_is() -> None:
    text = say("at most {dry}", dry=measured("15", "°C"))
    for again in (pickle.loads(pickle.dumps(text)), restored(stored(text))):  # noqa: S301  # ours
        assert _read(again) == ("at most 59 °F", "at most 15 °C")


def test_what_is_typed_as_a_difference_is_converted_as_one() -> None:
    assert _read(typed_told("10 °F", difference=True)) == ("10 °F", "5.6 K")
    assert _read(typed_told("5.6 °C", difference=True)) == ("10.1 °F", "5.6 K")
    assert _read(typed_told("5 K", difference=True)) == ("9 °F", "5 K")


@pytest.mark.parametrize("text", ["27 V", "1.2 kΩ", "45 µF", "12 K-rated", "kV + 1 MΩ", "yes"])
def test_what_is_no_such_quantity_is_left_alone(text: str) -> None:
    assert _read(typed_told(text)) == (text, text)


@given(st.floats(-40.0, 250.0), st.sampled_from(SYSTEMS))
def test_a_temperature_comes_back_within_a_degree(fahrenheit: float, system: System) -> None:
    """There and back through the file's own reader: both are rounded to the degree."""
    typed = f"{fahrenheit:.0f} °F"
    with measuring(system):
        assert abs(parse(told(typed_told(typed)), "°C") - parse(typed, "°C")) <= 0.56
