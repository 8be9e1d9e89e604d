"""Quantities are read as the trade writes them, and refused when they could mean two things."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rungwise.errors import BadQuantity
from rungwise.quantity import format_quantity, in_range, parse, parse_rating, parse_reading

UNITS = ["V", "A", "Ω", "µF", "W", "VA", "Hz", "m", "min", "s", "°C", "H", "%", "", "mV", "MΩ"]
UNITS += ["psi", "m³/s"]
SIZES = st.floats(min_value=1e-9, max_value=1e12) | st.floats(min_value=-1e12, max_value=-1e-9)


def refusal(text: str | float, unit: str, what: str = "") -> BadQuantity:
    with pytest.raises(BadQuantity) as caught:
        parse(text, unit, what=what)
    return caught.value


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("27", "V", 27), ("27 V", "V", 27), ("27V", "V", 27), ("27 volts", "V", 27),
        ("240 V AC", "V", 240), ("240 VAC", "V", 240), ("350 mV", "V", 0.35), ("350m", "V", 0.35),
        ("0.4k", "Ω", 400), ("0.4 kΩ", "Ω", 400), ("400 ohm", "Ω", 400), ("0.4 kohm", "Ω", 400),
        ("1.2 MΩ", "Ω", 1.2e6), ("1.2 megohm", "Ω", 1.2e6), ("1.2 MEGOHMS", "Ω", 1.2e6),
        ("1.2M", "Ω", 1.2e6), ("1.2 meg", "Ω", 1.2e6), ("500 Mohm", "MΩ", 500), ("20 K", "Ω", 2e4),
        ("45 µF", "µF", 45), ("45 uF", "µF", 45), ("45UF", "µF", 45), ("45 mfd", "µF", 45),
        ("45 MFD", "µF", 45), ("45 microfarads", "µF", 45), ("45e-6 F", "µF", 45),
        ("45u", "µF", 45), ("45 F", "µF", 45e6), ("40 VA", "VA", 40), ("0.04 kva", "VA", 40),
        ("2.5 kW", "W", 2500), ("0.25 hp", "W", 186.424968), ("60 Hz", "Hz", 60),
        ("5 min", "s", 300), ("90 s", "min", 1.5), ("2 h", "min", 120), ("25 ft", "m", 7.62),
        ("6 in", "m", 0.1524), ("30 mm", "m", 0.03), ("75 °F", "°C", 23.888888888889),
        ("75 F", "°C", 23.888888888889), ("23,9 °C", "°C", 23.9), ("12 mH", "H", 0.012),
        ("118 psi", "psi", 118), ("118 PSIG", "psi", 118), ("118", "psi", 118),
        # 1 psi is 6.894757293168 kPa: pound-force and inch are exact by definition.
        ("800 kPa", "psi", 800 / 6.894757293168), ("0.8 MPa", "psi", 800 / 6.894757293168),
        ("8 bar", "psi", 800 / 6.894757293168), ("1200 cfm", "m³/s", 0.56633693184),
        ("600 L/s", "m³/s", 0.6), ("2000 m³/h", "m³/s", 0.555555555556),
        ("0.5 m3/s", "m³/s", 0.5),
        ("6 %", "%", 6), ("6 percent", "%", 6), ("3", "", 3), (".5 A", "A", 0.5), ("27.", "V", 27),
        ("-3 V", "V", -3), (27, "V", 27), (0.4, "Ω", 0.4),
    ],
)  # fmt: skip
def test_a_quantity_is_read_in_the_unit_asked(text: str | float, unit: str, value: float) -> None:
    assert parse(text, unit) == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("0,4", "Ω", 0.4), ("12,5 V", "V", 12.5), ("0,400 kΩ", "Ω", 400),
        ("400 \u2126", "Ω", 400), ("400 \u03a9", "Ω", 400), ("45 \u00b5F", "µF", 45),
        ("45 \u03bcF", "µF", 45), ("27\u2009V", "V", 27), ("27\u202fV", "V", 27),
        ("27\u00a0V", "V", 27), ("12\u2009000 Ω", "Ω", 12000), ("\u22123 V", "V", -3),
        ("  27   V ", "V", 27),
    ],
)  # fmt: skip
def test_signs_with_several_spellings_are_one(text: str, unit: str, value: float) -> None:
    assert parse(text, unit) == value


@pytest.mark.parametrize("unit", ["\u00b5F", "\u03bcF"])
def test_the_unit_asked_may_be_spelled_with_either_mu(unit: str) -> None:
    assert parse("45 MFD", unit) == 45


@pytest.mark.parametrize(
    "text", ["OL", "ol", "O.L.", "O.L", "0L", "0.L", "open", "Open", "OL MΩ", "inf", "∞"]
)
def test_an_open_circuit_is_infinite_ohms(text: str) -> None:
    assert parse(text, "Ω") == math.inf
    assert parse(text, "MΩ") == math.inf


@pytest.mark.parametrize("unit", [unit for unit in UNITS if "Ω" not in unit])
def test_an_open_circuit_is_no_reading_of_anything_but_ohms(unit: str) -> None:
    assert "only an ohms reading" in refusal("OL", unit).what
    refusal(math.inf, unit)


@pytest.mark.parametrize(
    ("text", "unit", "asked", "came"),
    [
        ("27 A", "V", "in volts (V)", "a current"), ("27 V", "A", "in amps (A)", "a voltage"),
        ("45 µF", "Ω", "in ohms (Ω)", "a capacitance"), ("40 W", "VA", "in volt-amps", "a power"),
        ("5 m", "min", "in min", "a length"), ("27 m", "V", "in volts", "a length"),
        ("500 m", "Ω", "in ohms", "a length"), ("27 C", "V", "in volts", "a temperature"),
        ("5 s", "", "as a plain number", "a time"), ("60 Hz", "µF", "in microfarads", "frequency"),
    ],
)  # fmt: skip
def test_another_dimension_is_refused_with_what_was_asked_and_what_came(
    text: str, unit: str, asked: str, came: str
) -> None:
    error = refusal(text, unit, "coil value")
    assert error.what.startswith(f"Coil value is asked {asked}")
    assert f"'{text}' is " in error.what
    assert came in error.what
    assert error.value == text


@pytest.mark.parametrize(
    ("text", "unit", "hint"),
    [
        ("45 mF", "µF", "MFD"), ("45 MF", "µF", "MFD"), ("45mf", "µF", "MFD"),
        ("500 mohm", "Ω", "megohm"), ("500 MOHM", "MΩ", "megohm"), ("500m", "Ω", "MΩ"),
        ("1,200", "V", "1200 or 1.200"), ("-1,200 V", "V", "-1200 or -1.200"),
    ],
)  # fmt: skip
def test_what_can_mean_two_things_is_refused_with_both(text: str, unit: str, hint: str) -> None:
    assert hint in str(refusal(text, unit).next_step)


@pytest.mark.parametrize(
    "text",
    [
        "", "  ", "abc", "V", "27 V 3", "1,200.5", "1.2.3", "1/4", "--3", "27 furlongs", "1e999",
        "nan", "27 V.", "5e", "٣", "3²", "9" * 100, "OL line", "1e308 k",
    ],
)  # fmt: skip
def test_what_is_no_quantity_is_refused(text: str) -> None:
    refusal(text, "V")
    refusal(text, "Ω")


@pytest.mark.parametrize(
    ("text", "unit"), [("27 VDC", "V"), ("24 V DC", "V"), ("24 dcv", "V"), ("2 ADC", "A")]
)
def test_direct_current_is_no_alternating_current(text: str, unit: str) -> None:
    error = refusal(text, unit)
    assert "direct current" in error.what
    assert "AC" in str(error.next_step)


@pytest.mark.parametrize("text", ["-563 VDC", "-563 V DC", "-563 DC", "-563 V", "-563"])
def test_a_charge_may_be_told_as_direct_current(text: str) -> None:
    assert parse_reading(text, "V", direct=True) == -563


def test_more_than_a_megohmmeter_shows_is_taken_as_its_figure() -> None:
    assert parse_reading("> 550 MΩ", "MΩ") == 550
    assert parse_reading(">2 GΩ", "MΩ") == 2000
    for text, unit in ((">240 V", "V"), (">15 Ω", "Ω"), ("> can't reach", "MΩ")):
        with pytest.raises(BadQuantity):
            parse_reading(text, unit)


@pytest.mark.parametrize("number", [math.nan, True, False, 10**400, -math.inf])
def test_numbers_that_are_no_quantity_are_refused(number: float) -> None:
    refusal(number, "Ω")


def test_a_long_text_is_shown_cut_short() -> None:
    assert len(str(refusal("9" * 5000, "V"))) < 300


def test_an_unknown_unit_asked_is_a_mistake_in_the_code() -> None:
    with pytest.raises(ValueError, match="furlong"):
        parse("27", "furlong")
    with pytest.raises(ValueError, match="'k'"):
        format_quantity(27, "k")


@pytest.mark.parametrize("text", ["can't reach", "cant reach", "Can\u2019t reach", "-", "–", "—"])
def test_a_reading_that_was_not_taken_is_none(text: str) -> None:
    assert parse_reading(text, "V") is None
    refusal(text, "V")


@pytest.mark.parametrize("text", ["OL", "0.L", "OL µF", "OL nF"])
def test_over_range_on_microfarads_is_a_reading(text: str) -> None:
    """A meter shows it on a shorted section; an open one reads next to nothing."""
    assert parse_reading(text, "µF") == math.inf
    assert format_quantity(math.inf, "µF") == "OL"
    for other in ("open", "OL Ω"):
        with pytest.raises(BadQuantity):
            parse_reading(other, "µF")


def test_a_reading_is_otherwise_read_like_a_quantity() -> None:
    assert parse_reading("27 V", "V") == 27
    assert parse_reading("OL", "Ω") == math.inf
    with pytest.raises(BadQuantity):
        parse_reading("27 A", "V")


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (1200, "Ω", "1.2 kΩ"), (45, "µF", "45 µF"), (math.inf, "Ω", "OL"), (0.35, "V", "350 mV"),
        (240, "V", "240 V"), (0, "V", "0 V"), (-27.04, "V", "-27 V"), (999.96, "V", "1 kV"),
        (1234, "s", "1234 s"), (45e6, "µF", "45 F"), (1500, "µF", "1500 µF"), (0.5, "µF", "0.5 µF"),
        (4.5e-5, "µF", "0.000045 µF"), (21.55, "°C", "21.6 °C"), (5, "min", "5 min"), (5, "", "5"),
        (0.3, "m", "0.3 m"), (1e9, "Ω", "1 GΩ"), (350, "mV", "350 mV"), (500, "MΩ", "500 MΩ"),
        (40, "VA", "40 VA"), (6, "%", "6 %"), (math.nan, "V", "nan V"), (math.inf, "V", "inf V"),
        (math.inf, "MΩ", "OL"), (1e-15, "V", "1e-15 V"), (1e15, "V", "1e+15 V"),
    ],
)  # fmt: skip
def test_a_quantity_is_written_as_people_read_it(value: float, unit: str, text: str) -> None:
    assert format_quantity(value, unit) == text


def test_digits_before_the_point_are_never_rounded_away() -> None:
    assert format_quantity(248, "V", digits=1) == "248 V"
    assert format_quantity(960, "V", digits=1) == "960 V"


@given(value=SIZES, unit=st.sampled_from(UNITS))
def test_what_is_written_is_read_back(value: float, unit: str) -> None:
    assert parse(format_quantity(value, unit, digits=15), unit) == pytest.approx(value, rel=1e-13)
    assert parse(format_quantity(value, unit), unit) == pytest.approx(value, rel=0.0051)


@given(value=SIZES, unit=st.sampled_from(UNITS))
def test_a_number_written_out_in_its_own_unit_is_read_exactly(value: float, unit: str) -> None:
    assert parse(f"{value!r} {unit}", unit) == value


@given(st.text(max_size=70), st.sampled_from(UNITS))
def test_any_text_is_a_number_or_is_refused(text: str, unit: str) -> None:
    try:
        value = parse(text, unit)
    except BadQuantity as error:
        assert error.allowed  # noqa: PT017  # either outcome is right; this is one of the two
    else:
        assert math.isfinite(value) or "Ω" in unit


@pytest.mark.parametrize("value", [9, 12.5, 20])
def test_a_value_in_range_bounds_included_comes_back(value: float) -> None:
    assert in_range(value, 9, 20, "Ω", "coil") == value
    assert in_range(value, None, None, "Ω", "coil") == value


@pytest.mark.parametrize(
    ("value", "low", "high", "unit", "size", "allowed", "next_step"),
    [
        (45e6, 1, 200, "µF", "too high", "1 to 200 µF", "did you mean 45 µF?"),
        (0.000045, 1, 200, "µF", "too low", "1 to 200 µF", "did you mean 45 µF?"),
        (24, 200, 260, "V", "too low", "200 to 260 V", "did you mean 240 V?"),
        (400, 0.3, 2, "Ω", "too high", "300 mΩ to 2 Ω", "did you mean 400 mΩ?"),
        (500, 0, 240, "V", "too high", "0 to 240 V", "check the value and its unit"),
        (0.5, 1e6, None, "Ω", "too low", "at least 1 MΩ", "check the value and its unit"),
        (7, None, 5, "A", "too high", "at most 5 A", "check the value and its unit"),
        (math.nan, 1, 5, "A", "not a number", "1 to 5 A", "check the value and its unit"),
        (-60, -40, 60, "°C", "too low", "-40 to 60 °C", "check the value and its unit"),
        (math.inf, 9, 20, "Ω", "too high", "9 to 20 Ω", "check the value and its unit"),
        (5, 1, 4, "", "too high", "1 to 4", "check the value and its unit"),
    ],
)
def test_out_of_range_names_the_range_and_the_likely_slip(
    value: float, low: float | None, high: float | None, unit: str, size: str, allowed: str,
    next_step: str,
) -> None:  # fmt: skip
    with pytest.raises(BadQuantity) as caught:
        in_range(value, low, high, unit, "run capacitor")
    assert caught.value.what.startswith("Run capacitor: ")
    assert size in caught.value.what
    assert caught.value.allowed == allowed
    assert caught.value.next_step == next_step


def test_out_of_range_shows_what_was_typed() -> None:
    with pytest.raises(BadQuantity) as caught:
        in_range(45e6, 1, 200, "µF", "run capacitor", typed="45 F", next_step="look at the can")
    assert caught.value.what == "Run capacitor: 45 F is too high."
    assert (caught.value.value, caught.value.next_step) == ("45 F", "look at the can")


@given(SIZES, st.floats(1e-6, 1e6), st.floats(1e-6, 1e6), st.sampled_from(["V", "µF", "Ω"]))
def test_a_value_is_in_range_or_refused(value: float, one: float, other: float, unit: str) -> None:
    low, high = sorted((one, other))
    if low <= value <= high:
        assert in_range(value, low, high, unit, "x") == value
    else:
        with pytest.raises(BadQuantity):
            in_range(value, low, high, unit, "x")


# What US plates carry for single-phase units: "208/230", seen on nearly every one (from memory).
@pytest.mark.parametrize(
    "typed",
    ["208/230", "208/230 V", "208-230 V", "208\u2013230VAC", "208 / 230 volts", "230/208 V",
     "208V/230V"],
)  # fmt: skip
def test_a_label_may_give_two_ratings(typed: str) -> None:
    assert parse_rating(typed, "V") == (208.0, 230.0)


@pytest.mark.parametrize("typed", ["230", "230 V", 230.0])
def test_a_label_of_one_rating_gives_it_twice(typed: str | float) -> None:
    assert parse_rating(typed, "V") == (230.0, 230.0)


@pytest.mark.parametrize("typed", ["208/", "/230", "208/230/460 V", "208/230 A", "two/three V"])
def test_what_is_no_label_of_two_ratings_is_refused(typed: str) -> None:
    with pytest.raises(BadQuantity):
        parse_rating(typed, "V")


def test_a_meter_shows_one_value_and_no_label() -> None:
    with pytest.raises(BadQuantity, match="not a number"):
        parse("208/230 V", "V")


@pytest.mark.parametrize(
    ("typed", "watt"), [("1/4 HP", 186.425), ("1/4hp", 186.425), ("1 1/2 HP", 1118.55)]
)
def test_horsepower_is_read_as_labels_give_it(typed: str, watt: float) -> None:
    """550 ft·lbf/s a horsepower: 745.7 W."""
    assert parse(typed, "W") == pytest.approx(watt, rel=1e-4)


@pytest.mark.parametrize("typed", ["1/0 HP", "1/4 V", "1/4"])
def test_no_other_fraction_is_a_number(typed: str) -> None:
    with pytest.raises(BadQuantity):
        parse(typed, "W")
