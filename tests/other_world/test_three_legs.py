"""The other world's three-phase motors: their netlist against their symmetrical components."""

from __future__ import annotations

import math

import numpy as np
import pytest

from rungwise.other_world.netlist import ComplexArray, Netlist
from rungwise.other_world.place import OMEGA
from rungwise.other_world.three_legs import ThreeLegs, line_amps

MOTOR = ThreeLegs(
    r_leg=0.32, x_leg=0.55, x_magnet=19.0, r_rotor=0.2, x_rotor=0.55, core=1e9,
    deep_bar=0.8, need_w=4000.0, start_w=300.0, back=0.35,
)  # fmt: skip
SPEEDS = (-0.9, 0.0, 0.4, 0.97)
LEGS = ("one", "two", "three")


def solved_amps(speed: float, volts: tuple[complex, complex, complex]) -> ComplexArray:
    """Amps of the three legs of the netlist on three sources whose star is tied to nothing."""
    net = Netlist()
    for leg, volt in zip(LEGS, volts, strict=True):
        net.volt(f"source {leg}", leg, "neutral", volt)
    MOTOR.write(net, "motor", LEGS, speed)
    solved = net.solve(OMEGA)
    return np.array([solved.amp(f"motor.is{at}") for at in range(3)], dtype=complex)


def star(volt: float, way: float = -1.0) -> tuple[complex, complex, complex]:
    turn = np.exp(1j * way * 2.0 * math.pi / 3.0)
    return volt + 0j, volt * turn, volt * turn**2


@pytest.mark.parametrize("speed", SPEEDS)
@pytest.mark.parametrize(
    "volts", [star(120.0), star(120.0, 1.0), (120 + 0j, -60 - 90j, -70 + 110j)]
)
def test_the_netlist_draws_the_amps_of_the_two_sequences(
    speed: float, volts: tuple[complex, complex, complex]
) -> None:
    """Even legs, legs in the other order, and uneven ones."""
    between = np.array([volts[0] - volts[2], volts[1] - volts[2]])
    expected = np.linalg.solve(MOTOR.port_matrix(np.array([speed]))[0], between)
    assert solved_amps(speed, volts)[:2] == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize("speed", SPEEDS)
def test_on_even_legs_it_is_the_equivalent_circuit_of_any_textbook(speed: float) -> None:
    """Z = R1 + jX1 + jXm ∥ (R2/s + jX2), torque 3·I2²·R2/s (from memory)."""
    slip = 1.0 - speed
    rotor = 0.2 * (1.0 + 0.8 * (1.0 - abs(speed))) / slip + 0.55j
    crossed = 19j * rotor / (19j + rotor)
    leg = 120.0 / (0.32 + 0.55j + crossed)
    torque = 3.0 * abs(leg * 19j / (19j + rotor)) ** 2 * rotor.real
    amps = line_amps(MOTOR, 120.0 * math.sqrt(3), np.array([speed]))
    assert amps[0, 0] == pytest.approx(leg)
    assert MOTOR.torque_w(np.array([speed]), amps)[0] == pytest.approx(torque)


def test_what_goes_in_turns_the_shaft_or_heats_the_copper() -> None:
    """Power of the whole netlist at uneven legs, without iron."""
    volts, speed = (120 + 0j, -60 - 90j, -70 + 110j), 0.9
    amps = solved_amps(speed, volts)
    put_in = sum((volt * amp.conjugate()).real for volt, amp in zip(volts, amps, strict=True))
    copper = 0.32 * float((np.abs(amps) ** 2).sum())
    torque = MOTOR.torque_w(np.array([speed]), amps[None, :2])[0]
    slips, cage = (1.0 - speed, 1.0 + speed), 0.0
    for vector, slip in zip((-1.0, 1.0), slips, strict=True):
        turn = np.exp(1j * vector * 2.0 * math.pi / 3.0)
        own = (amps * np.conj([1.0, turn, turn**2])).sum() / 3.0
        rotor = 0.2 * 1.08 / slip + 0.55j
        cage += 3.0 * abs(own * 19j / (19j + rotor)) ** 2 * 0.2 * 1.08
    assert put_in == pytest.approx(copper + cage + speed * torque)


def test_with_a_leg_lost_it_does_not_start_and_draws_half_of_root_three() -> None:
    """0.866 of the locked amps in two legs, no torque: common practice."""
    locked = abs(line_amps(MOTOR, 208.0, np.zeros(1))[0, 0])
    amp = 208.0 / (2.0 * _leg_ohm(0.0))
    amps = np.array([[amp, -amp]], dtype=complex)
    assert abs(amps[0, 0]) / locked == pytest.approx(math.sqrt(3) / 2)
    assert MOTOR.torque_w(np.zeros(1), amps)[0] == pytest.approx(0.0, abs=1e-9)


def _leg_ohm(speed: float) -> complex:
    return complex(MOTOR.port_matrix(np.array([speed]))[0, 0, 0] / 2.0)
