"""Saturation, superheat and subcooling against published rows and rows worked out outside.

"seen" and "computed" are as in the team's file of published values; nothing here was printed by
the code under test.
"""

from __future__ import annotations

import pytest

from rungwise.errors import BadReading, UnknownName
from rungwise.verification.refrigerant import (
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


# A general web table of R-410A, liquid, seen; 1% of the absolute pressure is its spread.
@pytest.mark.parametrize(("fahrenheit", "psig"), [(0, 48.2), (10, 62.3), (20, 78.7)])
def test_r410a_meets_a_published_pressure_table(fahrenheit: float, psig: float) -> None:
    ours = saturation_psi("R-410A", c(fahrenheit), "bubble")
    assert ours + ATMOSPHERE_PSI == pytest.approx(psig + ATMOSPHERE_PSI, rel=0.01)


# A maker's SI table of R-410A, gauge MPa, seen in a stored service manual, p. 223; 1% absolute.
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
# dew), not the equation of state. R-454B is 68.9/31.1% by mass. °F; R-22, R-134a, R-32, then
# R-410A and R-454B at the bubble and at the dew point.
ROWS = (
    (0, 24.03, 6.47, 49.25, 48.44, 48.22, 45.9, 42.9),
    (20, 43.10, 18.43, 80.02, 78.67, 78.36, 74.8, 70.6),
    (32, 57.53, 27.77, 103.23, 101.44, 101.06, 96.6, 91.5),
    (40, 68.56, 35.05, 120.95, 118.79, 118.36, 113.2, 107.5),
    (45, 76.07, 40.05, 133.00, 130.59, 130.12, 124.5, 118.3),
    (50, 84.07, 45.44, 145.85, 143.15, 142.64, 136.4, 129.9),
    (70, 121.44, 71.11, 205.83, 201.74, 201.06, 192.3, 183.9),
    (90, 168.40, 104.32, 281.32, 275.34, 274.46, 262.3, 251.9),
    (100, 195.91, 124.16, 325.67, 318.53, 317.56, 303.3, 291.9),
    (105, 210.76, 134.96, 349.65, 341.88, 340.85, 325.4, 313.5),
    (110, 226.37, 146.38, 374.88, 366.45, 365.37, 348.6, 336.3),
    (120, 259.96, 171.17, 429.34, 419.47, 418.31, 398.6, 385.5),
    (130, 296.89, 198.72, 489.48, 478.03, 476.84, 453.6, 440.0),
)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row[0]} F")
def test_every_refrigerant_meets_its_rows(row: tuple[float, ...]) -> None:
    celsius = c(row[0])
    pure = [saturation_psi(name, celsius, "dew") for name in ("R-22", "R-134a", "R-32")]
    assert pure == pytest.approx(row[1:4], abs=0.01)
    assert saturation_psi("R-32", celsius, "bubble") == pytest.approx(row[3], abs=0.01)
    r410a = [saturation_psi("R-410A", celsius, point) for point in ("bubble", "dew")]
    assert r410a == pytest.approx(row[4:6], abs=0.01)
    r454b = [saturation_psi("R-454B", celsius, point) for point in ("bubble", "dew")]
    assert r454b == pytest.approx(row[6:], abs=0.06)


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


# Bubble and dew point at an atmosphere, °C: the table of ASHRAE 34, from memory; 0.7 K is what the
# mixture models are off by.
@pytest.mark.parametrize(
    ("name", "bubble", "dew"),
    [
        ("R-22", -40.8, -40.8), ("R-134a", -26.1, -26.1), ("R-32", -51.7, -51.7),
        ("R-410A", -51.4, -51.4), ("R-407C", -43.6, -36.6), ("R-404A", -46.2, -45.5),
        ("R-507A", -46.7, -46.7), ("R-454B", -50.9, -50.0), ("R-454C", -46.0, -37.8),
        ("R-452B", -51.0, -50.3), ("R-513A", -29.2, -29.1), ("R-407A", -45.0, -38.6),
        ("R-452A", -47.0, -43.2), ("R-448A", -45.9, -39.8), ("R-449A", -46.0, -39.9),
    ],
)  # fmt: skip
def test_each_boils_at_an_atmosphere_where_the_standard_says(
    name: str, bubble: float, dew: float
) -> None:
    assert saturation_c(name, 0.0, "bubble") == pytest.approx(bubble, abs=0.7)
    assert saturation_c(name, 0.0, "dew") == pytest.approx(dew, abs=0.7)
    assert refrigerant(name).glide_k == pytest.approx(dew - bubble, abs=0.7)


def test_a_mixture_of_the_same_shares_boils_as_the_pseudo_pure_fluid() -> None:
    """R-407C by two formulations, Lemmon's pseudo-pure and the mixture of R-32, R-125, R-134a."""
    from CoolProp import CoolProp  # noqa: PLC0415  # slow to load

    mixture = CoolProp.AbstractState("HEOS", "R32&R125&R134a")
    mixture.set_mass_fractions([0.23, 0.25, 0.52])
    for quality, point in ((0.0, "bubble"), (1.0, "dew")):
        mixture.update(CoolProp.QT_INPUTS, quality, 278.15)
        ours = saturation_psi("R-407C", 5.0, "bubble" if point == "bubble" else "dew")
        assert (ours + ATMOSPHERE_PSI) * 6894.757 == pytest.approx(mixture.p(), rel=0.003)


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
