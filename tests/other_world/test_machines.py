"""The other world's motors against the two textbook theories that they are not written in."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from rungwise.other_world.machines import Machine, terminal_amps, turn
from rungwise.other_world.netlist import GROUND, ComplexArray, Netlist
from rungwise.other_world.place import OMEGA

TWIN = Machine(
    r_main=1.2, x_main=2.0, x_magnet=40.0, r_rotor=1.5, x_rotor=2.0,
    ratio=1.0, r_aux=1.2, x_aux=2.0, core=1e9,
)  # fmt: skip
"""Two like windings."""

FIELD = replace(TWIN, ratio=1.4, r_aux=4.0, x_aux=3.5, deep_bar=1.0, need_w=900.0, start_w=60.0)
SPEEDS = np.array([0.0, 0.3, 0.7, 0.95])


def parallel(a: ComplexArray | complex, b: ComplexArray | complex) -> ComplexArray:
    return np.asarray(a * b / (a + b))


def two_phase_amps(machine: Machine, speed: float) -> ComplexArray:
    volts = np.array([230.0, 230.0j])
    return np.asarray(np.linalg.solve(machine.port_matrix(np.array([speed]))[0], volts))


@pytest.mark.parametrize("speed", SPEEDS)
def test_on_two_phases_it_is_the_equivalent_circuit_of_an_induction_motor(speed: float) -> None:
    """Z = R1 + jX1 + jXm ∥ (R2/s + jX2), torque 2·I2²·R2/s: any textbook, from memory."""
    # The auxiliary leads: the field turns from it to the main winding, against positive speed.
    amps, slip = two_phase_amps(TWIN, -speed), 1.0 - speed
    rotor = TWIN.r_rotor / slip + 1j * TWIN.x_rotor
    expected = 230.0 / (TWIN.r_main + 1j * TWIN.x_main + parallel(1j * 40.0, rotor))
    crossing = expected * abs(1j * 40.0 / (1j * 40.0 + rotor))
    torque = TWIN.torque_w(np.array([-speed]), amps[None, :])[0]
    assert amps[0] == pytest.approx(expected)
    assert amps[1] == pytest.approx(1j * expected)
    assert -torque == pytest.approx(2.0 * abs(crossing) ** 2 * TWIN.r_rotor / slip)


@pytest.mark.parametrize("speed", SPEEDS)
def test_on_one_winding_it_is_the_double_revolving_field(speed: float) -> None:
    """Z = R1 + jX1 + ½(jXm ∥ (R2/s + jX2)) + ½(jXm ∥ (R2/(2-s) + jX2)): Fitzgerald, from memory."""
    z = TWIN.port_matrix(np.array([speed]))[0, 0, 0]
    halves = [
        parallel(1j * 40.0, TWIN.r_rotor / slip + 1j * TWIN.x_rotor)
        for slip in (1.0 - speed, 1.0 + speed)
    ]
    assert z == pytest.approx(TWIN.r_main + 1j * TWIN.x_main + 0.5 * sum(halves))


def test_one_winding_alone_makes_no_torque_at_standstill() -> None:
    amps = np.array([[8.0 - 6.0j, 0.0]])
    assert TWIN.torque_w(np.zeros(1), amps)[0] == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("speed", SPEEDS)
def test_watts_in_are_watts_lost_and_watts_of_the_shaft(speed: float) -> None:
    at = np.array([-speed])
    amps = terminal_amps(FIELD, 230.0, 30e-6, at)
    rotor = np.einsum("sij,sj->si", FIELD._rotor(at), amps)[0]
    lost = FIELD.r_main * abs(amps[0, 0]) ** 2 + FIELD.r_aux * abs(amps[0, 1]) ** 2
    lost += float(FIELD.rotor_ohm(at)[0]) * float((abs(rotor) ** 2).sum())
    shaft = at[0] * FIELD.torque_w(at, amps)[0]
    assert 230.0 * amps[0].sum().real == pytest.approx(lost + shaft)


def test_the_netlist_draws_what_the_equations_say() -> None:
    net = Netlist()
    net.volt("v", "L1", GROUND, 230.0)
    net.farad("run", "L1", "S", 30e-6)
    net.ohm("lead", "C", GROUND, 1e-6)
    FIELD.write(net, "m", "L1", "S", "C", -0.93)
    solved = net.solve(OMEGA)
    expected = terminal_amps(FIELD, 230.0, 30e-6, np.array([-0.93]))[0]
    assert solved.amp("m.im") == pytest.approx(expected[0], rel=1e-5)
    assert solved.amp("m.ia") == pytest.approx(expected[1], rel=1e-5)


def fed(volt: float, farad: float) -> tuple[ComplexArray, ComplexArray]:
    seen = np.zeros((2, 2), dtype=complex)
    seen[1, 1] = -1j / (OMEGA * farad)
    return np.array([volt, volt], dtype=complex), seen


def test_it_comes_up_and_runs_where_torque_meets_load() -> None:
    open_volt, seen = fed(230.0, 30e-6)
    speed = turn(FIELD, open_volt, seen).speed
    amps = terminal_amps(FIELD, 230.0, 30e-6, np.array([speed]))
    made = abs(FIELD.torque_w(np.array([speed]), amps)[0])
    assert abs(speed) > 0.85
    assert made == pytest.approx(float(FIELD.load_w(np.array([abs(speed)]))[0]), rel=0.02)


def test_without_its_capacitor_it_stands_and_once_turning_it_keeps_on() -> None:
    open_volt, seen = fed(230.0, 1e-12)
    light = replace(FIELD, need_w=300.0)
    assert not turn(light, open_volt, seen).turns
    assert turn(light, open_volt, seen, was=-0.95).turns


def test_windings_on_each_others_leads_turn_it_backward() -> None:
    volt, seen = fed(230.0, 60e-6)
    easy = replace(FIELD, need_w=50.0, start_w=1.0)
    right = turn(easy, volt, seen).speed
    wrong = turn(easy, volt, seen[::-1, ::-1]).speed
    assert right * wrong < 0


def test_low_volts_stop_it_from_starting() -> None:
    heavy = replace(FIELD, start_w=0.6 * abs(FIELD.torque_w(
        np.zeros(1), terminal_amps(FIELD, 230.0, 30e-6, np.zeros(1)))[0]))  # fmt: skip
    assert turn(heavy, *fed(230.0, 30e-6)).turns
    assert not turn(heavy, *fed(150.0, 30e-6)).turns
