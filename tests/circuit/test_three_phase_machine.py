"""The three-phase machine against textbook examples and another engine.

Figures: the project's reference collection for three phases, sections 1.1, 1.3 and 1.4, where
book, edition, page and how each was worked out again stand; tolerance 0.1% on amps.  Kersting's,
Fitzgerald's and Chapman's unbalanced rows were also solved by OpenDSS (model IndMach012).
"""

from __future__ import annotations

import cmath
import math

import numpy as np
import pytest

from rungwise.circuit.assemble import _inverted
from rungwise.circuit.machine import (
    MachineConstants,
    Matrix,
    seen_from_ports,
    torque_nm,
    winding_amps,
    winding_ohm,
)
from rungwise.circuit.machine_fit import HOT_OVER_COLD
from rungwise.circuit.three_phase_fit import fit_three_phase, leg_amp
from rungwise.parts import KINDS, STAR
from rungwise.unit import numbers_of_kind

WITHIN = 1e-3
ONE = np.asarray(1.0)
Amps = tuple[complex, complex, complex]

FITZGERALD = (0.294, 0.503, 0.144, 0.209, 13.25, 6, 60)
KERSTING = (0.0774, 0.1843, 0.0908, 0.1843, 4.8384, 4, 60)
CHAPMAN = (0.641, 1.106, 0.332, 0.464, 26.3, 4, 60)
DUBEY = (0.5, 1.2, 0.4, 1.2, 50.0, 6, 50)


def machine(  # one argument a letter of the T circuit
    r1: float, x1: float, r2: float, x2: float, xm: float, poles: int, hz: float
) -> MachineConstants:
    sync = 4 * math.pi * hz / poles
    a, b, c, d, e, f, g = (np.asarray(each) for each in (r1, x1, r1, x1, xm, r2, x2))
    return MachineConstants(a, b, c, d, e, f, g, ONE, sync)


def siemens(of: MachineConstants, slip: float) -> Matrix:
    return seen_from_ports(_inverted(winding_ohm(of, np.asarray(slip)), ONE, ONE), STAR)


def legs(of: MachineConstants, slip: float, ab: complex, bc: complex) -> Amps:
    """Amps into the three legs by the port equations that the solver uses."""
    y11, y12, y21, y22 = siemens(of, slip)
    ac = ab + bc
    one, two = y11 * ac + y12 * bc, y21 * ac + y22 * bc
    return complex(one), complex(two), complex(-one - two)


def torque(of: MachineConstants, slip: float, amps: Amps) -> float:
    main, aux = winding_amps((np.asarray(amps[0]), np.asarray(amps[1])), STAR)
    return float(torque_nm(of, np.asarray(slip), main, aux))


def triangle(ab: float, bc: float, ca: float) -> tuple[complex, complex]:
    """Phasors of line volts from their sizes, ab at angle 0, in the order a, b, c."""
    turn = math.pi - math.acos((ab * ab + bc * bc - ca * ca) / (2 * ab * bc))
    return complex(ab), bc * cmath.exp(-1j * turn)


def open_line(of: MachineConstants, slip: float, volt: float) -> tuple[float, float, float, float]:
    """Line amps with leg b open, its volts to a and to c, and the torque."""
    y11, y12, y21, y22 = siemens(of, slip)
    free = -y21 * volt / y22  # volts b to c at which no amps flow into b
    amp = complex(y11 * volt + y12 * free)
    pulls = torque(of, slip, (amp, 0j, -amp))
    return abs(amp), float(abs(volt - free)), float(abs(free)), pulls


def test_a_balanced_supply_draws_the_amps_of_the_t_circuit() -> None:
    """A. E. Fitzgerald, Electric Machinery, 6th ed., examples 6.2 and 6.3, pp. 320 and 325."""
    of, volt = machine(*FITZGERALD), triangle(220, 220, 220)
    running = legs(of, 0.02, *volt)
    assert [abs(each) for each in running] == pytest.approx([18.77819] * 3, rel=WITHIN)
    assert torque(of, 0.02, running) == pytest.approx(45.6726, rel=WITHIN)
    locked = legs(of, 1.0, *volt)
    assert [abs(each) for each in locked] == pytest.approx([152.644] * 3, rel=WITHIN)
    assert torque(of, 1.0, locked) == pytest.approx(77.623, rel=WITHIN)


@pytest.mark.parametrize(
    ("of", "volts", "slip", "amps"),
    [
        (KERSTING, (235, 240, 245), 0.035, (53.1359, 55.1377, 66.6227)),
        (FITZGERALD, (225, 220, 212), 0.02, (21.4530, 22.3810, 13.2721)),
        (CHAPMAN, (460, 467, 450), 0.022, (17.7060, 22.0763, 17.2158)),
    ],
    ids=["Kersting 25 hp", "Fitzgerald", "Chapman 25 hp"],
)
def test_uneven_volts_draw_the_amps_of_both_sequences(
    of: tuple[float, ...], volts: tuple[float, float, float], slip: float, amps: Amps
) -> None:
    found = legs(machine(*of), slip, *triangle(*volts))  # type: ignore[arg-type]
    assert [abs(each) for each in found] == pytest.approx(list(amps), rel=WITHIN)


def test_the_negative_sequence_holds_the_rotor_back() -> None:
    """Fitzgerald's motor on 225/220/212 V: 45.1814 N·m, of which 0.0503 pull backwards."""
    of = machine(*FITZGERALD)
    assert torque(of, 0.02, legs(of, 0.02, *triangle(225, 220, 212))) == pytest.approx(
        45.1814, rel=WITHIN
    )


def test_a_motor_that_runs_on_two_lines_draws_much_more_and_its_dead_lead_stays_live() -> None:
    """G. K. Dubey, Fundamentals of Electrical Drives, ex. 6.1, p. 147: 42.03 A in the line.

    The book's 24.26 A are the sequence current; a line carries √3 times as much.
    """
    amp, to_a, to_c, pulls = open_line(machine(*DUBEY), 0.05, 440.0)
    assert amp == pytest.approx(42.0266, rel=WITHIN)
    assert sorted((to_a, to_c)) == pytest.approx([264.00, 412.34], rel=WITHIN)
    assert pulls == pytest.approx(122.313, rel=WITHIN)
    amps = {slip: open_line(machine(*FITZGERALD), slip, 220.0) for slip in (0.02, 0.04, 0.06)}
    assert [each[0] for each in amps.values()] == pytest.approx(
        [29.4833, 48.5090, 64.0305], rel=WITHIN
    )
    assert [each[3] for each in amps.values()] == pytest.approx(
        [37.042, 59.639, 71.204], rel=WITHIN
    )


def test_a_motor_on_two_lines_does_not_start_and_growls_at_0_866_of_its_locked_amps() -> None:
    of = machine(*DUBEY)
    amp, to_a, to_c, pulls = open_line(of, 1.0, 440.0)
    whole = abs(legs(of, 1.0, *triangle(440, 440, 440))[0])
    assert amp / whole == pytest.approx(math.sqrt(3) / 2, rel=1e-6)
    assert (to_a, to_c) == pytest.approx((220.0, 220.0), rel=1e-6)
    assert pulls == pytest.approx(0.0, abs=1e-6)


def test_two_lines_swapped_turn_it_backwards_at_the_same_amps() -> None:
    of = machine(*FITZGERALD)
    right = legs(of, 1.0, *triangle(220, 220, 220))
    wrong = legs(of, 1.0, *(each.conjugate() for each in triangle(220, 220, 220)))
    assert [abs(each) for each in wrong] == pytest.approx([abs(each) for each in right])
    assert torque(of, 1.0, wrong) == pytest.approx(-torque(of, 1.0, right))


@pytest.mark.parametrize("plate", [{}, {"rated_volt": 460.0, "rated_a": 6.2, "locked_a": 52.0}])
def test_the_machine_of_a_plate_draws_its_rated_and_its_locked_amps(
    plate: dict[str, float],
) -> None:
    """Within 0.1%; its ohms lead to lead lie in 0.28 to 0.35 V/LRA (nine makers' rows)."""
    numbers = numbers_of_kind(KINDS["compressor_3ph"], plate)
    check = fit_three_phase(numbers, 60.0).check
    assert check.rated_a == pytest.approx(numbers["rated_a"], rel=WITHIN)
    assert check.locked_a == pytest.approx(numbers["locked_a"], rel=WITHIN)
    assert check.breakdown_ratio > 1.75
    share = 2 * numbers["main_ohm"] * numbers["locked_a"] / numbers["rated_volt"]
    assert 0.28 <= share <= 0.35


def test_the_fitted_machine_is_the_one_that_the_network_meets() -> None:
    numbers = numbers_of_kind(KINDS["compressor_3ph"], {})
    found = fit_three_phase(numbers, 60.0).constants
    ohm = HOT_OVER_COLD * numbers["main_ohm"]
    of = machine(ohm, found["main_leak_ohm"], found["rotor_ohm"], found["rotor_leak_ohm"],
                 found["magnetising_ohm"], 2, 60)  # fmt: skip
    amps = legs(of, 1.0, *triangle(230, 230, 230))
    assert abs(amps[0]) == pytest.approx(abs(complex(leg_amp(of, 230.0, ONE))), rel=1e-9)
    assert torque(of, 1.0, amps) == pytest.approx(found["start_torque_nm"], rel=1e-6)
