"""Small circuits with known answers, solved by the house's elimination and by ngspice.

Values: the project's reference collection, section 14, from ngspice 39 in batch mode and by hand
in numpy; all digits agree.  Tolerance: 1e-6 relative, half of the last digit printed or better.
"""

from __future__ import annotations

import cmath
import math

import numpy as np
import pytest
from tests.circuit.hand_made import (
    OMEGA_60,
    HandBranch,
    HandCoupling,
    HandNetwork,
    coupled_siemens,
)

from rungwise.circuit.ngspice import run_one

EARTH = -1
# The published values have seven digits; angles in degrees.
DIGITS = 1e-6

SERIES_DECK = """* RLC in series
V1 1 0 AC 120 0
R1 1 2 10
L1 2 3 20m
C1 3 0 100u
.ac lin 1 60 60
.end
"""

TRANSFORMER_DECK = """* control transformer, loop, contactor coil
V1 1 0 AC 240 0
RP 1 2 40
LP 2 0 20
LS 3 0 0.2
K1 LP LS 0.998
RS 3 4 0.5
VS 4 41 0
RW 41 5 {loop}
RC 5 6 12
LC 6 0 130m
.ac lin 1 60 60
.end
"""

# loop in Ω; then V secondary, V coil, I coil, I primary, each with its angle
TRANSFORMER_ROWS = (
    (0.6284, (23.70615, 1.19398), (23.63442, 1.88500), (0.4684110, -74.35661),
     (0.07787271, -80.38061)),
    (10.0, (23.66569, 1.03675), (22.22792, 11.45360), (0.4405355, -64.78800),
     (0.07401563, -75.03958)),
)  # fmt: skip


def polar(size: float, degrees: float) -> complex:
    return cmath.rect(size, math.radians(degrees))


def near(expected: complex) -> object:
    return pytest.approx(expected, rel=DIGITS)


def test_series_rlc_in_the_house() -> None:
    """Published: 5.592183 A at +62.22405°, 55.92183 V, 42.16407 V, 148.33727 V, 312.72514 W."""
    source = HandBranch(0, EARTH, 1e9, 120.0)
    ohm = HandBranch(0, 1, 1 / 10)
    henry = HandBranch(1, 2, 1 / (1j * OMEGA_60 * 0.02))
    farad = HandBranch(2, EARTH, 1j * OMEGA_60 * 100e-6)
    volts = HandNetwork(3, [source, ohm, henry, farad]).volts()
    amp = ohm.amp(volts)
    assert amp == near(polar(5.592183, 62.22405))
    steps = [abs(volts[a] - volts[b]) for a, b in ((0, 1), (1, 2), (2, 3))]
    assert steps == pytest.approx([55.92183, 42.16407, 148.33727], rel=DIGITS)
    assert (volts[0] * amp.conjugate()).real == near(312.72514)


def test_series_rlc_in_ngspice() -> None:
    found = run_one(SERIES_DECK)
    assert -found.amps["1"] == near(polar(5.592183, 62.22405))
    assert abs(found.volts["3"]) == near(148.33727)


@pytest.mark.parametrize("row", TRANSFORMER_ROWS, ids=["good loop", "bad contact"])
def test_a_control_transformer_with_its_coil_in_the_house(
    row: tuple[float, tuple[float, float], tuple[float, float], tuple[float, float],
               tuple[float, float]],
) -> None:  # fmt: skip
    loop, secondary, coil, coil_amp, primary_amp = row
    y11, y12, y22 = coupled_siemens((20.0, 0.2), (40.0, 0.5), 0.998)
    primary = HandBranch(0, EARTH, y11)
    branches = [
        HandBranch(0, EARTH, 1e9, 240.0),
        primary,
        HandBranch(1, EARTH, y22),
        HandBranch(1, 2, 1 / loop),
        HandBranch(2, EARTH, 1 / (12 + 1j * OMEGA_60 * 0.13)),
    ]
    network = HandNetwork(3, branches, [HandCoupling((0, EARTH), (1, EARTH), y12)])
    volts = network.volts()
    assert volts[1] == near(polar(*secondary))
    assert volts[2] == near(polar(*coil))
    assert branches[4].amp(volts) == near(polar(*coil_amp))
    assert primary.amp(volts) + y12 * volts[1] == near(polar(*primary_amp))


@pytest.mark.parametrize("row", TRANSFORMER_ROWS, ids=["good loop", "bad contact"])
def test_a_control_transformer_with_its_coil_in_ngspice(
    row: tuple[float, tuple[float, float], tuple[float, float], tuple[float, float],
               tuple[float, float]],
) -> None:  # fmt: skip
    loop, secondary, coil, coil_amp, primary_amp = row
    found = run_one(TRANSFORMER_DECK.format(loop=loop))
    assert found.volts["4"] == near(polar(*secondary))
    assert found.volts["5"] == near(polar(*coil))
    assert found.amps["s"] == near(polar(*coil_amp))
    assert -found.amps["1"] == near(polar(*primary_amp))


def test_an_unloaded_transformer() -> None:
    """Published: 23.95166 V at the open secondary, 0.03183054 A into the primary."""
    y11, y12, y22 = coupled_siemens((20.0, 0.2), (40.0, 0.5), 0.998)
    primary = HandBranch(0, EARTH, y11)
    branches = [HandBranch(0, EARTH, 1e9, 240.0), primary, HandBranch(1, EARTH, y22)]
    volts = HandNetwork(2, branches, [HandCoupling((0, EARTH), (1, EARTH), y12)]).volts()
    assert abs(volts[1]) == near(23.95166)
    assert abs(primary.amp(volts) + y12 * volts[1]) == near(0.03183054)


def test_a_split_phase_motor_at_standstill() -> None:
    """Published: 20.59802 A at -39.42779°, 8.022383 A at +50.57220°, 120.76939 V."""
    main = HandBranch(0, EARTH, 1 / (4.5 + 1j * OMEGA_60 * 9.814549e-3))
    capacitor = HandBranch(0, 1, 1j * OMEGA_60 * 176.2038568e-6)
    aux = HandBranch(1, EARTH, 1 / (9.5 + 1j * OMEGA_60 * 9.284033e-3))
    volts = HandNetwork(2, [HandBranch(0, EARTH, 1e9, 120.0), main, capacitor, aux]).volts()
    assert main.amp(volts) == near(polar(20.59802, -39.42779))
    assert aux.amp(volts) == near(polar(8.022383, 50.57220))
    assert main.amp(volts) + aux.amp(volts) == near(polar(22.10514, -18.14819))
    assert abs(volts[0] - volts[1]) == near(120.76939)
    # The example was made so that the two currents stand at right angles.
    assert np.angle(aux.amp(volts) / main.amp(volts), deg=True) == pytest.approx(90.0, abs=1e-4)
