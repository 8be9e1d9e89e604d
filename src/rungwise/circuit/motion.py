"""Where a motor's rotor comes to rest or to speed, by torque against load.

The network seen from the motor's windings is linear as long as nothing else switches, so it is
reduced to a two-port once; the torque at any speed then costs one 2x2 solution.  From the speed
it has, the rotor accelerates while torque exceeds load and slows while it does not, to the first
speed at which they balance.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple, TypeVar

import numpy as np
import numpy.typing as npt

from rungwise.circuit.batch import IndexArray
from rungwise.circuit.elimination import ComplexArray
from rungwise.circuit.machine import MachineConstants, air_gap_watt, fields_ohm
from rungwise.parts import FloatArray

GRID = np.array([0.0, 0.15, 0.3, 0.45, 0.6, 0.72, 0.82, 0.9, 0.95, 0.98, 0.9995])
"""Speeds over the synchronous speed between which a balance is bracketed."""

Number = TypeVar("Number", np.float64, np.complex128)

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
        share = (speed / self.rated_speed) ** 2
        return np.asarray(self.standstill_nm + (self.rated_nm - self.standstill_nm) * share)

    def take(self, index: IndexArray) -> Load:
        """The loads of the variants in `index`."""
        return Load(*(_take(getattr(self, name), index) for name in self.__slots__))


@dataclass(frozen=True, slots=True)
class Drive:
    """A motor and the two-port network that feeds it.

    `source_amp` (2 arrays) and `network_siemens` (4 arrays) describe the network without the
    motor: I_source = Y_network·V + I_motor.  A winding that is open has neither (`fed`).
    `winding_ohm` are the two windings' own impedances, without the field.
    """

    machine: MachineConstants
    load: Load
    source_amp: tuple[ComplexArray, ComplexArray]
    network_siemens: tuple[ComplexArray, ComplexArray, ComplexArray, ComplexArray]
    winding_ohm: tuple[ComplexArray, ComplexArray]

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
        own = (
            np.asarray(machine.main_ohm + 1j * machine.main_leak_ohm),
            np.asarray(machine.aux_ohm + 1j * machine.aux_leak_ohm),
        )
        return cls(machine, load, source, network, own)

    def take(self, index: IndexArray) -> Drive:
        """The drives of the variants in `index`."""
        return Drive(
            self.machine.take(index),
            self.load.take(index),
            (_take(self.source_amp[0], index), _take(self.source_amp[1], index)),
            tuple(_take(y, index) for y in self.network_siemens),  # type: ignore[arg-type]
            (_take(self.winding_ohm[0], index), _take(self.winding_ohm[1], index)),
        )

    def torque(self, speed: FloatArray) -> FloatArray:
        """Torque in N·m at a signed speed over synchronous speed.

        From I_source = Y·V + I and V = Z·I follow the winding currents (Y·Z + 1)⁻¹·I_source,
        without a division by the motor's own impedance; the one determinant divides the power.
        """
        forward, backward = fields_ohm(self.machine, 1.0 - speed)
        ratio = self.machine.turns_ratio
        both, cross = forward + backward, 1j * ratio * (forward - backward)
        z11 = self.winding_ohm[0] + both
        z22 = self.winding_ohm[1] + ratio**2 * both
        n11, n12, n21, n22 = self.network_siemens
        a11, a12 = 1.0 + n11 * z11 + n12 * cross, n12 * z22 - n11 * cross
        a21, a22 = n21 * z11 + n22 * cross, 1.0 + n22 * z22 - n21 * cross
        s1, s2 = self.source_amp
        main, aux = a22 * s1 - a12 * s2, a11 * s2 - a21 * s1
        power = air_gap_watt((forward, backward), ratio, main, aux)
        return np.asarray(power / (_square(a11 * a22 - a12 * a21) * self.machine.sync_rad_per_s))


def _square(phasor: ComplexArray) -> FloatArray:
    return np.asarray(phasor.real**2 + phasor.imag**2)


def _take(array: npt.NDArray[Number], index: IndexArray) -> npt.NDArray[Number]:
    return array[index] if array.ndim else array


def settle_speed(drive: Drive, speed: FloatArray) -> FloatArray:
    """The signed speed (over synchronous) that the rotor comes to from `speed`, shape [n]."""
    torque = drive.torque(speed)
    # One that turns already goes on that way, whatever the torque: a single-phased motor runs on
    # in the direction in which it was started, and backwards if it was started so.
    direction = np.where(np.abs(speed) > STANDSTILL, np.sign(speed), np.sign(torque))
    size = np.abs(speed)
    bracket = _bracket(drive, direction, size, direction * torque - drive.load.at(size))
    return np.asarray(direction * _balance(drive, direction, bracket))


def _excess(drive: Drive, direction: FloatArray, size: FloatArray) -> FloatArray:
    return np.asarray(direction * drive.torque(direction * size) - drive.load.at(size))


class _Bracket(NamedTuple):
    """Speeds just below and just above a balance, and the excess torque at each."""

    low: FloatArray
    high: FloatArray
    at_low: FloatArray
    at_high: FloatArray


def _bracket(
    drive: Drive, direction: FloatArray, start: FloatArray, excess: FloatArray
) -> _Bracket:
    """Where torque stops to exceed the load on the way from `start`; its ends are equal where
    the rotor stays.
    """
    low, high, at_low, at_high = start.copy(), start.copy(), excess.copy(), excess.copy()
    # Point by point on the way up (or down), since a torque curve may dip below the load before
    # breakdown: a motor stalls at the first balance, and a bisection could land on a later one.
    up = np.flatnonzero(excess > 0)
    for point in GRID[1:]:
        here = up[start[up] < point]
        if not here.size:
            continue
        found = _excess(drive.take(here), direction[here], np.full(here.size, point))
        gains = found > 0
        low[here[gains]], at_low[here[gains]] = point, found[gains]
        high[here], at_high[here] = point, found
        up = here[gains] if here.size == up.size else np.setdiff1d(up, here[~gains])
    down = np.flatnonzero((excess <= 0) & (start > 0))
    for point in GRID[::-1]:
        here = down[start[down] > point]
        if not here.size:
            continue
        found = _excess(drive.take(here), direction[here], np.full(here.size, point))
        gains = found > 0
        low[here], at_low[here] = point, found
        high[here[~gains]], at_high[here[~gains]] = point, found[~gains]
        down = here[~gains] if here.size == down.size else np.setdiff1d(down, here[gains])
    return _Bracket(low, high, at_low, at_high)


def _balance(drive: Drive, direction: FloatArray, bracket: _Bracket) -> FloatArray:
    """The speed of balance within every bracket, by false position (Illinois)."""
    found = bracket.low.copy()
    left = np.flatnonzero(bracket.high - bracket.low > STANDSTILL)
    a, b, at_a, at_b = (each[left] for each in bracket)
    part, way, enough = drive.take(left), direction[left], BALANCED * (at_a - at_b)
    gained: FloatArray = np.zeros(
        left.size
    )  # by the last point: 1, or -1 where it lost, 0 at first
    for _ in range(FALSE_POSITIONS):
        if not left.size:
            break
        middle = a + (b - a) * at_a / (at_a - at_b)
        at_middle = _excess(part, way, middle)
        found[left] = middle
        gains = at_middle > 0
        # An end that is kept twice running counts half, or it would be kept for ever.
        at_a = np.where(gains, at_middle, np.where(gained < 0, 0.5 * at_a, at_a))
        at_b = np.where(gains, np.where(gained > 0, 0.5 * at_b, at_b), at_middle)
        a, b, gained = (
            np.where(gains, middle, a),
            np.where(gains, b, middle),
            np.where(gains, 1.0, -1.0),
        )
        off = np.flatnonzero(np.abs(at_middle) > enough)
        if off.size < left.size:
            part, left = part.take(off), left[off]
            way, enough, gained = way[off], enough[off], gained[off]
            a, b, at_a, at_b = a[off], b[off], at_a[off], at_b[off]
    return found
