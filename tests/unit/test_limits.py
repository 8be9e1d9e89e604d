"""The limits told everywhere: which side of each a value falls on."""

from __future__ import annotations

import pytest

from rungwise.parts.limits import CAPACITOR, CONTACT_DROP, INSULATION, typical_share_of_plate


# ±6% is the mark on most run capacitors, 10% where shops change them: common practice, no source.
@pytest.mark.parametrize(
    ("share", "grade"),
    [(1.0, "good"), (0.94, "good"), (0.93, "watch"), (0.90, "watch"), (0.89, "change")],
)
def test_a_capacitor_goes_to_maintenance_before_it_is_changed(share: float, grade: str) -> None:
    assert CAPACITOR.grade(share) == grade


# Over 0.2 V across a closed contact under load it is changed: common practice, no source.
@pytest.mark.parametrize(("volt", "grade"), [(0.08, "good"), (0.15, "watch"), (0.21, "change")])
def test_a_contact_goes_to_maintenance_before_it_is_changed(volt: float, grade: str) -> None:
    assert CONTACT_DROP.grade(volt) == grade


@pytest.mark.parametrize("megohm", [500.0, 1e4, float("inf")])
def test_no_insulation_is_too_good(megohm: float) -> None:
    assert INSULATION.grade(megohm) == "good"


def test_what_is_no_number_speaks_for_nothing() -> None:
    assert CAPACITOR.grade(float("nan")) == "change"
    assert CONTACT_DROP.grade(float("nan")) == "change"


def test_a_compressor_takes_more_of_its_plate_in_hotter_weather() -> None:
    """It follows the condensing temperature; between the rows of the table in a straight line."""
    low, high = zip(*(typical_share_of_plate(celsius) for celsius in (18.0, 27.0, 35.0, 46.0)),
                    strict=True)  # fmt: skip
    assert list(low) == sorted(low)
    assert list(high) == sorted(high)
    assert typical_share_of_plate(31.0)[0] == pytest.approx(0.5 * (low[1] + low[2]))
    assert typical_share_of_plate(None) == (low[0], high[-1])


def test_seventy_percent_of_the_plate_is_usual_on_a_mild_day() -> None:
    low, high = typical_share_of_plate(24.0)
    assert low < 0.70 < high
