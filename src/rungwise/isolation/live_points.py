"""Which points of a work zone are live, for every set of isolating devices that may be open."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np

from rungwise.circuit import STANDBY, Call, ComplexArray, Plan, Solution, solve
from rungwise.isolation.devices import IsolatingDevice, openings
from rungwise.isolation.variants import Edits, batch_values
from rungwise.parts import EARTH, LIVE_VOLT, FloatArray

Opened = frozenset[str]
"""Names of the isolating devices that are open."""


@dataclass(frozen=True, slots=True)
class LivePoint:
    """A bare point with volts on it, AC RMS.

    `against` is earth, or the other point where the volts stand between two points.
    `volt` is what stands there with nothing connected.
    """

    terminal: str
    against: str
    volt: float


class LiveMap:
    """The live points for every subset of `devices` opened, under one thermostat call.

    `points` are the terminals looked at; `base` the fault that the unit is known to have.
    All subsets are solved at once.
    """

    def __init__(
        self,
        plan: Plan,
        devices: Sequence[IsolatingDevice],
        points: Sequence[str],
        base: Edits,
        call: Call = "off",
    ) -> None:
        self.points = tuple(points)
        self.subsets = subsets(devices)
        by_name = {device.name: device for device in devices}
        edits = [openings(by_name[name] for name in opened) for opened in self.subsets]
        condition = replace(STANDBY, name=f"isolating, thermostat {call}", demand=call)
        self.solution: Solution = solve(
            plan, condition, batch_values(plan, base, edits), len(self.subsets)
        )
        self._at = {opened: at for at, opened in enumerate(self.subsets)}

    def live(self, opened: Iterable[str]) -> tuple[LivePoint, ...]:
        """Points over 50 V to ground, or to another point where neither is so to earth."""
        at = self._at[frozenset(opened)]
        to_earth = np.abs(self._phasors(at, self.points))
        return self._over(at, self.points, to_earth)

    def most_between(self, terminals: Sequence[str], opened: Iterable[str]) -> LivePoint | None:
        """The two of `terminals` with the highest volts between them: from leg to leg, say.

        None where there are not two of them.
        """
        if len(terminals) < 2:
            return None
        at = self._at[frozenset(opened)]
        phasors = self._phasors(at, terminals)
        between = np.abs(phasors[:, None] - phasors[None, :])
        one, other = np.unravel_index(int(between.argmax()), between.shape)
        return self._point(terminals[int(one)], terminals[int(other)], at)

    def _phasors(self, at: int, points: Sequence[str]) -> ComplexArray:
        return np.array([self.solution.volt(point, EARTH)[at] for point in points], complex)

    def _over(self, at: int, points: Sequence[str], to_earth: FloatArray) -> tuple[LivePoint, ...]:
        phasors = self._phasors(at, points)
        # A point near earth is not live because a live one lies beside it.
        quiet = to_earth <= LIVE_VOLT
        between = np.abs(phasors[:, None] - phasors[None, :]) * (quiet[:, None] & quiet[None, :])
        found: list[LivePoint] = []
        for i, point in enumerate(points):
            if not quiet[i]:
                found.append(self._point(point, EARTH, at))
            elif between[i].max() > LIVE_VOLT:
                found.append(self._point(point, points[int(between[i].argmax())], at))
        return tuple(found)

    def _point(self, terminal: str, against: str, at: int) -> LivePoint:
        return LivePoint(terminal, against, float(abs(self.solution.volt(terminal, against)[at])))


def subsets(devices: Sequence[IsolatingDevice]) -> tuple[Opened, ...]:
    """Every subset of the devices by name, small ones first."""
    names = [device.name for device in devices]
    return tuple(
        frozenset(chosen) for size in range(len(names) + 1) for chosen in combinations(names, size)
    )
