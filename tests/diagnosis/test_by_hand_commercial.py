"""Calls worked by hand on a rooftop unit with two compressors, a walk-in cooler and a freezer.

What each reading means follows from the circuit, beside each case in a line; how often a fault
comes is common practice without a source.
"""

from __future__ import annotations

from functools import cache

import pytest
from tests.tables import solved
from tests.wide import WIDE

from rungwise.diagnosis import Belief, ReadingModel, next_check
from rungwise.faults import HEALTHY, SuspectSet
from rungwise.unit import arrangement

ROOFTOP, COOLER, FREEZER = "rooftop_two_compressors", "walk_in_cooler", "walk_in_freezer"

Readings = dict[str, float | str]


NO_WORSE = 1.5
"""A good reading may speak against a good unit by this at most."""


@cache
def model(name: str) -> ReadingModel:
    """The prepared table of an arrangement as it ships."""
    return ReadingModel(solved(arrangement(name)))


def call(name: str, readings: Readings) -> Belief:
    """The belief after these readings, in their order."""
    belief = Belief.start(model(name))
    for check, value in readings.items():
        belief = belief.observe(check, value)
    return belief


def share(belief: Belief, *starts: str) -> float:
    """Of all suspects whose id begins with one of these."""
    found = belief.by_suspect().items()
    return sum(chance for suspect, chance in found if suspect.startswith(starts))


# --- the rooftop unit: "holds till noon" ---------------------------------------------------------

ONE_OF_TWO: Readings = {
    "look-compressor": "running",
    "look-compressor_2": "silent",
    "look-fan": "turning",
    "look-fan_2": "turning",
    "look-blower": "turning",
}


@pytest.mark.skipif(not WIDE, reason="its table takes up to a minute: with RUNGWISE_WIDE=1")
@pytest.mark.parametrize(
    ("readings", "blamed"),
    [
        # 24 V on its coil and its plunger out: the coil, or what blocks the plunger.
        ({"look-contactor_2-plunger": "out", "volts-contactor_2-coil1-coil2": 25.0},
         ("contactor_2.", "y2_coil", "c_coil_2")),
        # Locked out: 22 V on the lockout's coil, 2 V left on the contactor's; something of circuit
        # 2 has opened and none of it is circuit 1's.
        ({"volts-lockout_2-coil1-coil2": 22.0, "volts-contactor_2-coil1-coil2": 2.0},
         ("high_pressure_2.", "low_pressure_2.", "lockout_2.", "y2_hp", "y2_lp", "y2_coil")),
        # No Y2 at the board: the thermostat or its wire.
        ({"look-contactor_2-plunger": "out", "volts-board-Y2-C": 0.0,
          "volts-lockout_2-coil1-coil2": 0.0}, ("thermostat.", "y2_stat")),
        # Plunger in, nothing runs: its power side.
        ({"look-contactor_2-plunger": "in", "amps-comp2_t1": 0.0, "amps-comp2_t2": 0.0},
         ("contactor_2.", "compressor_2.", "comp2_", "cc2_")),
    ],
)  # fmt: skip
def test_second_circuit_that_stands_is_blamed_on_what_is_its_own(
    readings: Readings, blamed: tuple[str, ...]
) -> None:
    belief = call(ROOFTOP, ONE_OF_TWO | readings)
    assert share(belief, *blamed) > 0.9, list(belief.by_suspect().items())[:6]
    assert share(belief, "contactor.", "compressor.", "high_pressure.", "low_pressure.") < 0.02


def test_cause_behind_a_lockout_names_its_circuit() -> None:
    titles = {each.id: each.title for each in SuspectSet(arrangement(ROOFTOP))}
    assert "(second circuit)" in titles["low_pressure_2.low_charge"]
    assert "(first circuit)" in titles["high_pressure.dirty_coil"]


# --- the cooler: "box warm, the unit is off" -----------------------------------------------------

BOX_WARM: Readings = {
    "look-compressor": "silent",
    "look-fan": "not turning",
    "look-box_fan": "turning",
    "look-box_fan_2": "turning",
}
PUMPED_DOWN: Readings = {"across-pressure_control-1-2": 239.0}


@pytest.mark.parametrize(
    ("readings", "blamed"),
    [
        # Volts on the valve's coil and no magnet: the coil. Off on its control the unit is right.
        (PUMPED_DOWN | {"volts-solenoid-1-2": 238.0, "look-solenoid-no_pull": "does not"},
         ("solenoid.coil_open", "solenoid.another")),
        # No volts there, none on 4 of the timer, its dial stands: the timer.
        (PUMPED_DOWN | {"volts-solenoid-1-2": 0.0, "volts-defrost_timer-4-N": 0.0,
                        "volts-defrost_timer-2-N": 238.0}, ("defrost_timer.",)),
        # No volts on the valve, 238 on 4: the thermostat, its setting or its wires.
        (PUMPED_DOWN | {"volts-solenoid-1-2": 0.0, "volts-defrost_timer-4-N": 238.0,
                        "across-thermostat-1-2": 238.0}, ("thermostat.",)),
        # Control closed, the line across the high-pressure switch: it, or what drove the head up.
        (
            {
                "across-pressure_control-1-2": 0.0,
                "volts-coil": 0.0,
                "volts-high_pressure-1-2": 239.0,
            },
            ("high_pressure.", "control_hp", "coil_feed", "fan.", "fan_", "capacitor.fan"),
        ),
        # Volts on the contactor's coil, plunger out: the contactor.
        ({"across-pressure_control-1-2": 0.0, "volts-coil": 238.0, "look-plunger": "out"},
         ("contactor.",)),
    ],
)  # fmt: skip
def test_warm_box_of_a_cooler_is_blamed_on_what_the_volts_point_to(
    readings: Readings, blamed: tuple[str, ...]
) -> None:
    belief = call(COOLER, BOX_WARM | readings)
    assert share(belief, *blamed) > 0.85, list(belief.by_suspect().items())[:6]


def test_unit_that_is_off_on_its_control_condemns_no_compressor() -> None:
    """The trap: pumped down it is off as designed; compressor and contactor are bought in vain."""
    belief = call(COOLER, BOX_WARM | PUMPED_DOWN)
    assert share(belief, "compressor.", "contactor.", "capacitor.") < 0.03
    found = next_check(belief)
    assert found is not None
    assert found.check is not None
    box = {"solenoid", "thermostat", "defrost_timer", "pressure_control", "unit", "box_breaker"}
    assert {*found.check.touches} & box


def test_pumped_down_with_a_cold_box_nothing_is_wrong() -> None:
    """Off with 240 V across the control at rest: right here."""
    good: Readings = BOX_WARM | {
        "look-compressor": "running",
        "look-fan": "turning",
        "look-idle": "stops",
    }
    before = call(COOLER, good)
    after = call(COOLER, good | {"idle-across-pressure_control-1-2": 239.0})
    assert share(after, HEALTHY) >= share(before, HEALTHY) / NO_WORSE


# --- the freezer ---------------------------------------------------------------------------------

FANS_DEAD: Readings = {
    "look-compressor": "running",
    "look-fan": "turning",
    "look-box_fan": "not turning",
    "look-box_fan_2": "not turning",
}
ICED: Readings = {"look-compressor": "running", "look-box_fan": "turning", "look-ice": "ice"}


@pytest.mark.parametrize(
    ("readings", "blamed"),
    [
        # Both fans stand, 238 V across the delay's contact: it is open; the fans are not bought.
        (FANS_DEAD | {"across-coil_stat-com-fan": 238.0}, ("coil_stat.fan_open",)),
        # In a defrost: 3 has volts, the limit has none across it, no amps: the element.
        (ICED | {"defrost-volts-defrost_timer-3-N": 238.0, "defrost-drop-heater_limit-1-2": 0.0,
                 "defrost-amps-defrost_limit": 0.0},
         ("defrost_heater.", "defrost_limit.", "defrost_return.")),
        # The line across the limit: the limit.
        (ICED | {"defrost-volts-defrost_timer-3-N": 238.0, "defrost-drop-heater_limit-1-2": 238.0},
         ("heater_limit.",)),
        # No volts on 3 in a defrost and its dial stands: the timer.
        (ICED | {"defrost-volts-defrost_timer-3-N": 0.0,
                 "look-defrost_timer-dial_stands": "stands"}, ("defrost_timer.",)),
    ],
)  # fmt: skip
def test_ice_and_dead_fans_of_a_freezer_are_blamed_on_what_the_volts_point_to(
    readings: Readings, blamed: tuple[str, ...]
) -> None:
    belief = call(FREEZER, readings)
    assert share(belief, *blamed) > 0.85, list(belief.by_suspect().items())[:6]
