"""Saturation, superheat and subcooling against published rows and rows worked out outside.

"seen" and "computed" are as in the team's file of published values; nothing here was printed by
the code under test.
"""

from __future__ import annotations

import pytest

from rungwise.errors import BadReading, UnknownName
from rungwise.proof.refrigerant import (
    REFRIGERANTS,
    refrigerant,
    saturation_c,
    saturation_psi,
    subcooling_k,
    superheat_k,
)

ATMOSPHERE_PSI = 14.696
PSI_PER_MPA = 145.0377


def c(fahrenheit: float) -> float:
    return (fahrenheit - 32.0) / 1.8


# A general web table of R-410A, liquid, seen; 1 % of the absolute pressure is its spread.
@pytest.mark.parametrize(("fahrenheit", "psig"), [(0, 48.2), (10, 62.3), (20, 78.7)])
def test_r410a_meets_a_published_pressure_table(fahrenheit: float, psig: float) -> None:
    ours = saturation_psi("R-410A", c(fahrenheit), "bubble")
    assert ours + ATMOSPHERE_PSI == pytest.approx(psig + ATMOSPHERE_PSI, rel=0.01)


# A maker's SI table of R-410A, gauge MPa, seen in a stored service manual, p. 223; 1 % absolute.
@pytest.mark.parametrize(
    ("celsius", "mpa", "point"),
    [
        (0, 0.7044, "bubble"), (20, 1.353, "bubble"), (40, 2.332, "bubble"), (50, 2.974, "bubble"),
        (20, 1.348, "dew"), (30, 1.788, "dew"), (40, 2.323, "dew"), (50, 2.963, "dew"),
    ],
)  # fmt: skip
def test_r410a_meets_a_published_si_table(celsius: float, mpa: float, point: str) -> None:
    ours = saturation_psi("R-410A", celsius, "bubble" if point == "bubble" else "dew")
    published = mpa * PSI_PER_MPA
    assert ours + ATMOSPHERE_PSI == pytest.approx(published + ATMOSPHERE_PSI, rel=0.01)


# Rows computed outside with CoolProp 8.0.0, psig; they hold the set-up (fluid, gauge, bubble or
# dew), not the equation of state. R-454B is 68.9/31.1 % by mass.
@pytest.mark.parametrize(
    ("name", "fahrenheit", "bubble", "dew"),
    [
        ("R-22", 40, 68.56, 68.56), ("R-22", 110, 226.37, 226.37),
        ("R-134a", 40, 35.05, 35.05), ("R-134a", 120, 171.17, 171.17),
        ("R-32", 40, 120.95, 120.95), ("R-32", 130, 489.48, 489.48),
        ("R-410A", 40, 118.79, 118.36), ("R-410A", 130, 478.03, 476.84),
        ("R-454B", 40, 113.2, 107.5), ("R-454B", 110, 348.6, 336.3),
    ],
)  # fmt: skip
def test_every_refrigerant_meets_its_rows(
    name: str, fahrenheit: float, bubble: float, dew: float
) -> None:
    assert saturation_psi(name, c(fahrenheit), "bubble") == pytest.approx(bubble, abs=0.06)
    assert saturation_psi(name, c(fahrenheit), "dew") == pytest.approx(dew, abs=0.06)


# Computed outside (CoolProp 8.0.0): suction psig, line °F, superheat °F; liquid psig, line °F,
# subcooling °F.
@pytest.mark.parametrize(
    ("name", "suction", "liquid"),
    [
        ("R-410A", (118, 55, 15.16), (340, 95, 9.61)),
        ("R-22", (68.5, 50, 10.04), (226, 100, 9.89)),
        ("R-32", (120, 55, 15.41), (340, 95, 8.02)),
    ],
)
def test_superheat_goes_by_dew_and_subcooling_by_bubble(
    name: str, suction: tuple[float, float, float], liquid: tuple[float, float, float]
) -> None:
    psi, line, superheat = suction
    assert 1.8 * superheat_k(name, psi, c(line)) == pytest.approx(superheat, abs=0.02)
    psi, line, subcooling = liquid
    assert 1.8 * subcooling_k(name, psi, c(line)) == pytest.approx(subcooling, abs=0.02)


@pytest.mark.parametrize("name", REFRIGERANTS)
def test_pressure_and_temperature_undo_each_other(name: str) -> None:
    for celsius in (-10.0, 5.0, 45.0):
        for point in ("bubble", "dew"):
            psi = saturation_psi(name, celsius, point)
            assert saturation_c(name, psi, point) == pytest.approx(celsius, abs=1e-3)


def test_glide_of_r454b_is_a_kelvin_or_two() -> None:
    glide = saturation_c("R-454B", 115.0, "dew") - saturation_c("R-454B", 115.0, "bubble")
    assert 0.8 < glide < 2.5
    assert refrigerant("R-454B").glides
    assert not refrigerant("R-32").glides


@pytest.mark.parametrize("typed", ["R410A", "r-410a", "410A", "R 410A"])
def test_a_refrigerant_is_known_as_people_write_it(typed: str) -> None:
    assert refrigerant(typed).name == "R-410A"


def test_an_unknown_refrigerant_lists_the_known() -> None:
    with pytest.raises(UnknownName, match="R-454B"):
        refrigerant("R-999")


@pytest.mark.parametrize("psi", [-14.0, 900.0])
def test_a_pressure_that_cannot_be_is_refused_with_the_next_step(psi: float) -> None:
    with pytest.raises(BadReading, match="gauge again"):
        saturation_c("R-22", psi, "dew")
