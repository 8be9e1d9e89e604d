"""What feeds the motors: the rest of the house seen from their windings, all at once."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from rungwise.other_world.machines import Machine, turn
from rungwise.other_world.netlist import ComplexArray
from rungwise.other_world.parts import motor_ports, solve_stand
from rungwise.other_world.three_legs import ThreeLegs

if TYPE_CHECKING:
    from rungwise.other_world.switching import Settled

SPEED_STEP = 2e-4
"""A change of speed, as a share of synchronous, that no meter would show."""

LEAST_VOLT = 5.0
MOST_ROUNDS = 12


class MotorFeed:
    """The house without its windings, as seen from the two ports of every motor.

    Port after port, main before auxiliary, motor after motor: open volts and impedances. Each
    motor then meets the others as the impedances that they are at their speeds.
    """

    def __init__(self, settled: Settled) -> None:
        house = settled.house
        self._house = house
        self.motors = [part.name for part in house.unit.parts if part.name in house.machines]
        bare = solve_stand(house, replace(settled.stand, bare=True))
        ports = [port for motor in self.motors for port in motor_ports(house, motor)]
        self._volt = np.array([bare.volt(*port) for port in ports])
        self._ohm = bare.port_impedances(ports)
        self._machine = dict(house.machines)
        for compressor, heat in settled.heats.items():
            self._machine[compressor] = heat.loaded(house.machines[compressor])

    def speeds(self, was: dict[str, float]) -> dict[str, float]:
        """Where all motors come to from the speeds that they had."""
        now = dict(was)
        for _ in range(MOST_ROUNDS):
            before = dict(now)
            for at, motor in enumerate(self.motors):
                now[motor] = self._speed(at, now, was[motor])
            if all(abs(now[motor] - before[motor]) <= SPEED_STEP for motor in now):
                break
        return now

    def _speed(self, at: int, now: dict[str, float], was: float) -> float:
        motor = self.motors[at]
        if self._house.value(motor, "seized"):
            return 0.0
        volt, ohm = self._seen(at, now)
        if was == 0.0 and float(np.abs(volt).max()) < LEAST_VOLT:
            return 0.0
        return turn(self._machine[motor], volt, ohm, was=was).speed

    def _seen(self, at: int, now: dict[str, float]) -> tuple[ComplexArray, ComplexArray]:
        """Open volts [2] and impedances [2, 2] that one motor sees, the others turning."""
        own = [2 * at, 2 * at + 1]
        rest = [port for port in range(len(self._volt)) if port not in own]
        loop = self._ohm[np.ix_(rest, rest)].copy()
        others = [each for each in self.motors if each != self.motors[at]]
        for place, name in enumerate(others):
            block = slice(2 * place, 2 * place + 2)
            loop[block, block] += _windings(self._machine[name], now[name])
        across = self._ohm[np.ix_(own, rest)]
        back = np.linalg.solve(
            loop, np.column_stack([self._volt[rest], self._ohm[np.ix_(rest, own)]])
        )
        seen = self._ohm[np.ix_(own, own)] - across @ back[:, 1:]
        return self._volt[own] - across @ back[:, 0], seen


def _windings(machine: Machine | ThreeLegs, speed: float) -> ComplexArray:
    return np.asarray(machine.port_matrix(np.array([speed]))[0])
