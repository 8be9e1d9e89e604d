"""Charge and air as proof: targets, states, and the conditions that make a figure worthless."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rungwise.verification.air import pressure_at
from rungwise.verification.cooling_proof import (
    RIVALS,
    AirReadings,
    ChargeReadings,
    Conditions,
    air_findings,
    charge_findings,
    charge_state,
    gauges_again,
    target_superheat_k,
    together,
    worthless_because,
)
from rungwise.verification.finding import Finding


def c(fahrenheit: float) -> float:
    return (fahrenheit - 32.0) / 1.8


WARM = Conditions(outdoor_c=c(95.0), run_minutes=15.0)
GOOD = ChargeReadings("R-410A", "expansion valve", 124.0, c(54.0), 352.0, c(97.0))


def levels(charge: ChargeReadings, conditions: Conditions = WARM) -> dict[str, str]:
    return {each.id: each.level for each in charge_findings(charge, conditions, c(65.0))}


def state(charge: ChargeReadings) -> str:
    return charge_state(charge_findings(charge, WARM, c(65.0)), charge.metering)


def test_a_charge_in_order_is_good_on_both() -> None:
    assert levels(GOOD) == dict.fromkeys(
        ("superheat", "subcooling", "condensing over the outdoor air", "evaporating temperature"),
        "good",
    )
    assert state(GOOD) == "as it should be"


@pytest.mark.parametrize(
    ("wet", "dry", "target"), [(65.0, 95.0, 10.0), (70.0, 95.0, 17.5), (63.0, 80.0, 14.5)]
)
def test_target_superheat_of_a_fixed_orifice(wet: float, dry: float, target: float) -> None:
    """(3·WB - 80 - DB)/2 in °F: common practice, no source."""
    found = target_superheat_k(c(wet), c(dry))
    assert found is not None
    assert 1.8 * found == pytest.approx(target)


def test_no_target_where_the_charts_end() -> None:
    assert target_superheat_k(c(55.0), c(105.0)) is None


# Common practice, no source: which way superheat and subcooling go with what is wrong.
@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        ({"suction_psi": 95.0, "suction_line_c": c(66.0), "liquid_line_c": c(107.0)}, "low charge"),
        ({"suction_psi": 90.0, "suction_line_c": c(66.0)}, "restriction"),
        ({"suction_psi": 135.0, "suction_line_c": c(48.5), "liquid_line_c": c(84.0)}, "overcharge"),
        ({"suction_psi": 105.0, "suction_line_c": c(35.0)}, "low air flow"),
        ({"suction_psi": 124.0, "suction_line_c": c(43.5), "liquid_line_c": c(107.0)}, RIVALS),
    ],
)
def test_state_of_the_charge(changes: dict[str, float], expected: str) -> None:
    assert state(replace(GOOD, **changes)) == expected  # type: ignore[arg-type]


def test_both_low_names_every_rival_and_not_one() -> None:
    """Low air, a valve that overfeeds, a compressor that pumps little: common practice."""
    low = replace(GOOD, suction_line_c=c(43.5), liquid_line_c=c(107.0))
    (told,) = together(charge_findings(low, WARM), low.metering)
    assert told.level == "note"
    for rival in ("low air flow", "overfeeding valve", "weak compressor"):
        assert rival in told.text
    assert together(charge_findings(GOOD, WARM), GOOD.metering) == ()


def test_one_figure_slightly_off_says_nothing_of_the_charge() -> None:
    assert levels(replace(GOOD, liquid_line_c=c(91.5)))["subcooling"] == "caution"
    assert state(replace(GOOD, liquid_line_c=c(91.5))) == "as it should be"


@pytest.mark.parametrize(
    ("conditions", "said"),
    [
        (Conditions(outdoor_c=c(50.0), run_minutes=20.0), "too cold"),
        (Conditions(outdoor_c=c(90.0), run_minutes=4.0), "10 to 15"),
        (Conditions(outdoor_c=c(90.0), run_minutes=20.0, outdoor_coil_wet=True), "wet"),
    ],
)
def test_conditions_that_make_a_charge_figure_worthless(conditions: Conditions, said: str) -> None:
    assert any(said in why for why in worthless_because(conditions))
    found = charge_findings(GOOD, conditions)
    assert {each.level for each in found} == {"worthless"}
    assert charge_state(found, GOOD.metering) == "unknown"


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"liquid_psi": 110.0}, "swapped hoses"),
        ({"suction_line_c": c(30.0)}, "colder than the gas"),
        ({"liquid_line_c": c(115.0)}, "hotter than the liquid"),
        ({"liquid_psi": 200.0, "liquid_line_c": c(60.0)}, "below the outdoor air"),
    ],
)
def test_a_gauge_that_cannot_be_believed_is_told(changes: dict[str, float], said: str) -> None:
    found = charge_findings(replace(GOOD, **changes), WARM)  # type: ignore[arg-type]
    assert all(each.level == "worthless" for each in found)
    assert any(said in each.text for each in found)
    (again,) = gauges_again(replace(GOOD, **changes), WARM)  # type: ignore[arg-type]
    assert again.level == "again"
    assert said in again.text
    assert gauges_again(GOOD, WARM) == ()


def test_an_outdoor_temperature_with_its_point_elsewhere_is_read_again() -> None:
    """9.1 °F for 91 °F beside the pressures of a summer day; a cold day's own pressures stand."""
    cold = replace(WARM, outdoor_c=c(9.1))
    (again,) = gauges_again(GOOD, cold)
    assert again.level == "again"
    assert "over the outdoor air" in again.text
    winter = replace(GOOD, liquid_psi=230.0, liquid_line_c=c(60))
    assert gauges_again(winter, cold) == ()


def test_a_fixed_orifice_is_not_refused_for_its_subcooling() -> None:
    orifice = replace(GOOD, metering="fixed orifice", liquid_line_c=c(75.0))
    assert levels(orifice)["subcooling"] == "caution"


def by_id(found: tuple[Finding, ...]) -> dict[str, Finding]:
    return {each.id: each for each in found}


# 15 to 25 °F without the wet bulb: common practice, no source; 10 °F is told and stops nothing.
@pytest.mark.parametrize(
    ("supply_c", "level"), [(14.0, "good"), (18.5, "caution"), (21.0, "caution")]
)
def test_a_split_without_wet_bulb_is_judged_roughly(supply_c: float, level: str) -> None:
    (split,) = air_findings(AirReadings(24.0, supply_dry_c=supply_c), WARM)
    assert (split.id, split.level) == ("air split", level)


def test_a_capacity_without_supply_wet_bulb_is_worthless() -> None:
    dry = by_id(air_findings(AirReadings(24.0, 17.0, 14.0, flow_m3_s=0.5), WARM))
    assert dry["total capacity"].level == "worthless"


# 25 °C with 18 °C wet holds 50.7 kJ/kg, 19 with 15.5 °C 43.3 kJ/kg (chart): 0.58 kg/s give 4.3 kW.
@pytest.mark.parametrize(
    ("rated_w", "level"),
    [(10_550.0, "refuse"), (5_800.0, "caution"), (4_400.0, "good"), (3_000.0, "refuse")],
)
def test_capacity_far_off_its_rating_is_refused(rated_w: float, level: str) -> None:
    air = AirReadings(25.0, 18.0, 19.0, 15.5, flow_m3_s=0.5, rated_w=rated_w)
    found = by_id(air_findings(air, WARM))["total capacity"]
    assert found.value == pytest.approx(4300.0, rel=0.03)
    assert found.level == level
    soon = by_id(air_findings(air, Conditions(c(90.0), 3.0)))
    assert {each.level for each in soon.values()} == {"worthless"}


# Common practice, no source: 30 °F over the air at the most, 35 to 55 °F in the evaporator.
@pytest.mark.parametrize(
    ("changes", "name", "level"),
    [
        ({"liquid_psi": 560.0, "liquid_line_c": c(135.0)}, "condensing over the outdoor air",
         "refuse"),
        ({"suction_psi": 78.0, "suction_line_c": c(30.0)}, "evaporating temperature", "refuse"),
        ({"suction_psi": 101.0, "suction_line_c": c(45.0)}, "evaporating temperature", "refuse"),
        ({"suction_psi": 106.0, "suction_line_c": c(45.0)}, "evaporating temperature", "caution"),
        ({"suction_psi": 205.0, "suction_line_c": c(82.0)}, "evaporating temperature", "refuse"),
        ({"liquid_psi": 430.0, "liquid_line_c": c(110.0)}, "condensing over the outdoor air",
         "good"),
        ({"liquid_psi": 480.0, "liquid_line_c": c(118.0)}, "condensing over the outdoor air",
         "refuse"),
    ],
)  # fmt: skip
def test_a_dirty_coil_and_one_that_will_ice_are_not_passed(
    changes: dict[str, float], name: str, level: str
) -> None:
    """R-410A at 430, 480 and 560 psi condenses near 121, 130 and 142 °F over air of 95 °F.

    At 78, 101 and 205 psi it evaporates near 20, 32 and 70 °F.
    """
    assert levels(replace(GOOD, **changes))[name] == level  # type: ignore[arg-type]


def test_a_cooler_s_coil_is_built_to_freeze() -> None:
    """R-448A serves coolers; below freezing it is told, and refuses nothing."""
    cooler = ChargeReadings("R-448A", "expansion valve", 50.0, c(32.0))
    assert levels(cooler)["evaporating temperature"] == "caution"


# By hand from printed rows (R-134a 27.77 psig at 32 °F and 35.05 at 40 °F, R-410A 101.06 and
# 118.36): the air of 5,400 ft has 2.65 psi less (ASHRAE's formula), which is 1.6 and 0.7 K.
@pytest.mark.parametrize(
    ("name", "psi", "line", "more_k"), [("R-134a", 31.4, 52.0, 1.62), ("R-410A", 110.0, 52.0, 0.68)]
)
def test_a_gauge_on_a_height_reads_against_thinner_air(
    name: str, psi: float, line: float, more_k: float
) -> None:
    high = replace(WARM, pressure_pa=pressure_at(5400.0 * 0.3048))
    told = ChargeReadings(name, "expansion valve", psi, c(line))
    low_heat, high_heat = (
        by_id(charge_findings(told, each))["superheat"].value for each in (WARM, high)
    )
    assert low_heat is not None
    assert high_heat is not None
    assert high_heat - low_heat == pytest.approx(more_k, abs=0.1)


def test_supply_air_wetter_than_the_return_is_refused_with_and_without_the_flow() -> None:
    """No cooling coil adds water: the balance of water needs no source."""
    for flow in (None, 0.5):
        air = AirReadings(25.0, 14.0, 16.0, 15.5, flow_m3_s=flow)
        assert by_id(air_findings(air, WARM))["supply air"].level == "refuse"
    dry = AirReadings(25.0, 18.0, 14.0, 13.0, flow_m3_s=0.5)
    assert "supply air" not in by_id(air_findings(dry, WARM))
