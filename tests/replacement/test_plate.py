"""The nameplate against itself and against the circuit that serves the unit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import pytest

from rungwise.replacement.plate import Plate, Surroundings, plate_of
from rungwise.replacement.plate_contradictions import contradictions_of
from rungwise.replacement.plate_figures import PlateFinding, Standing
from rungwise.unit.unit import Part, Unit
from rungwise.unit.unit_file import FIRST_ARRANGEMENTS, arrangement

UNIT = arrangement("one_pole_heater")
FINE, DOUBT, WRONG = Standing.FINE, Standing.DOUBT, Standing.WRONG


def changed(parts: Mapping[str, Mapping[str, float]], **marked: float) -> Unit:
    """The arrangement with other figures on parts and on the plate."""
    made = tuple(replace(p, values={**p.values, **parts.get(p.name, {})}) for p in UNIT.parts)
    return replace(UNIT, parts=made, nameplate={**UNIT.nameplate, **marked})


def by_rule(plate: Plate) -> dict[str, PlateFinding]:
    return {finding.rule: finding for finding in reversed(plate.findings)}


def found(
    rule: str, parts: Mapping[str, Mapping[str, float]], **marked: float
) -> PlateFinding | None:
    return by_rule(plate_of(changed(parts, **marked))).get(rule)


def level(rule: str, parts: Mapping[str, Mapping[str, float]], **marked: float) -> Standing | None:
    told = found(rule, parts, **marked)
    return told.level if told else None


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_the_shipped_arrangements_contradict_nothing(name: str) -> None:
    assert plate_of(arrangement(name)).stands


def test_sizes_are_those_of_the_formulas() -> None:
    """16 A and 1.3 A: MCA 21.3, MOP 37.3 -> 35 A; the heater's 0.29 A do not count (UL 1995)."""
    plate = plate_of(UNIT)
    assert plate.mca_a == pytest.approx(21.3)
    assert plate.device.raw_a == pytest.approx(37.3)
    assert plate.device.size_a == 35
    assert plate.disconnect_a == pytest.approx(1.15 * (17.3 + 70 / 240))


@pytest.mark.parametrize(
    ("rule", "parts", "marked", "wanted"),
    [
        ("plate.mca", {}, {"mca_a": 21.3}, FINE),
        ("plate.mca", {}, {"mca_a": 18.0}, WRONG),
        ("plate.mocp_below_mca", {}, {"mca_a": 30.0, "mocp_a": 25.0}, WRONG),
        ("plate.mocp_below_mca", {}, {"mca_a": 22.0, "mocp_a": 35.0}, None),
        ("plate.mocp_size", {}, {"mocp_a": 33.0}, DOUBT),
        ("plate.mocp_size", {}, {"mocp_a": 35.0}, None),
        ("plate.mocp_above", {}, {"mocp_a": 60.0}, DOUBT),
        ("plate.mocp_above", {}, {"mocp_a": 35.0}, None),
        ("plate.lra", {"compressor": {"locked_a": 200.0}}, {}, DOUBT),
        ("plate.lra", {"compressor": {"locked_a": 30.0}}, {}, DOUBT),
        ("plate.volts", {"compressor": {"rated_volt": 120.0}}, {}, WRONG),
        ("plate.volts", {"compressor": {"rated_volt": 230.0}}, {}, None),
        ("plate.no_such_motor", {"compressor": {"locked_a": 250.0}}, {}, WRONG),
        ("plate.no_such_motor", {"fan": {"run_uf": 45.0}}, {}, WRONG),
        ("plate.no_such_motor", {"compressor": {"rated_a": 40.0, "locked_a": 80.0}}, {}, WRONG),
        ("plate.no_such_motor", {}, {}, None),
        ("plate.microfarads", {"compressor": {"run_uf": 5.0}}, {}, DOUBT),
        ("plate.microfarads", {}, {}, FINE),
        ("plate.capacitor", {"capacitor": {"herm_uf": 35.0}}, {"herm_uf": 45.0}, WRONG),
        ("circuit.device", {"outdoor_breaker": {"rating_a": 30.0}}, {}, FINE),
        ("circuit.device", {"outdoor_breaker": {"rating_a": 50.0}}, {}, WRONG),
        ("circuit.device", {"outdoor_breaker": {"rating_a": 20.0}}, {}, WRONG),
        ("circuit.device", {}, {}, DOUBT),
        ("circuit.disconnect", {"disconnect": {"rating_a": 30.0}}, {}, FINE),
        ("circuit.disconnect", {"disconnect": {"rating_a": 20.0}}, {}, WRONG),
    ],
)
def test_each_rule(
    rule: str,
    parts: Mapping[str, Mapping[str, float]],
    marked: Mapping[str, float],
    wanted: Standing | None,
) -> None:
    assert level(rule, parts, **marked) is wanted


def test_what_the_unit_file_does_not_say_is_asked_for_and_not_judged() -> None:
    """The kinds' usual amps are no ground to call a breaker wrong."""
    told = by_rule(plate_of(UNIT))["circuit.device"]
    assert told.level is DOUBT
    assert "21.3 A to 35 A" in told.text


def test_a_mark_that_is_told_as_misread_is_no_yardstick() -> None:
    """MCA 18 A under 1.25 × 16 + 1.3 = 21.3 A; a maximum of 60 A over 2.25 × 16 + 1.3 = 37.3 A."""
    for marked in ({"mca_a": 18.0}, {"mocp_a": 60.0}, {"mca_a": 18.0, "mocp_a": 20.0}):
        plate = plate_of(replace(UNIT, nameplate=marked))
        assert plate.limits.least_a == pytest.approx(21.3)
        assert plate.limits.most_a == 35.0
    right = plate_of(replace(UNIT, nameplate={"mca_a": 22.0, "mocp_a": 30.0})).limits
    assert (right.least_a, right.most_a) == (22.0, 30.0)


def with_run(awg: float, length_m: float = 18.0) -> Unit:
    wires = tuple(
        replace(w, awg=awg, length_m=length_m) if w.name.startswith("run_") else
        replace(w, awg=awg) if w.name.startswith("whip_") else w
        for w in UNIT.wires
    )  # fmt: skip
    return replace(UNIT, wires=wires)


def test_a_conductor_is_held_to_terminals_and_ambient() -> None:
    """12 AWG carries 20 A on 60 °C terminals and 25 A on 75 °C (310.16, 2023); 21.3 A are asked."""
    unit = with_run(12)
    cold, marked, hot = (
        by_rule(plate_of(unit, around))["circuit.conductor"]
        for around in (Surroundings(), Surroundings(terminal_c=75),
                       Surroundings(terminal_c=75, ambient_c=45.0))
    )  # fmt: skip
    assert (cold.level, cold.has) == (WRONG, 20.0)
    assert "10 AWG carries it" in cold.text
    assert (marked.level, marked.has) == (FINE, 25.0)
    assert hot.level is WRONG
    assert hot.has == pytest.approx(25 * 0.82)


def test_a_small_conductor_may_stand_behind_a_larger_device_here() -> None:
    """12 AWG behind 35 A: 240.4(G) gives way to Article 440."""
    told = by_rule(plate_of(with_run(12), Surroundings(terminal_c=75)))
    assert "more than 20 A" in told["circuit.small_conductor"].text


def test_a_size_outside_the_table_is_said_to_be() -> None:
    assert by_rule(plate_of(with_run(1)))["circuit.conductor"].level is DOUBT


def test_the_drop_by_table_is_near_the_drop_as_solved() -> None:
    """The table has copper at 75 °C, the solution at 20 °C with joints and closed contacts.

    60 m of 10 AWG: by Table 8 2·60 m·1.21 Ω/kft·17.6 A = 8.4 V, and 2 m of whip.  The table takes
    the plate's amps, which are a ceiling: on a call a good unit draws 55 to 90% of them.
    """
    told = by_rule(plate_of(with_run(10, 60.0)))["circuit.drop"]
    assert told.level is DOUBT
    assert told.has == pytest.approx(2 * 62 / 304.8 * 1.21 * (17.3 + 70 / 240), rel=1e-6)
    solved = float(told.text.partition("its reactance, ")[2].partition(" V")[0])
    assert 0.55 < solved / ((told.has or 0) * 0.8224) < 0.9


def test_unbalance_of_a_three_phase_supply() -> None:
    """NEMA MG 1's own volts: 1.96%; and 10% is more than any motor should run on."""
    levels = {}
    for volts in ((460.0, 461.0, 459.0), (460.0, 467.0, 450.0), (460.0, 500.0, 420.0)):
        plate = plate_of(UNIT, Surroundings(line_volts=volts))
        levels[volts[1]] = by_rule(plate)["supply.unbalance"].level
    assert levels == {461.0: FINE, 467.0: DOUBT, 500.0: WRONG}


def on_supply(leg_volt: float, **marked: float) -> Unit:
    """The unit with a plate, its motors rated by it, on a service of 2 × `leg_volt`."""
    rated = {"rated_volt": marked["volt"]}
    unit = changed({"compressor": rated, "fan": rated, "service": {"leg_volt": leg_volt}}, **marked)
    assert unit.parts_of_kind("service")
    return unit


# 208/230 V: 197 to 253 V (ANSI C84.1 and AHRI 110, from memory); 230 V: 207 to 253 V (NEMA MG 1).
@pytest.mark.parametrize(
    ("leg_volt", "marked", "wanted"),
    [
        (103.5, {"volt": 230.0, "volt_low": 208.0}, None),
        (99.0, {"volt": 230.0, "volt_low": 208.0}, None),
        (98.0, {"volt": 230.0, "volt_low": 208.0}, WRONG),
        (103.5, {"volt": 230.0}, None),
        (103.0, {"volt": 230.0}, WRONG),
    ],
)
def test_a_plate_of_two_voltages_has_the_wider_supply(
    leg_volt: float, marked: Mapping[str, float], wanted: Standing | None
) -> None:
    told = next(
        (each for each in contradictions_of(on_supply(leg_volt, **marked))
         if each.rule == "plate.volts"), None,
    )  # fmt: skip
    assert (told.level if told else None) is wanted


def test_a_motor_whose_amps_no_kind_tells_is_not_judged_but_told() -> None:
    unit = arrangement("two_pole_plain")
    more = Part("drive", "electronic_fan_motor", "outdoor")
    rules = by_rule(plate_of(replace(unit, parts=(*unit.parts, more))))
    assert rules["circuit.uncounted"].level is Standing.DOUBT
    assert "circuit.uncounted" not in by_rule(plate_of(unit))
