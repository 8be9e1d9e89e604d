"""Where a motor's rotor comes to rest or to speed, by torque against load.

The network seen from the motor's windings is linear as long as nothing else switches, so it is
reduced to a two-port once; the torque at any speed then costs one 2x2 solution.  From the speed
it has, the rotor accelerates while torque exceeds load and slows while it does not, to the first
speed at which they balance.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeVar

import numpy as np
import numpy.typing as npt

from rungwise.circuit.batch import BoolArray, IndexArray
from rungwise.circuit.elimination import ComplexArray
from rungwise.circuit.machine import MachineConstants, fields_ohm, torque_nm, winding_ohm
from rungwise.unit.element import FloatArray

GRID = np.array([0.0, 0.15, 0.3, 0.45, 0.6, 0.72, 0.82, 0.9, 0.95, 0.98, 0.9995])
"""Speeds over the synchronous speed between which a balance is bracketed."""

Number = TypeVar("Number", np.float64, np.complex128)

STANDSTILL = 1e-9
FALSE_POSITIONS = 13


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
        share = (speed / self.rated_speed) ** 2
        return np.asarray(self.standstill_nm + (self.rated_nm - self.standstill_nm) * share)

    def take(self, index: IndexArray) -> Load:
        """The loads of the variants in ``index``."""
        return Load(*(_take(getattr(self, name), index) for name in self.__slots__))


@dataclass(frozen=True, slots=True)
class Drive:
    """A motor and the two-port network that feeds it.

    ``source_amp`` (2 arrays) and ``network_siemens`` (4 arrays) describe the network without the
    motor: I_source = Y_network·V + I_motor.  ``closed`` are the windings' continuity (main, aux).
    """

    machine: MachineConstants
    load: Load
    source_amp: tuple[ComplexArray, ComplexArray]
    network_siemens: tuple[ComplexArray, ComplexArray, ComplexArray, ComplexArray]
    closed: tuple[FloatArray, FloatArray]

    def take(self, index: IndexArray) -> Drive:
        """The drives of the variants in ``index``."""
        return Drive(
            self.machine.take(index),
            self.load.take(index),
            (_take(self.source_amp[0], index), _take(self.source_amp[1], index)),
            tuple(_take(y, index) for y in self.network_siemens),  # type: ignore[arg-type]
            (_take(self.closed[0], index), _take(self.closed[1], index)),
        )

    def torque(self, speed: FloatArray) -> FloatArray:
        """Torque in N·m at a signed speed over synchronous speed.

        The port volts are V = (Y_network + Y_motor)⁻¹·I_source, then I = Y_motor·V: admittances,
        because an open winding has none.
        """
        slip = 1.0 - speed
        fields = fields_ohm(self.machine, slip)
        z11, z12, z21, z22 = winding_ohm(self.machine, slip, fields)
        main_on, aux_on = self.closed
        determinant = z11 * z22 - z12 * z21
        both = main_on * aux_on
        m11 = both * z22 / determinant + main_on * (1 - aux_on) / z11
        m22 = both * z11 / determinant + aux_on * (1 - main_on) / z22
        m12, m21 = -both * z12 / determinant, -both * z21 / determinant
        n11, n12, n21, n22 = self.network_siemens
        y11, y12, y21, y22 = n11 + m11, n12 + m12, n21 + m21, n22 + m22
        whole = y11 * y22 - y12 * y21
        s1, s2 = self.source_amp
        v1, v2 = (y22 * s1 - y12 * s2) / whole, (y11 * s2 - y21 * s1) / whole
        main, aux = m11 * v1 + m12 * v2, m21 * v1 + m22 * v2
        return torque_nm(self.machine, slip, np.asarray(main), np.asarray(aux), fields)


def _take(array: npt.NDArray[Number], index: IndexArray) -> npt.NDArray[Number]:
    return array[index] if array.ndim else array


def settle_speed(drive: Drive, speed: FloatArray) -> FloatArray:
    """The signed speed (over synchronous) that the rotor comes to from ``speed``, shape [n]."""
    torque = drive.torque(speed)
    direction = np.where(np.abs(speed) > STANDSTILL, np.sign(speed), np.sign(torque))
    size = np.abs(speed)
    accelerates = direction * torque > drive.load.at(size)
    low, high = _bracket(drive, direction, size, accelerates)
    return np.asarray(direction * _balance(drive, direction, low, high))


def _excess(drive: Drive, direction: FloatArray, size: FloatArray) -> FloatArray:
    return np.asarray(direction * drive.torque(direction * size) - drive.load.at(size))


def _bracket(
    drive: Drive,
    direction: FloatArray,
    size: FloatArray,
    accelerates: BoolArray,
) -> tuple[FloatArray, FloatArray]:
    """Speeds just below (excess torque) and just above (lack of it) the balance."""
    low, high = size.copy(), size.copy()
    up = np.flatnonzero(accelerates)
    for point in GRID[1:]:
        here = up[size[up] < point]
        if not here.size:
            continue
        gains = _excess(drive.take(here), direction[here], np.full(here.size, point)) > 0
        low[here[gains]] = point
        high[here] = point
        size[here] = point
        up = np.setdiff1d(up, here[~gains], assume_unique=True)
    down = np.flatnonzero(~accelerates & (low > 0))
    for point in GRID[::-1]:
        here = down[size[down] > point]
        if not here.size:
            continue
        gains = _excess(drive.take(here), direction[here], np.full(here.size, point)) > 0
        low[here] = point
        high[here[~gains]] = point
        size[here] = point
        down = np.setdiff1d(down, here[gains], assume_unique=True)
    return low, high


def _balance(drive: Drive, direction: FloatArray, low: FloatArray, high: FloatArray) -> FloatArray:
    """The speed of balance within every bracket, by false position (Illinois)."""
    between = np.flatnonzero(high - low > STANDSTILL)
    if not between.size:
        return low
    part, way = drive.take(between), direction[between]
    a, b = low[between], high[between]
    at_a, at_b = _excess(part, way, a), _excess(part, way, b)
    middle = a
    for _ in range(FALSE_POSITIONS):
        middle = a + (b - a) * at_a / (at_a - at_b)
        at_middle = _excess(part, way, middle)
        gains = at_middle > 0
        # Halving the value kept at the other end is what makes the plain rule converge fast.
        at_a, at_b = (
            np.where(gains, at_middle, 0.5 * at_a),
            np.where(gains, 0.5 * at_b, at_middle),
        )
        a, b = np.where(gains, middle, a), np.where(gains, b, middle)
    found = low.copy()
    found[between] = middle
    return found
