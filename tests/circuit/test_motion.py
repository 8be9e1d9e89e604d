"""Where a rotor comes to rest or to speed: torque against load."""

from __future__ import annotations

import numpy as np
import pytest

from rungwise.circuit.elimination import ComplexArray
from rungwise.circuit.machine import MachineConstants
from rungwise.circuit.motion import Drive, Load, settle_speed
from rungwise.parts.element import FloatArray

OMEGA = 2 * np.pi * 60
SYNC_RPM = 3600.0

# Fitzgerald, Electric Machinery, 6th ed., example 9.5: a 2-pole machine with a running capacitor.
# Parameters seen in a stored solution of the example; the printed answers are from memory and
# were computed again in the reference: 9.74589 N·m at 3500 r/min on 230 V with 35 µF.
ROTOR_TURNS = 0.588e-3 / 4.7e-6
MAGNETISING = OMEGA * 0.588e-3 * ROTOR_TURNS
TURNS_RATIO = 0.909 / 0.588
FITZGERALD = MachineConstants(
    np.asarray(0.58),
    np.asarray(OMEGA * 0.0806 - MAGNETISING),
    np.asarray(3.37),
    np.asarray(OMEGA * 0.196 - TURNS_RATIO**2 * MAGNETISING),
    np.asarray(MAGNETISING),
    np.asarray(37.6e-6 * ROTOR_TURNS**2),
    np.asarray(0.0),
    np.asarray(TURNS_RATIO),
    OMEGA,
)
"""All of the rotor's leakage is seen from the windings, so that its own is none."""

TORQUE_AT_3500 = 9.74589


def drive(
    *,
    volt: float | FloatArray = 230.0,
    microfarads: float | FloatArray = 35.0,
    standstill_nm: float | FloatArray = 0.0,
    rated_nm: float | FloatArray = TORQUE_AT_3500,
    aux_sign: float = 1.0,
    closed: tuple[float, float] = (1.0, 1.0),
) -> Drive:
    """The machine on a stiff supply, its auxiliary winding through the capacitor."""
    volt, microfarads, standstill, rated = np.broadcast_arrays(
        *(np.atleast_1d(each) for each in (volt, microfarads, standstill_nm, rated_nm))
    )
    stiff = np.full(volt.shape, 1e6 + 0j)
    through: ComplexArray = np.asarray(1j * OMEGA * microfarads * 1e-6, complex)
    none = np.zeros(volt.shape, complex)
    load = Load(standstill, rated, np.asarray(3500.0 / SYNC_RPM))
    on = tuple(np.full(volt.shape, each) for each in closed)
    return Drive.fed(
        FITZGERALD,
        load,
        (volt * stiff, aux_sign * volt * through),
        (stiff, none, none, through),
        (on[0], on[1]),
    )


def test_the_published_machine_comes_to_its_published_speed() -> None:
    """Loaded with 9.74589 N·m at 3500 r/min it runs at 3500 r/min; tolerance 0.1% of the slip."""
    speed = settle_speed(drive(standstill_nm=0.2), np.array([0.9]))
    assert SYNC_RPM * speed[0] == pytest.approx(3500.0, abs=0.1)


def test_the_published_torque_at_standstill_decides_whether_it_starts() -> None:
    """0.59622 N·m with the running capacitor alone: just under it starts, just over it stands."""
    loads = np.array([0.58, 0.61])
    speeds = settle_speed(drive(standstill_nm=loads), np.zeros(2))
    assert speeds[0] > 0.9
    assert speeds[1] == 0.0


@pytest.mark.parametrize("start", [0.0, 0.3, 0.93, 0.9995])
def test_torque_balances_the_load_at_the_speed_found(start: float) -> None:
    found = drive(standstill_nm=0.3)
    speed = settle_speed(found, np.array([start]))
    assert found.torque(speed)[0] == pytest.approx(found.load_nm(speed)[0], rel=1e-6)
    assert speed[0] > 0.9


def test_the_speed_found_is_stable() -> None:
    """A little slower gains torque over load, a little faster loses it."""
    found = drive(standstill_nm=0.3)
    speed = settle_speed(found, np.zeros(1))
    excess = [float((found.torque(u) - found.load_nm(u))[0]) for u in (speed - 0.01, speed + 0.01)]
    assert excess[0] > 0 > excess[1]


def test_without_its_start_winding_it_stands_but_keeps_running() -> None:
    found = drive(closed=(1.0, 0.0), rated_nm=5.0, standstill_nm=0.1)
    assert settle_speed(found, np.zeros(1))[0] == 0.0
    assert settle_speed(found, np.array([0.95]))[0] > 0.9


def test_it_turns_the_way_in_which_the_start_winding_is_fed() -> None:
    ways = [settle_speed(drive(aux_sign=sign), np.zeros(1))[0] for sign in (1.0, -1.0)]
    assert ways[0] > 0.9
    assert ways[1] == pytest.approx(-ways[0], rel=1e-9)


def test_a_running_machine_stalls_when_the_volts_no_longer_carry_the_load() -> None:
    found = drive(volt=np.array([230.0, 90.0]), standstill_nm=6.0, rated_nm=9.74589)
    speeds = settle_speed(found, np.array([0.97, 0.97]))
    assert speeds[0] > 0.95
    assert speeds[1] == 0.0


def test_lower_volts_mean_more_slip_at_the_same_load() -> None:
    volts = np.array([253.0, 230.0, 208.0, 197.0])
    slip = 1.0 - settle_speed(drive(volt=volts), np.full(4, 0.95))
    assert np.all(np.diff(slip) > 0)


def test_a_variant_settles_alike_alone_and_among_others() -> None:
    microfarads = np.array([5.0, 20.0, 35.0, 50.0, 120.0])
    many = settle_speed(drive(microfarads=microfarads, standstill_nm=0.5), np.zeros(5))
    alone = [
        settle_speed(drive(microfarads=each, standstill_nm=0.5), np.zeros(1))[0]
        for each in microfarads
    ]
    assert many == pytest.approx(np.array(alone), abs=1e-12)


def test_the_load_asks_for_its_two_torques() -> None:
    load = Load(np.asarray(2.0), np.asarray(8.0), np.asarray(0.95))
    assert float(load.at(np.asarray(0.0))) == 2.0
    assert float(load.at(np.asarray(0.95))) == pytest.approx(8.0)
