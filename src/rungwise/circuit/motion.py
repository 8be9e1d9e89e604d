"""Where a motor's rotor comes to rest or to speed, by torque against load.

The network seen from the motor's windings is linear as long as nothing else switches, so it is
reduced to a two-port once; the torque at any speed then costs one 2x2 solution.  From the speed
it has, the rotor accelerates while torque exceeds load and slows while it does not, to the first
speed at which they balance.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt
from numba import njit
from numba.extending import register_jitable

from rungwise.circuit.elimination import ComplexArray
from rungwise.circuit.elimination_kernel import INNER
from rungwise.circuit.machine import MachineConstants, Real, field_parts, field_watt
from rungwise.parts import FloatArray

GRID = np.array([0.0, 0.15, 0.3, 0.45, 0.6, 0.72, 0.82, 0.9, 0.95, 0.98, 0.9995])
"""Speeds over the synchronous speed between which a balance is bracketed."""

# The points lie closer towards full speed, where the torque turns steep: the balance of every load
# sits there, between breakdown and synchronous speed.

STANDSTILL = 1e-9
"""A rotor slower than this share of synchronous speed starts the way its torque pushes it."""

FALSE_POSITIONS = 20
"""Most steps of a search; every fault mode of the shipped arrangements is `BALANCED` in 8."""

BALANCED = 1e-9
"""A rotor is balanced where no more of the torque between its two first brackets is left over."""


@dataclass(frozen=True, slots=True)
class Load:
    """The torque a load asks for: at standstill and at the rated speed, in N·m.

    T(u) = T0 + (T1 - T0)·(u/u1)², u the speed over the synchronous speed; it opposes motion
    either way.
    """

    standstill_nm: FloatArray
    rated_nm: FloatArray
    rated_speed: FloatArray

    def at(self, speed: FloatArray) -> FloatArray:
        """Load torque in N·m at a speed over synchronous speed (not negative)."""
        told = (self.standstill_nm, self.rated_nm, self.rated_speed)
        return np.asarray(load_torque(*told, speed))


@register_jitable
def load_torque(standstill_nm: Real, rated_nm: Real, rated_speed: Real, speed: Real) -> Real:
    """As `Load.at`, of numbers in compiled loops and of arrays elsewhere."""
    return standstill_nm + (rated_nm - standstill_nm) * (speed / rated_speed) ** 2


@dataclass(frozen=True, slots=True)
class Drive:
    """A motor and the two-port network that feeds it, for the compiled search.

    numbers: float [NUMBERS, n], constants of machine and load. phasors: complex [PHASORS, n], the
    network without the motor as I_source = Y_network·V + I_motor: two source amps, four of its
    admittances. A winding that is open has neither (`fed`).
    """

    numbers: FloatArray
    phasors: ComplexArray

    @classmethod
    def fed(
        cls,
        machine: MachineConstants,
        load: Load,
        source_amp: tuple[ComplexArray, ComplexArray],
        network_siemens: tuple[ComplexArray, ComplexArray, ComplexArray, ComplexArray],
        closed: tuple[FloatArray, FloatArray],
    ) -> Drive:
        """The drive of a motor whose windings (main, aux) are whole where `closed` is 1.

        An open winding carries nothing, so the network is reduced to the port of the other one.
        """
        (s1, s2), (n11, n12, n21, n22), (main, aux) = source_amp, network_siemens, closed
        both, coupled = main * aux, n12 * n21
        main_alone, aux_alone = main * (1 - aux), aux * (1 - main)
        source = (
            main * s1 - main_alone * n12 * s2 / n22,
            aux * s2 - aux_alone * n21 * s1 / n11,
        )
        network = (
            main * n11 - main_alone * coupled / n22,
            both * n12,
            both * n21,
            aux * n22 - aux_alone * coupled / n11,
        )
        told = (
            machine.main_ohm, machine.main_leak_ohm, machine.aux_ohm, machine.aux_leak_ohm,
            machine.magnetising_ohm, machine.rotor_ohm, machine.rotor_leak_ohm,
            machine.turns_ratio, machine.sync_rad_per_s,
            load.standstill_nm, load.rated_nm, load.rated_speed,
        )  # fmt: skip
        phasors = _rows((*source, *network), complex, np.shape(s1))
        return cls(_rows(told, float, np.shape(s1)), phasors)

    def torque(self, speed: FloatArray) -> FloatArray:
        """Torque in N·m at a signed speed over synchronous speed."""
        return _torques(self.numbers, self.phasors, np.broadcast_to(speed, self.numbers.shape[1:]))

    def load_nm(self, speed: FloatArray) -> FloatArray:
        """Load torque in N·m at a speed over synchronous speed (not negative)."""
        return Load(*self.numbers[-3:]).at(speed)


def _rows(
    arrays: Iterable[float | FloatArray | ComplexArray], sort: type, shape: tuple[int, ...]
) -> npt.NDArray[Any]:
    """The arrays as rows of one; what is the same in all variants is repeated."""
    return np.array([np.broadcast_to(each, shape) for each in arrays], dtype=sort)


def settle_speed(drive: Drive, speed: FloatArray) -> FloatArray:
    """The signed speed (over synchronous) that the rotor comes to from `speed`, shape [n]."""
    return _settled(drive.numbers, drive.phasors, speed)


@njit(cache=True, nogil=True)
def _settled(numbers: FloatArray, phasors: ComplexArray, speed: FloatArray) -> FloatArray:
    found = np.empty(len(speed))
    for v in range(len(speed)):
        found[v] = _rest(numbers[:, v], phasors[:, v], speed[v])
    return found


@njit(cache=True, nogil=True)
def _torques(numbers: FloatArray, phasors: ComplexArray, speed: FloatArray) -> FloatArray:
    found = np.empty(len(speed))
    for v in range(len(speed)):
        found[v] = _torque(numbers[:, v], phasors[:, v], speed[v])
    return found


@INNER
def _torque(numbers: FloatArray, phasors: ComplexArray, speed: float) -> float:
    """Torque in N·m at a signed speed.

    From I_source = Y·V + I and V = Z·I follow the winding currents (Y·Z + 1)⁻¹·I_source,
    without a division by the motor's own impedance; the one determinant divides the power.
    """
    r1, x1, ra, xa, xm, r2, x2, ratio, sync = numbers[:9]
    s1, s2, n11, n12, n21, n22 = phasors
    share, turned, reactive = field_parts(xm, r2, x2, 1.0 - speed)
    forward = complex(share * turned, share * reactive)
    share, turned, reactive = field_parts(xm, r2, x2, 1.0 + speed)
    backward = complex(share * turned, share * reactive)
    both, cross = forward + backward, 1j * ratio * (forward - backward)
    z11, z22 = complex(r1, x1) + both, complex(ra, xa) + ratio**2 * both
    a11, a12 = 1.0 + n11 * z11 + n12 * cross, n12 * z22 - n11 * cross
    a21, a22 = n21 * z11 + n22 * cross, 1.0 + n22 * z22 - n21 * cross
    main, aux = a22 * s1 - a12 * s2, a11 * s2 - a21 * s1
    power = field_watt(forward.real, backward.real, ratio, main, aux)
    over = a11 * a22 - a12 * a21
    return float(power / ((over.real**2 + over.imag**2) * sync))


@INNER
def _excess(numbers: FloatArray, phasors: ComplexArray, direction: float, size: float) -> float:
    """Torque over load, N·m, at a speed `size` in a direction (1 or -1, 0 for none)."""
    load = load_torque(numbers[9], numbers[10], numbers[11], size)
    return float(direction * _torque(numbers, phasors, direction * size) - load)


@INNER
def _rest(numbers: FloatArray, phasors: ComplexArray, speed: float) -> float:
    """The signed speed that one rotor comes to from `speed`."""
    size = abs(speed)
    # One that turns already goes on that way, whatever the torque: a single-phased motor runs on
    # in the direction in which it was started, and backwards if it was started so.
    pushes = speed if size > STANDSTILL else _torque(numbers, phasors, speed)
    direction = np.sign(pushes)
    excess = _excess(numbers, phasors, direction, size)
    low, high, at_low, at_high = _bracket(numbers, phasors, direction, size, excess)
    if high - low <= STANDSTILL:
        return float(direction * low)
    ends, at_ends = (low, high), (at_low, at_high)
    return float(direction * _balance(numbers, phasors, direction, ends, at_ends))


@INNER
def _bracket(
    numbers: FloatArray, phasors: ComplexArray, direction: float, size: float, excess: float
) -> tuple[float, float, float, float]:
    """Speeds just below and just above a balance, and the excess torque at each.

    Where torque stops to exceed the load on the way from `size`; equal where the rotor stays.
    """
    low, high, at_low, at_high = size, size, excess, excess
    # Point by point on the way up (or down), since a torque curve may dip below the load before
    # breakdown: a motor stalls at the first balance, and a bisection could land on a later one.
    if excess > 0:
        for point in GRID:
            if point > size:
                found = _excess(numbers, phasors, direction, point)
                high, at_high = point, found
                if not found > 0:
                    break
                low, at_low = point, found
    elif size > 0:
        for point in GRID[::-1]:
            if point < size:
                found = _excess(numbers, phasors, direction, point)
                low, at_low = point, found
                if found > 0:
                    break
                high, at_high = point, found
    return low, high, at_low, at_high


@INNER
def _balance(
    numbers: FloatArray,
    phasors: ComplexArray,
    direction: float,
    ends: tuple[float, float],
    at_ends: tuple[float, float],
) -> float:
    """The speed of balance between two ends, by false position (Illinois)."""
    (a, b), (at_a, at_b) = ends, at_ends
    middle, enough = a, BALANCED * (at_a - at_b)
    gained = 0.0  # by the last point: 1, or -1 where it lost, 0 at first
    for _ in range(FALSE_POSITIONS):
        middle = a + (b - a) * at_a / (at_a - at_b)
        at_middle = _excess(numbers, phasors, direction, middle)
        if abs(at_middle) <= enough:
            break
        # An end that is kept twice running counts half, or it would be kept for ever.
        if at_middle > 0:
            at_b = 0.5 * at_b if gained > 0 else at_b
            a, at_a, gained = middle, at_middle, 1.0
        else:
            at_a = 0.5 * at_a if gained < 0 else at_a
            b, at_b, gained = middle, at_middle, -1.0
    return middle
