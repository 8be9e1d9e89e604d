"""Published worked examples and tables of the NEC and NEMA, each with its edition.

Where nothing else is said the source is a trade magazine or table page seen in a public copy
(secondary sources). Figures are exact but for the last digit that is printed.
"""

from __future__ import annotations

import pytest

from rungwise.replacement.nec.ampacity import (
    COPPER_A,
    SMALL_CONDUCTOR_A,
    LaidConductor,
    ambient_factor,
    ampacity,
    bundling_factor,
    smallest_awg,
)
from rungwise.replacement.nec.circuit_size import (
    CONDUCTOR,
    MARKING,
    CircuitLoads,
    compressor_conductor_a,
    compressor_device,
    disconnect_a,
    maximum_overcurrent,
    minimum_ampacity_a,
)
from rungwise.replacement.nec.tables import (
    KVA_PER_HP,
    is_standard,
    letter,
    locked_amp,
    size_down,
    size_up,
)
from rungwise.replacement.nec.unbalance import derating, unbalance
from rungwise.replacement.nec.voltage_drop import drop_v, effective_ohm_per_kft, ohm_per_kft


def test_an_18_a_compressor_of_the_2020_code() -> None:
    """Trade magazine, 2020 NEC: 22.5 A on 10 AWG (60 °C column), 30 A device, limit 40 A."""
    assert compressor_conductor_a(18.0) == 22.5
    assert smallest_awg(22.5, LaidConductor(14, terminal_c=60)) == 10
    device, limit = compressor_device(18.0), compressor_device(18.0, will_not_start=True)
    assert (device.raw_a, device.size_a) == (31.5, 30)
    assert (limit.raw_a, limit.size_a) == (40.5, 40)


def test_a_24_a_compressor_of_the_2011_code() -> None:
    """Trade magazine, 2011 NEC: 30 A on 10 AWG, 42 -> 40 A device, limit 54 -> 50 A."""
    assert compressor_conductor_a(24.0) == 30.0
    assert smallest_awg(30.0, LaidConductor(14, terminal_c=60)) == 10
    assert compressor_device(24.0).size_a == 40
    assert compressor_device(24.0, will_not_start=True).size_a == 50


def test_the_greater_of_rla_and_branch_circuit_selection_current_counts() -> None:
    """Trade magazine's quiz, 2005 NEC: RLA 38, BCSC 40, device 70 A."""
    assert compressor_device(38.0, 40.0).size_a == 70
    assert compressor_conductor_a(38.0, 40.0) == 50.0


def test_the_nameplate_formulas_for_compressor_and_fan() -> None:
    """RLA 16.7, FLA 1.1: MCA 21.975, MOP 38.675 -> 35 A (our arithmetic, UL 1995 formulas)."""
    loads = CircuitLoads(16.7, 1.1)
    assert minimum_ampacity_a(loads) == pytest.approx(21.975)
    device = maximum_overcurrent(loads)
    assert device.raw_a == pytest.approx(38.675)
    assert device.size_a == 35


def test_a_device_that_would_be_below_the_ampacity_is_raised() -> None:
    """Five motors of 1.8 A with one of 2 A: MCA 11.5, MOP 13.5, then 15 A (our arithmetic)."""
    loads = CircuitLoads(2.0, 9.0)
    assert minimum_ampacity_a(loads) == pytest.approx(11.5)
    device = maximum_overcurrent(loads)
    assert (device.raw_a, device.size_a) == (13.5, 15)
    assert device.raised


def test_the_trap_bites_above_the_floor_too() -> None:
    """L1 3, L2 18: MCA 21.75, MOP 24.75 -> 20 A would be below, so 25 A (our arithmetic)."""
    assert maximum_overcurrent(CircuitLoads(3.0, 18.0)).size_a == 25


def test_no_device_need_be_below_15_a() -> None:
    assert compressor_device(5.0).size_a == 15
    assert maximum_overcurrent(CircuitLoads(4.0)).size_a == 15


def test_other_loads_count_from_one_ampere_on() -> None:
    assert minimum_ampacity_a(CircuitLoads(10.0, 1.0, (0.29, 2.0))) == 15.5
    assert disconnect_a(CircuitLoads(10.0, 1.0, (0.29, 2.0))) == pytest.approx(1.15 * 13.29)


@pytest.mark.parametrize(
    ("amp", "down", "up"), [(70.0, 70, 70), (54.0, 50, 60), (65.0, 60, 70), (14.0, None, 15)]
)
def test_standard_sizes(amp: float, down: int | None, up: int | None) -> None:
    """NEC 240.6(A), 2023: 55, 65, 75 and 85 are not standard."""
    assert (size_down(amp), size_up(amp)) == (down, up)
    assert is_standard(amp) == (down == up)


def test_fuses_have_a_few_sizes_more() -> None:
    assert is_standard(10, fuse=True)
    assert not is_standard(10)


TABLE_310_16 = """
    14 15 20 25
    12 20 25 30
    10 30 35 40
     8 40 50 55
     6 55 65 75
     4 70 85 95
     3 85 100 115
     2 95 115 130
"""


def test_copper_ampacity_is_the_table_of_the_2023_code() -> None:
    """Table 310.16, 2023: two table pages agree."""
    printed = [[int(x) for x in row.split()] for row in TABLE_310_16.strip().splitlines()]
    assert {awg: tuple(amps) for awg, *amps in printed} == dict(COPPER_A)
    assert SMALL_CONDUCTOR_A == {14: 15, 12: 20, 10: 30}


CORRECTIONS = {
    60: (1.29, 1.22, 1.15, 1.08, 1.00, 0.91, 0.82, 0.71, 0.58, 0.41, 0.0),
    75: (1.20, 1.15, 1.11, 1.05, 1.00, 0.94, 0.88, 0.82, 0.75, 0.67, 0.58),
    90: (1.15, 1.12, 1.08, 1.04, 1.00, 0.96, 0.91, 0.87, 0.82, 0.76, 0.71),
}


@pytest.mark.parametrize("column", [60, 75, 90])
def test_ambient_correction_is_the_printed_table(column: int) -> None:
    """Table 310.15(B)(1)(1), 2023, at the top and just above the bottom of each band."""
    for at, printed in enumerate(CORRECTIONS[column]):
        top = 10 + 5 * at
        assert ambient_factor(column, top) == printed  # type: ignore[arg-type]
        assert ambient_factor(column, top - 4.9) == printed  # type: ignore[arg-type]
    assert ambient_factor(column, 61) == 0.0  # type: ignore[arg-type]


def test_the_table_pages_own_example() -> None:
    """12 AWG, 75 °C, 40 °C ambient: 25 × 0.88 = 22 A."""
    assert ampacity(LaidConductor(12, 75, 75, 40.0)).amp == pytest.approx(22.0)


@pytest.mark.parametrize(
    ("count", "factor"),
    [(3, 1.0), (6, 0.8), (7, 0.7), (20, 0.5), (30, 0.45), (40, 0.4), (41, 0.35)],
)
def test_bundling(count: int, factor: float) -> None:
    """Table 310.15(C)(1), 2023."""
    assert bundling_factor(count) == factor


def test_terminals_hold_a_conductor_down_whatever_its_insulation() -> None:
    """110.14(C)(1), 2023: 60 °C terminals, so the 90 °C column only helps with derating."""
    held = ampacity(LaidConductor(10, 90, 60))
    assert (held.amp, held.held_by) == (30.0, "its terminals")
    hot = ampacity(LaidConductor(10, 90, 60, ambient_c=50.0))
    assert hot.amp == 30.0, "40 A x 0.82 is still more than the terminals allow"
    assert ampacity(LaidConductor(10, 60, 60, ambient_c=50.0)).held_by == "its surroundings"


@pytest.mark.parametrize(
    ("awg", "ohm"),
    [(18, 7.77), (16, 4.89), (14, 3.07), (12, 1.93), (10, 1.21), (8, 0.764), (6, 0.491), (4, 0.308),
     (3, 0.245), (2, 0.194)],
)  # fmt: skip
def test_table_8_is_the_copper_of_astm_b258_when_warm(awg: int, ohm: float) -> None:
    """Chapter 9 Table 8, 2023; the same from diameter and conductivity within 1%.

    Diameter by ASTM B258-02, 1/58 Ω·mm²/m at 20 °C and 0.00393 per kelvin (IEC 60028), 2% for
    the lay of a stranded conductor.
    """
    assert ohm_per_kft(awg) == ohm
    area_mm2 = 0.7853981634 * (0.127 * 92 ** ((36 - awg) / 39)) ** 2
    warm = 304.8 / 58 / area_mm2 * (1 + 0.00393 * 55) * (1.02 if awg <= 6 else 1.0)
    assert ohm == pytest.approx(warm, rel=0.01)


def test_resistance_at_other_temperatures() -> None:
    """The note under Table 8: the factor is 0.8224 at 20 °C and 0.9516 at 60 °C."""
    for celsius, factor in ((20.0, 0.8224), (60.0, 0.9516)):
        assert ohm_per_kft(10, celsius) / ohm_per_kft(10) == pytest.approx(factor, abs=6e-5)


@pytest.mark.parametrize(
    ("awg", "effective"),
    [(14, 2.7), (12, 1.7), (10, 1.1), (8, 0.69), (6, 0.44), (4, 0.29), (3, 0.23), (2, 0.19)],
)
def test_table_9_effective_impedance_at_085(awg: int, effective: float) -> None:
    """Chapter 9 Table 9, 2023, PVC; one unit of the last digit, as its members are rounded too."""
    digits = 1 if effective >= 1 else 2
    assert effective_ohm_per_kft(awg, 0.85) == pytest.approx(effective, abs=10**-digits)


def test_the_drop_of_a_hundred_feet() -> None:
    """240 V, 20 A, 100 ft one way, 10 AWG: 4.84 V, 2.02% (computed from Table 8)."""
    lost = drop_v(10, 30.48, 20.0)
    assert lost == pytest.approx(4.84)
    assert 100 * lost / 240 == pytest.approx(2.02, abs=0.005)


@pytest.mark.parametrize(
    ("volts", "percent"),
    [
        ((460, 467, 450), 1.96),  # MG 1-14.36's own example, as a calculator page has it
        ((462, 463, 455), 1.087),  # DOE motor tip sheet, printed as 1.1%
        ((480, 476, 472), 0.84),  # a supplier page; highest less lowest would give 1.68
        ((208, 206, 199), 2.61),  # by the definition; a page prints "about 2.3%"
    ],
)
def test_unbalance_is_the_largest_deviation_over_the_mean(
    volts: tuple[float, ...], percent: float
) -> None:
    """NEMA MG 1-14.36; printed to two decimals."""
    assert 100 * unbalance(volts) == pytest.approx(percent, abs=0.005)


def test_unbalance_wants_three_volts() -> None:
    for volts in ((460.0, 467.0), (460.0, 0.0, 450.0)):
        with pytest.raises(ValueError, match="three line-to-line volts"):
            unbalance(volts)


@pytest.mark.parametrize(
    ("share", "factor"), [(0.0, 1.0), (0.02, 0.95), (0.03, 0.89), (0.05, 0.76)]
)
def test_derating_for_unbalance(share: float, factor: float) -> None:
    """MG 1 figure 14-1 as one page reads the curve; ±0.02, another reads 0.90 at 3%."""
    assert derating(share) == pytest.approx(factor, abs=0.02)
    assert derating(0.051) is None


def test_code_letters() -> None:
    """Table 430.7(B), 2023: 3 hp, 230 V, letter K is 104.3 to 117.3 A; I, O and Q are not used."""
    low, high = locked_amp("K", 3.0, 230.0)
    assert [low, high] == pytest.approx([104.3, 117.3], abs=0.05)
    assert [letter(x) for x in (0.5, 3.15, 8.5, 22.4, 40.0)] == ["A", "B", "K", "V", "V"]
    assert not {"I", "O", "Q"} & set(KVA_PER_HP)


def test_every_rule_tells_its_edition_and_how_sure_it_is() -> None:
    assert CONDUCTOR.text == "NEC 440.32 and 440.33, 2023"
    assert MARKING.text == "UL 1995 clause 36 (now UL 60335-2-40)"
