"""Electrical figures against their limits, their bands from the solved good unit."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from rungwise.diagnosis.checks import checks_of
from rungwise.faults import SuspectSet
from rungwise.files.document import Document
from rungwise.parts import Caution
from rungwise.unit.unit import Unit
from rungwise.unit.unit_file import arrangement, unit_from
from rungwise.verification.electric import Beside, bands_of, electric_findings
from rungwise.verification.finding import Finding
from rungwise.verification.limits import WARM_COPPER
from rungwise.verification.proof_checks import GoodUnit, own_checks
from rungwise.verification.start_story import seconds_band, seconds_to_start, startup
from rungwise.verification.trade_limits import copper_drop_v, wire_band

PLATE = 'arrangement = "one_pole_heater"\n[nameplate]\nrla_a = 16\nfan_fla_a = 1.4\nvolt = '


def plated(volts: str = "230") -> Unit:
    return unit_from(Document(f"{PLATE}{volts}\n", file="maple.toml"), name="maple")


@pytest.fixture(scope="module")
def good() -> GoodUnit:
    return GoodUnit(SuspectSet(plated()), particles=12)


@pytest.fixture(scope="module")
def good_of_two_voltages() -> GoodUnit:
    return GoodUnit(SuspectSet(plated('"208/230 V"')), particles=12)


def found(good: GoodUnit, readings: dict[str, float], **beside: float) -> dict[str, Finding]:
    told = electric_findings(good, readings, Beside(**beside))  # type: ignore[arg-type]
    return {each.id: each for each in told}


def test_sag_and_impedance_come_from_idle_running_and_amps(good: GoodUnit) -> None:
    taken = {"idle-volts-contactor-L1-L2": 242.0, "volts-contactor-L1-L2": 238.0}
    sag = found(good, {**taken, "amps-whip_l1": 20.0})["sag"]
    assert sag.value == pytest.approx(100.0 * 4.0 / 242.0)
    assert sag.level == "good"
    assert "200 mΩ" in sag.text


@pytest.mark.parametrize(
    ("running", "level"), [(238.0, "good"), (231.0, "caution"), (221.0, "refuse")]
)
def test_sag_is_judged_by_the_note_and_by_the_solved_supply(
    good: GoodUnit, running: float, level: str
) -> None:
    taken = {"idle-volts-contactor-L1-L2": 240.0, "volts-contactor-L1-L2": running}
    assert found(good, taken)["sag"].level == level


# IEC 60947-4-1: holds from 85% of rated coil volts (range seen); 24 V coil.
@pytest.mark.parametrize(
    ("volts", "level"), [(26.0, "good"), (27.6, "note"), (20.3, "refuse"), (29.5, "caution")]
)
def test_coil_volts(good: GoodUnit, volts: float, level: str) -> None:
    assert found(good, {"volts-coil": volts})["coil sealed"].level == level


# NEMA MG 1-12.44: within 10% of rated volts, seen: 207 to 253 V on a plate of 230 V.
@pytest.mark.parametrize(
    ("volts", "level"),
    [(230.0, "good"), (208.0, "good"), (207.0, "caution"), (204.0, "refuse"), (255.0, "refuse")],
)
def test_supply_volts_running(good: GoodUnit, volts: float, level: str) -> None:
    assert found(good, {"volts-contactor-L1-L2": volts})["supply"].level == level


# ANSI C84.1 and AHRI 110, from memory: 197 to 253 V on a plate of 208/230 V.
@pytest.mark.parametrize(("volts", "level"), [(207.0, "good"), (199.0, "good"), (195.0, "refuse")])
def test_207_volts_are_good_on_a_plate_of_208_and_230(
    good_of_two_voltages: GoodUnit, volts: float, level: str
) -> None:
    taken = {"volts-contactor-L1-L2": volts}
    supply = found(good_of_two_voltages, taken)["supply"]
    assert supply.level == level
    assert "208/230 V" in supply.text


# RLA follows from the largest continuous current and is a ceiling (common practice, no source).
@pytest.mark.parametrize(
    ("amps", "level"),
    [(8.5, "good"), (11.2, "good"), (15.8, "good"), (17.0, "caution"), (19.0, "refuse"),
     (6.0, "caution"), (0.4, "refuse")],
)  # fmt: skip
def test_the_plate_is_the_ceiling_of_compressor_amps(
    good: GoodUnit, amps: float, level: str
) -> None:
    assert found(good, {"amps-comp_c": amps})["compressor amps"].level == level


def test_a_fan_at_80_percent_of_its_fla_is_good(good: GoodUnit) -> None:
    fan = found(good, {"amps-fan_c": 0.8 * 1.4})["fan amps"]
    assert fan.level == "good"
    assert "80% of its FLA" in fan.text


def test_a_contact_tells_watts_rise_and_hottest_spot(good: GoodUnit) -> None:
    drop = "drop-contactor-L1-T1"
    contact = found(good, {drop: 0.2, "amps-whip_l1": 20.0})[drop]
    assert contact.value == pytest.approx(4.0)
    assert contact.level == "caution"
    assert "hottest spot" in contact.text
    assert found(good, {drop: 0.05})[drop].level == "good"
    assert found(good, {drop: 0.25})[drop].level == "refuse"


def test_a_wire_is_not_blamed_for_its_own_copper(good: GoodUnit) -> None:
    """R = rho·l/A, 1/58 Ω·mm²/m (IEC 60028), 20% more where it is warm: own arithmetic here."""
    wire = good.unit.wire_by_name["whip_l1"]
    square_mm = math.pi / 4.0 * (0.127 * 92.0 ** ((36.0 - wire.awg) / 39.0)) ** 2
    copper_v = 1.2 / 58.0 * wire.length_m / square_mm * 25.0
    drop = "drop-whip_l1"
    told = found(good, {drop: copper_v + 0.05, "amps-whip_l1": 25.0})[drop]
    assert told.value == pytest.approx(0.05 * 25.0, rel=1e-3)
    assert told.level == "good"
    worse = found(good, {drop: copper_v + 0.25, "amps-whip_l1": 25.0})[drop]
    assert worse.level == "refuse"


def test_the_sag_is_judged_behind_the_contacts_too_where_nobody_read_before_them(
    good: GoodUnit,
) -> None:
    """(240 - 216)/240 is 10%, three times NEC's advice; 216 V alone are within the plate."""
    told = found(good, {"idle-volts-contactor-L1-L2": 240.0, "volts-contactor-T1-T2": 216.0})
    assert told["sag"].value == pytest.approx(10.0)
    assert told["sag"].level == "refuse"


def test_two_meters_of_10_awg_take_180_millivolts_at_27_amps(good: GoodUnit) -> None:
    """3.28 mΩ a meter at 20 °C (wire tables), so 6.6 mΩ: 297 mV at 27.4 A leave a good joint."""
    wire = replace(good.unit.wire_by_name["whip_l1"], length_m=2.0, awg=10)
    cold = copper_drop_v(wire, 27.4) / WARM_COPPER
    assert cold / 27.4 == pytest.approx(6.56e-3, rel=0.01)
    assert cold == pytest.approx(0.180, abs=0.002)
    assert wire_band(wire, 27.4).level(0.297) == "good"
    assert wire_band(wire, 27.4).level(0.500) == "again"


def test_a_joints_amps_come_from_the_solution_where_nobody_took_them(good: GoodUnit) -> None:
    told = found(good, {"drop-contactor-L1-T1": 0.1})["drop-contactor-L1-T1"]
    (amp,) = {float(np.median(good.amps(w.name))) for w, _ in good.unit.wires_at("contactor.L1")
              if w.carries == "L1"}  # fmt: skip
    assert told.value == pytest.approx(0.1 * amp)


# 20 and 2 MΩ: common practice, no source; hermetic compressors have no published limit.
@pytest.mark.parametrize(
    ("megohm", "level"),
    [(math.inf, "good"), (500.0, "good"), (144.0, "good"), (20.0, "good"), (5.0, "caution"),
     (1.5, "refuse")],
)  # fmt: skip
def test_no_insulation_is_too_good(good: GoodUnit, megohm: float, level: str) -> None:
    told = found(good, {"insulation-compressor": megohm})["insulation-compressor"]
    assert told.level == level
    assert "inf" not in told.text


def test_insulation_is_told_at_40_c_where_the_windings_temperature_is_known(good: GoodUnit) -> None:
    warm = found(good, {"insulation-compressor": 30.0}, winding_c=20.0)["insulation-compressor"]
    assert warm.value == pytest.approx(30.0 / 4.0)  # two halvings to 40 °C
    assert warm.level == "good"


def test_unbalance_is_told_with_its_derating(good: GoodUnit) -> None:
    # The standard's own numbers (seen): 1.96%, and 0.95 of rating near 2% (curve, ±0.02).
    (small,) = electric_findings(good, {}, Beside(line_volts=(460.0, 467.0, 450.0)))
    assert small.value == pytest.approx(1.96, abs=0.005)
    assert small.level == "good"
    (large,) = electric_findings(good, {}, Beside(line_volts=(240.0, 240.0, 210.0)))
    assert large.level == "refuse"


def test_own_checks_are_none_of_the_diagnosis_and_have_their_limits(good: GoodUnit) -> None:
    ids = {check.card.id for check in own_checks(good.unit)}
    assert ids == {"start-volts-coil"}
    assert not ids & {check.card.id for check in checks_of(good.unit)}
    assert bands_of(good, {})["start-volts-coil"].low == pytest.approx(0.85 * 24.0)


def test_start_up_is_told_in_the_order_of_the_solved_sequence() -> None:
    unit = arrangement("hard_start_delay")
    steps = startup(unit)
    times = [step.time_s for step in steps]
    assert times == sorted(times)
    told = [str(step.what) for step in steps]
    assert told[0].startswith("Power still off, verified")
    assert isinstance(steps[1].what, Caution)
    assert steps[1].what.signal == "DANGER"
    delay = next(at for at, what in enumerate(told) if "passes Y on" in what)
    runs = next(at for at, what in enumerate(told) if what.startswith("compressor starts"))
    assert delay < runs
    assert not any("safe" in what.casefold() for what in told)


def test_the_delay_is_in_the_seconds_to_the_start() -> None:
    with_delay, without = arrangement("hard_start_delay"), arrangement("one_pole_heater")
    (part,) = with_delay.parts_of_kind("delay")
    seconds = seconds_to_start(with_delay)
    assert seconds is not None
    assert seconds == pytest.approx(part.values.get("delay_s", 180.0), abs=2.0)
    assert (seconds_to_start(without) or 0.0) < 2.0
    band = seconds_band(with_delay)
    assert band is not None
    assert band[0] < seconds < band[1]
