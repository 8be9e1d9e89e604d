"""Cases judged by hand: what is known to be good condemns nobody, what is telling tells.

Each case has its reason from outside beside it. Ranges are common practice without a source unless
one is named; the arithmetic of a case stands in it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import cache

import pytest
from tests.cli.running import EXAMPLES
from tests.tables import solved

from rungwise.diagnosis import Belief, ReadingModel, next_check
from rungwise.diagnosis.healthy_proof import healthy_repair
from rungwise.diagnosis.verdict_rules import Verdict, verdict
from rungwise.services.input_files import unit_from_text

THREE_TONS = """
arrangement = "one_pole_heater"
[nameplate]
volt = "208/230 V"
rla_a = "16 A"
lra_a = "80 A"
fan_fla_a = "1.3 A"
herm_uf = "45 µF"
fan_uf = "5 µF"
heater_w = "70 W"
"""

TWO_TONS = """
arrangement = "two_pole_plain"
[nameplate]
volt = "208/230 V"
rla_a = "11 A"
lra_a = "58 A"
fan_fla_a = "0.9 A"
herm_uf = "35 µF"
fan_uf = "5 µF"
"""

WITH_KIT = """
arrangement = "hard_start_delay"
[nameplate]
volt = "208/230 V"
rla_a = "26.4 A"
lra_a = "134 A"
fan_fla_a = "2 A"
herm_uf = "80 µF"
fan_uf = "10 µF"
"""

RUNS = {
    "look-compressor": "running",
    "look-fan": "turning",
    "look-blower": "turning",
    "look-idle": "stops",
    "look-plunger": "yes",
}
OUTDOORS_DEAD = RUNS | {
    "look-compressor": "silent",
    "look-fan": "not turning",
    "look-plunger": "no",
}
NO_POWER_OUTDOORS = OUTDOORS_DEAD | {"look-plunger": "yes"}
HOUSE_DEAD = OUTDOORS_DEAD | {"look-blower": "not turning"}
HUMS = RUNS | {"look-compressor": "hums and trips"}

Readings = Mapping[str, float | str]

NO_WORSE = 1.5
"""A good reading may raise a part's odds against a good unit by this at most."""


@cache
def model(text: str) -> ReadingModel:
    """The prepared table of a unit."""
    return ReadingModel(solved(unit_from_text(text)))


def call(text: str, *told: Readings) -> Belief:
    """The belief after these readings, in their order."""
    belief = Belief.start(model(text))
    for readings in told:
        for check, value in readings.items():
            belief = belief.observe(check, value)
    return belief


def odds(belief: Belief, part: str) -> float:
    """Of anything wrong with a part against nothing wrong."""
    healthy = healthy_repair(belief.table)
    assert healthy is not None
    parts = belief.table.by_part
    return float(belief.posterior(parts)[parts.index(part)]) / belief.by_repair()[healthy]


def named(told: Verdict) -> str:
    """The repair that the verdict stands for, "" where it names none."""
    sure = told.kind in ("found", "suspected") and told.answer is not None
    return told.answer.repair if sure and told.answer else ""


def assert_good(text: str, part: str, readings: Readings, *, nobody: bool = True) -> None:
    """The readings neither accuse the part nor are called impossible, alone or as a pair."""
    before, after = call(text, RUNS), call(text, RUNS, readings)
    told = verdict(after)
    assert odds(after, part) <= NO_WORSE * odds(before, part)
    assert (told.doubtful, told.clashes) == ((), ())
    assert not named(told).startswith(f"{part}:")
    if nobody:
        assert named(told) == ""


@pytest.mark.parametrize("ohm", [9.5, 11.0, 19.0])
def test_a_coil_of_8_to_20_ohms_is_good(ohm: float) -> None:
    """24 V contactor coils go from about 8 to 20 Ω by make; no plate says."""
    assert_good(THREE_TONS, "contactor", {"ohms-coil": ohm})


def test_windings_that_add_up_are_good_at_any_size() -> None:
    """C to R and C to S add up to R to S: 1.2 + 3.3 = 4.5 Ω; two tons have more than three."""
    ohms: Readings = {
        "ohms-compressor-C-R": 1.2, "ohms-compressor-C-S": 3.3, "ohms-compressor-R-S": 4.5,
    }  # fmt: skip
    assert_good(TWO_TONS, "compressor", ohms)


def test_a_compressor_at_seven_tenths_of_its_rla_is_good_on_a_mild_day() -> None:
    """RLA is from the most that it may draw all day (UL 60335-2-34, from memory): a ceiling."""
    assert_good(THREE_TONS, "compressor", {"amps-comp_c": 0.7 * 16.0})


def test_a_fan_at_eight_tenths_of_its_fla_is_good() -> None:
    """FLA is a ceiling too: 70 to 95% of it is ordinary."""
    assert_good(THREE_TONS, "fan", {"amps-fan_c": 0.8 * 1.3})


def test_no_insulation_is_too_good() -> None:
    """OL on a megohmmeter is the best answer there is."""
    assert_good(THREE_TONS, "compressor", {"insulation-compressor": math.inf})


def test_a_contact_of_five_milliohms_is_good() -> None:
    """0.005 Ω at 14 A drop 70 mV; a contact is changed over 200 mV."""
    assert_good(THREE_TONS, "contactor", {"amps-comp_c": 14.0, "drop-contactor-L1-T1": 0.070})


def test_24_volts_on_a_24_volt_transformer_are_good() -> None:
    """23 to 29 V: 24.2 V is the rated voltage under load."""
    assert_good(THREE_TONS, "transformer", {"volts-transformer-R-C": 24.2})


def test_207_volts_are_good_on_a_plate_of_two_ratings() -> None:
    """208/230 V runs on 197 to 253 V, 10% about the two ratings (AHRI 210/240, from memory)."""
    readings: Readings = {"idle-volts-contactor-L1-L2": 208.0, "volts-contactor-L1-L2": 207.0}
    assert_good(THREE_TONS, "service", readings)


def test_inrush_at_the_locked_amps_of_the_plate_is_good() -> None:
    """The rotor stands still at the first swing: 78 A of 80 A LRA on a motor that then runs."""
    assert_good(THREE_TONS, "compressor", {"start-amps-comp_c": 78.0})


def test_a_fan_that_stands_is_looked_at_before_the_compressor_that_trips() -> None:
    """Without air the head pressure and the amps rise until the overload opens."""
    trips = RUNS | {"look-compressor": "runs, then trips", "look-fan": "not turning"}
    belief = call(THREE_TONS, trips)
    assert belief.best_repair()[0] in {"fan:replace", "capacitor:replace"}
    stuck = belief.observe("look-fan-by-hand", "stuck")
    assert named(verdict(stuck)) == "fan:replace"


def test_a_grounded_compressor_is_found_behind_its_tripped_breaker() -> None:
    """A breaker trips on something: 2 Ω from T1 to the cabinet forbid any reset.

    With its leads off at the contactor a winding reads to ground through them as well, so the
    leads themselves are read before the compressor is named.
    """
    tripped: Readings = {"look-outdoor_breaker": "tripped"}
    seen = call(THREE_TONS, NO_POWER_OUTDOORS, tripped)
    assert verdict(seen).kind != "found"
    first = next_check(seen).check
    assert first is not None
    assert first.id == "ohms-contactor-T1-earth"
    shorted: Readings = {"ohms-contactor-T1-earth": 2.0, "insulation-compressor": 0.0}
    read = call(THREE_TONS, NO_POWER_OUTDOORS, tripped, shorted)
    assert read.best_repair()[0] == "compressor:replace"
    told = verdict(read.observe("earth-comp_c", math.inf))
    assert (told.kind, named(told)) == ("found", "compressor:replace")


def test_an_open_start_lead_is_no_bad_compressor() -> None:
    """µF good, windings good, no amps in the S lead while it hums: the lead is open.

    The fan draws its own 1.1 A, so HERM and FAN are not exchanged: on 45 µF it would draw thrice.
    """
    readings: Readings = {
        "amps-fan_c": 1.1, "held-amps-comp_r": 75.0, "held-amps-comp_s": 0.0,
        "uf-capacitor-HERM-C": 44.6, "ohms-compressor-C-S": 2.6, "ohms-compressor-C-R": 0.7,
        "wire-comp_s": math.inf,
    }  # fmt: skip
    told = verdict(call(THREE_TONS, HUMS, readings))
    assert named(told) == "comp_s:remake"


def test_a_joint_of_60_ohms_in_y_is_found_where_the_volts_drop() -> None:
    """24 V through 60 Ω and a coil let the plunger out; before the joint all 24 V are there."""
    readings: Readings = {
        "volts-coil": 8.0, "volts-y_splice-1-C": 26.0, "volts-high_pressure-1-C": 8.1,
        "drop-y_hp": 18.0,
    }  # fmt: skip
    told = verdict(call(THREE_TONS, OUTDOORS_DEAD, readings))
    assert named(told) == "y_hp:remake"


def test_a_start_relay_that_is_never_in_stops_a_compressor_that_needs_it() -> None:
    """A closed potential relay reads near 0 Ω from 1 to 2 at rest; OL keeps the capacitor out."""
    readings: Readings = {
        "uf-capacitor-HERM-C": 79.0, "uf-start_capacitor-1-2": 150.0,
        "ohms-start_relay-1-2": math.inf,
    }  # fmt: skip
    told = verdict(call(WITH_KIT, HUMS, readings))
    assert named(told) == "start_relay:replace"


def test_y_landed_on_c_is_a_wire_to_move_and_no_part_to_buy() -> None:
    """Y on C shorts the transformer through the thermostat on every call."""
    readings: Readings = {"look-lv_fuse": "blown", "look-board-wrong_place": "differ"}
    belief = call(THREE_TONS, HOUSE_DEAD, readings)
    assert belief.best_repair()[0] == "board:rewire"


def test_a_transformer_on_its_208_volt_tap_gives_too_many_volts() -> None:
    """240/208 of 27 V is 31 V: the tap is moved, nothing is bought."""
    readings: Readings = {"volts-transformer-primary": 120.0, "volts-transformer-R-C": 31.2}
    belief = call(THREE_TONS, RUNS, readings)
    assert belief.best_repair()[0] == "transformer:retap"


def test_water_in_the_pan_points_to_the_float_switch() -> None:
    """It opens to keep water off the floor."""
    before = call(THREE_TONS, OUTDOORS_DEAD)
    after = before.observe("look-float_switch-water", "water")
    assert after.best_repair()[0] == "float_switch:find_cause"
    assert after.by_repair()["float_switch:find_cause"] >= 0.6
    assert verdict(after).doubtful == ()


def test_a_door_not_in_place_points_to_the_door_switch() -> None:
    """It cuts the blower and the transformer while the door is off."""
    before = call(THREE_TONS, HOUSE_DEAD)
    after = before.observe("look-door_switch-door_off", "not in place")
    assert after.best_repair()[0] == "door_switch:find_cause"
    assert after.by_repair()["door_switch:find_cause"] >= 0.6
    assert verdict(after).doubtful == ()


NO_AIR_OUTDOORS: Readings = {
    "volts-y_splice-1-C": 27.65, "volts-low_pressure-1-C": 0.0, "volts-high_pressure-1-2": 27.93,
    "uf-capacitor-FAN-C": 7.19, "look-fan-by-hand": "free", "wire-y_lp": 0.0, "wire-y_hp": 0.1,
}  # fmt: skip
NO_CHARGE: Readings = {
    "volts-y_splice-1-C": 25.47, "volts-coil": 0.0, "volts-low_pressure-1-2": 26.01,
    "volts-low_pressure-1-C": 25.58, "volts-low_pressure-2-C": 0.0,
}  # fmt: skip


@pytest.mark.parametrize(
    ("unit", "readings", "switch"),
    [
        ("unit-04-station-hill", NO_AIR_OUTDOORS, "high_pressure"),
        ("unit-01-mill-street", NO_CHARGE, "low_pressure"),
    ],
)
def test_volts_across_an_open_switch_are_no_reading_to_take_again(
    unit: str, readings: Readings, switch: str
) -> None:
    """27.9 or 26 V across a switch whose both sides were read are conclusive."""
    text = (EXAMPLES / f"{unit}.toml").read_text(encoding="utf-8")
    told = verdict(call(text, OUTDOORS_DEAD, readings))
    assert (told.doubtful, told.clashes, told.again) == ((), (), None)
    assert told.answer is not None
    assert told.answer.suspect.part == switch


def test_an_overload_that_opens_on_a_hot_shell_condemns_no_compressor() -> None:
    """Matted coil, hot shell, good capacitor, and 12.9 A of 16 A RLA once it has cooled: it tripped
    on heat, and what made it hot is looked for (common practice, no source).
    """
    trips = RUNS | {"look-compressor": "runs, then trips"}
    hot: Readings = {"look-compressor-shell": "hot", "look-coil-dirt": "dirty"}
    good: Readings = {"uf-capacitor-HERM-C": 44.7, "cooled-held-amps-comp_c": 12.9}
    repairs = call(THREE_TONS, trips, hot, good).by_repair()
    assert repairs["compressor:let_cool"] > 5.0 * repairs["compressor:replace"]
