"""Capacitor motors by the cross-field theory: a rotor with one circuit along each stator winding.

Main and auxiliary winding stand at right angles.  The rotor's direct circuit lies along the main
winding, its quadrature circuit along the auxiliary one; turning at `speed` (share of
synchronous) each meets the other's flux (cross-field theory, Puchstein and Lloyd 1941, from
memory).  All in phasors, rotor seen from the main winding::

    Vm = (R1 + j(X1 + Xm)) Im + jXm Id
    Va = (Ra + j(Xa + a²Xm)) Ia + a jXm Iq
    0  = (R2 + j(X2 + Xm)) Id + jXm Im  + speed ((X2 + Xm) Iq + a Xm Ia)
    0  = (R2 + j(X2 + Xm)) Iq + a jXm Ia - speed ((X2 + Xm) Id + Xm Im)
    torque (watts at synchronous speed) = Xm Re(Id* a Ia - Iq* Im)
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Protocol

import numpy as np
import numpy.typing as npt

from rungwise.other_world.netlist import ComplexArray, Netlist

FloatArray = npt.NDArray[np.float64]
HZ = 60.0
OMEGA = 2.0 * np.pi * HZ
GRID = np.linspace(0.0, 0.998, 120)
STALLED = 0.45
"""A rotor slower than this share of synchronous speed has not come up."""


@dataclass(frozen=True, slots=True)
class Machine:
    """Constants in Ω at its frequency. ratio: effective turns, auxiliary over main. core: of iron.

    deep_bar: by what share the rotor's resistance is higher at standstill than near full speed.
    need_w: load torque at full speed, watts at synchronous speed. start_w: what it takes to move
    at all. fan_law: the load grows with the square of the speed. omega: rad/s at which it is told.
    """

    r_main: float
    x_main: float
    x_magnet: float
    r_rotor: float
    x_rotor: float
    ratio: float
    r_aux: float
    x_aux: float
    core: float
    deep_bar: float = 0.0
    need_w: float = 0.0
    start_w: float = 0.0
    fan_law: bool = False
    omega: float = OMEGA

    def scaled(self, factor: float) -> Machine:
        """The same design wound for other amps: every impedance times `factor`."""
        names = ("r_main", "x_main", "x_magnet", "r_rotor", "x_rotor", "r_aux", "x_aux", "core")
        return replace(self, **{name: factor * getattr(self, name) for name in names})

    def load_w(self, speed: FloatArray) -> FloatArray:
        """Torque that the load takes at a share of synchronous speed, whichever way it turns."""
        speed = np.abs(speed)
        if self.fan_law:
            return np.asarray(self.need_w * (0.04 + 0.96 * (speed / 0.92) ** 2))
        # Pressures are level when it starts and part as it pumps.
        return np.asarray(
            0.8 * self.start_w * (speed < 0.3) + self.need_w * np.minimum(speed / 0.8, 1.0) ** 2
        )

    def port_matrix(self, speed: FloatArray) -> ComplexArray:
        """Impedances between main and auxiliary winding at each speed, shape [speeds, 2, 2]."""
        solved = self._rotor(speed)
        jx, a = 1j * self.x_magnet, self.ratio
        z = np.empty((len(speed), 2, 2), dtype=complex)
        z[:, 0, 0] = self.r_main + 1j * self.x_main + jx + jx * solved[:, 0, 0]
        z[:, 0, 1] = jx * solved[:, 0, 1]
        z[:, 1, 0] = a * jx * solved[:, 1, 0]
        z[:, 1, 1] = self.r_aux + 1j * self.x_aux + a * a * jx + a * jx * solved[:, 1, 1]
        return z

    def rotor_ohm(self, speed: FloatArray) -> FloatArray:
        """The rotor's resistance: current crowds to the top of its bars at standstill."""
        return np.asarray(self.r_rotor * (1.0 + self.deep_bar * (1.0 - np.abs(speed))))

    def _rotor(self, speed: FloatArray) -> ComplexArray:
        """Rotor amps (direct, quadrature) per ampere of (main, auxiliary)."""
        own = self.rotor_ohm(speed) + 1j * (self.x_rotor + self.x_magnet)
        turn_own = speed * (self.x_rotor + self.x_magnet)
        left = np.empty((len(speed), 2, 2), dtype=complex)
        left[:, 0, 0] = left[:, 1, 1] = own
        left[:, 0, 1], left[:, 1, 0] = turn_own, -turn_own
        right = np.empty_like(left)
        jx = 1j * self.x_magnet
        right[:, 0, 0], right[:, 0, 1] = jx, speed * self.ratio * self.x_magnet
        right[:, 1, 0], right[:, 1, 1] = -speed * self.x_magnet, self.ratio * jx
        return np.asarray(-np.linalg.solve(left, right))

    def torque_w(self, speed: FloatArray, amps: ComplexArray) -> FloatArray:
        """Torque in watts at synchronous speed from (main, auxiliary) amps, shape [speeds, 2]."""
        rotor = np.einsum("sij,sj->si", self._rotor(speed), amps)
        direct, quadrature = np.conj(rotor[:, 0]), np.conj(rotor[:, 1])
        return np.asarray(
            self.x_magnet * (direct * self.ratio * amps[:, 1] - quadrature * amps[:, 0]).real
        )

    def write(
        self, net: Netlist, name: str, run: str, start: str, common: str, speed: float
    ) -> None:
        """Put the windings between run, start and common points, the rotor turning at `speed`."""
        xm, a, xr = self.x_magnet, self.ratio, self.x_rotor + self.x_magnet
        dot, rotor = f"{name}~", float(self.rotor_ohm(np.asarray(speed)))
        net.volt(f"{name}.im", run, f"{dot}m0", 0.0)
        net.ohm(f"{name}.rm", f"{dot}m0", f"{dot}m1", self.r_main)
        net.henry(f"{name}.lm", f"{dot}m1", common, (self.x_main + xm) / self.omega)
        net.volt(f"{name}.ia", start, f"{dot}a0", 0.0)
        net.ohm(f"{name}.ra", f"{dot}a0", f"{dot}a1", self.r_aux)
        net.henry(f"{name}.la", f"{dot}a1", common, (self.x_aux + a * a * xm) / self.omega)
        for axis in ("d", "q"):
            net.henry(f"{name}.l{axis}", f"{dot}{axis}0", common, xr / self.omega)
            net.volt(f"{name}.i{axis}", f"{dot}{axis}1", f"{dot}{axis}0", 0.0)
            net.ohm(f"{name}.r{axis}", f"{dot}{axis}2", f"{dot}{axis}1", rotor)
        net.couple(f"{name}.lm", f"{name}.ld", xm / self.omega)
        net.couple(f"{name}.la", f"{name}.lq", a * xm / self.omega)
        # Round each rotor loop: volts of turning, then the resistance, then the winding.
        net.transfer(f"{name}.e1", common, f"{dot}d3", f"{name}.iq", speed * xr)
        net.transfer(f"{name}.e2", f"{dot}d3", f"{dot}d2", f"{name}.ia", speed * a * xm)
        net.transfer(f"{name}.e3", common, f"{dot}q3", f"{name}.id", -speed * xr)
        net.transfer(f"{name}.e4", f"{dot}q3", f"{dot}q2", f"{name}.im", -speed * xm)


@dataclass(frozen=True, slots=True)
class Turning:
    """Where a motor comes to: its speed as a share of synchronous, negative when backward."""

    speed: float

    @property
    def turns(self) -> bool:
        """Whether it runs."""
        return self.speed != 0.0


class _Turned(Protocol):
    """What `turn` needs of a motor: see `Machine`."""

    @property
    def start_w(self) -> float: ...

    def load_w(self, speed: FloatArray) -> FloatArray: ...

    def port_matrix(self, speed: FloatArray) -> ComplexArray: ...

    def torque_w(self, speed: FloatArray, amps: ComplexArray) -> FloatArray: ...


def turn(
    machine: _Turned, open_volt: ComplexArray, seen_ohm: ComplexArray, *, was: float = 0.0
) -> Turning:
    """Where a motor fed through a two-port (open volts [2], impedances [2, 2]) comes to rest.

    was: its speed before; 0 when it has to break away. The rotor speeds up while its torque
    exceeds the load's, from standstill or from its speed, and settles where they cross.
    """
    way = np.sign(was) or (1.0 if _torque(machine, open_volt, seen_ohm, GRID[:1])[0] > 0 else -1.0)
    torque = way * _torque(machine, open_volt, seen_ohm, way * GRID)
    spare = torque - machine.load_w(way * GRID)
    if was == 0.0 and torque[0] < machine.start_w:
        return Turning(0.0)
    # A turning rotor keeps on from where it is when it can pull there or anywhere above.
    first = 0 if was == 0.0 else int(np.searchsorted(GRID, 0.85 * abs(was)))
    pulls = np.flatnonzero(spare[first:] > 0)
    if not len(pulls):
        return Turning(0.0)
    first += int(pulls[0]) if was else 0
    below = np.flatnonzero(spare[first:] <= 0)
    speed = float(GRID[-1])
    if len(below):
        at = first + int(below[0])
        if at == 0:
            return Turning(0.0)
        share = spare[at - 1] / max(spare[at - 1] - spare[at], 1e-12)
        speed = float(GRID[at - 1] + share * (GRID[at] - GRID[at - 1]))
    return Turning(way * speed if speed >= STALLED else 0.0)


def _torque(
    machine: _Turned, open_volt: ComplexArray, seen_ohm: ComplexArray, speed: FloatArray
) -> FloatArray:
    loop = machine.port_matrix(speed) + seen_ohm
    right = np.broadcast_to(open_volt[:, None], (len(speed), 2, 1))
    amps: ComplexArray = np.asarray(np.linalg.solve(loop, right)[:, :, 0], dtype=complex)
    return machine.torque_w(speed, amps)


def terminal_amps(machine: Machine, volt: float, farad: float, speed: FloatArray) -> ComplexArray:
    """(Main, auxiliary) amps at each speed on a stiff supply with its run capacitor."""
    seen = np.zeros((2, 2), dtype=complex)
    seen[1, 1] = -1j / (machine.omega * farad)
    right = np.full((len(speed), 2, 1), volt, dtype=complex)
    return np.asarray(np.linalg.solve(machine.port_matrix(speed) + seen, right)[:, :, 0])


def rising(target: float, measure: Callable[[float], float], low: float, high: float) -> float:
    """Where a growing `measure` meets `target`, between two ends, by halving."""
    for _ in range(50):
        middle = math.sqrt(low * high)
        low, high = (middle, high) if measure(middle) < target else (low, middle)
    return math.sqrt(low * high)
