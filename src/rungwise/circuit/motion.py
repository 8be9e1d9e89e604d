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

from rungwise.circuit.elimination import ComplexArray
from rungwise.circuit.loops import rest_speeds, torques_nm
from rungwise.circuit.machine import MachineConstants, Real
from rungwise.parts import FloatArray


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
        speeds = np.broadcast_to(speed, self.numbers.shape[1:])
        return torques_nm(self.numbers, self.phasors, speeds)

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
    return rest_speeds(drive.numbers, drive.phasors, speed)
