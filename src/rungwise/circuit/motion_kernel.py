"""The search for the speed at which a rotor balances its load, compiled; see `motion`."""

from __future__ import annotations

import numpy as np
from numba.extending import register_jitable

from rungwise.circuit.elimination import ComplexArray
from rungwise.circuit.elimination_kernel import INNER
from rungwise.circuit.machine import field_parts, field_watt
from rungwise.circuit.motion import load_torque
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

for formula in (field_parts, field_watt, load_torque):
    register_jitable(formula)


@INNER
def rest(numbers: FloatArray, phasors: ComplexArray, speed: float) -> float:
    """The signed speed that one rotor comes to from `speed`."""
    size = abs(speed)
    # One that turns already goes on that way, whatever the torque: a single-phased motor runs on
    # in the direction in which it was started, and backwards if it was started so.
    pushes = speed if size > STANDSTILL else torque(numbers, phasors, speed)
    direction = np.sign(pushes)
    excess = _excess(numbers, phasors, direction, size)
    low, high, at_low, at_high = _bracket(numbers, phasors, direction, size, excess)
    if high - low <= STANDSTILL:
        return float(direction * low)
    ends, at_ends = (low, high), (at_low, at_high)
    return float(direction * _balance(numbers, phasors, direction, ends, at_ends))


@INNER
def torque(numbers: FloatArray, phasors: ComplexArray, speed: float) -> float:
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
    return float(direction * torque(numbers, phasors, direction * size) - load)


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
