"""Three-phase motors by symmetrical components, written as three legs with a cage of three loops.

Each sequence meets the usual circuit of one leg, the positive one at slip s, the negative one at
2 - s; a star that no wire leads out of has no third (Fortescue 1918; the equivalent circuit is any
textbook's, from memory)::

    Zp = R1 + jX1 + jXm ∥ (R2/s + jX2)        Zn the same at 2 - s
    torque (watts at synchronous speed) = 3 (|Ip'|² R2/s - |In'|² R2/(2 - s))

In a netlist a turning field is no leg's own: there each loop of the cage is swept by the flux of
the two others, speed (Xr (Ib' - Ic') + Xm (Ib - Ic)) / √3 for the first of them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from rungwise.other_world.machines import OMEGA, FloatArray
from rungwise.other_world.netlist import ComplexArray, Netlist

_A = np.exp(2j * math.pi / 3.0)
_POSITIVE = np.array([1.0, _A**2, _A])
_NEGATIVE = np.array([1.0, _A, _A**2])
_PORTS = np.array([[1.0, 0.0, -1.0], [0.0, 1.0, -1.0]])
"""First and second leg against the third."""


@dataclass(frozen=True, slots=True)
class ThreeLegs:
    """Constants of one leg in Ω at its frequency; core: of its iron, between two legs.

    deep_bar, need_w, start_w, fan_law, omega: as of `Machine`. back: its load turned backwards,
    over the usual one; a scroll that turns backwards moves no gas.
    """

    r_leg: float
    x_leg: float
    x_magnet: float
    r_rotor: float
    x_rotor: float
    core: float
    deep_bar: float = 0.0
    need_w: float = 0.0
    start_w: float = 0.0
    fan_law: bool = False
    back: float = 1.0
    omega: float = OMEGA

    def scaled(self, factor: float) -> ThreeLegs:
        """The same design wound for other amps: every impedance times `factor`."""
        names = ("r_leg", "x_leg", "x_magnet", "r_rotor", "x_rotor", "core")
        return replace(self, **{name: factor * getattr(self, name) for name in names})

    def load_w(self, speed: FloatArray) -> FloatArray:
        """Torque that the load takes at a share of synchronous speed, negative when backward."""
        share, fast = np.where(speed < 0, self.back, 1.0), np.abs(speed)
        if self.fan_law:
            return np.asarray(share * self.need_w * (0.04 + 0.96 * (fast / 0.95) ** 2))
        start = 0.8 * self.start_w * (fast < 0.3)
        return np.asarray(start + share * self.need_w * np.minimum(fast / 0.8, 1.0) ** 2)

    def rotor_ohm(self, speed: FloatArray) -> FloatArray:
        """The rotor's resistance: current crowds to the top of its bars at standstill."""
        return np.asarray(self.r_rotor * (1.0 + self.deep_bar * (1.0 - np.abs(speed))))

    def _rotor(self, speed: FloatArray, way: float) -> ComplexArray:
        """A leg of the cage as one sequence sees it; way: 1 of the positive, -1 of the negative."""
        slip = 1.0 - way * speed
        return np.asarray(self.rotor_ohm(speed) / slip + 1j * self.x_rotor)

    def _sequence_ohm(self, speed: FloatArray, way: float) -> ComplexArray:
        rotor, magnet = self._rotor(speed, way), 1j * self.x_magnet
        crossed = magnet * rotor / (magnet + rotor)
        return np.asarray(self.r_leg + 1j * self.x_leg + crossed)

    def port_matrix(self, speed: FloatArray) -> ComplexArray:
        """Impedances between leg 1 to 3 and leg 2 to 3 at each speed, shape [speeds, 2, 2]."""
        legs = np.zeros((len(speed), 3, 3), dtype=complex)
        for vector, way in ((_POSITIVE, 1.0), (_NEGATIVE, -1.0)):
            share = np.outer(vector, np.conj(vector)) / 3.0
            legs += self._sequence_ohm(speed, way)[:, None, None] * share
        return np.asarray(_PORTS @ legs @ _PORTS.T)

    def torque_w(self, speed: FloatArray, amps: ComplexArray) -> FloatArray:
        """Torque in watts at synchronous speed from the amps of legs 1 and 2, [speeds, 2]."""
        legs = amps @ _PORTS
        found = np.zeros(len(speed))
        for vector, way in ((_POSITIVE, 1.0), (_NEGATIVE, -1.0)):
            rotor, magnet = self._rotor(speed, way), 1j * self.x_magnet
            own = (legs @ np.conj(vector)) / 3.0 * magnet / (magnet + rotor)
            found += way * 3.0 * np.abs(own) ** 2 * rotor.real
        return np.asarray(found)

    def write(self, net: Netlist, name: str, legs: tuple[str, str, str], speed: float) -> None:
        """Put the windings between three points, the rotor turning at `speed`."""
        star, rotor = f"{name}~star", float(self.rotor_ohm(np.asarray(speed)))
        own, cage = self.x_leg + self.x_magnet, self.x_rotor + self.x_magnet
        for at, leg in enumerate(legs):
            dot = f"{name}~{at}"
            net.volt(f"{name}.is{at}", leg, f"{dot}s0", 0.0)
            net.ohm(f"{name}.r{at}", f"{dot}s0", f"{dot}s1", self.r_leg)
            net.henry(f"{name}.ls{at}", f"{dot}s1", star, own / self.omega)
            net.henry(f"{name}.lr{at}", f"{dot}r0", star, cage / self.omega)
            net.couple(f"{name}.ls{at}", f"{name}.lr{at}", self.x_magnet / self.omega)
            net.volt(f"{name}.ir{at}", f"{dot}r1", f"{dot}r0", 0.0)
            net.ohm(f"{name}.rr{at}", f"{dot}r2", f"{dot}r1", rotor)
        for at in range(3):
            self._swept(net, name, at, speed * cage / math.sqrt(3), speed)

    def _swept(self, net: Netlist, name: str, at: int, cage: float, speed: float) -> None:
        """Volts of turning in one loop of the cage: the flux of the two others sweeps it."""
        magnet = speed * self.x_magnet / math.sqrt(3)
        after, before = (at + 1) % 3, (at + 2) % 3
        volts = ((f"ir{after}", cage), (f"ir{before}", -cage),
                 (f"is{after}", magnet), (f"is{before}", -magnet))  # fmt: skip
        here = f"{name}~star"
        for step, (sensed, ohm) in enumerate(volts):
            last = step == len(volts) - 1
            there = f"{name}~{at}r2" if last else f"{name}~{at}e{step}"
            net.transfer(f"{name}.e{at}{step}", here, there, f"{name}.{sensed}", ohm)
            here = there


def line_amps(machine: ThreeLegs, volt: float, speed: FloatArray) -> ComplexArray:
    """Amps of legs 1 and 2 at each speed on a stiff supply of so many volts leg to leg."""
    legs = volt / math.sqrt(3) * _POSITIVE
    right = np.broadcast_to((_PORTS @ legs)[:, None], (len(speed), 2, 1))
    return np.asarray(np.linalg.solve(machine.port_matrix(speed), right)[:, :, 0])
