"""Which points of a work zone are live, for every set of isolating devices that may be open."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from copy import copy
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import combinations

import numpy as np

from rungwise.circuit.condition import STANDBY, Call
from rungwise.circuit.elimination import ComplexArray
from rungwise.circuit.plan import Plan
from rungwise.circuit.settle import solve
from rungwise.circuit.solution import Solution
from rungwise.isolation.devices import IsolatingDevice, openings
from rungwise.isolation.limits import DEAD_VOLT, LIVE_VOLT
from rungwise.isolation.probes import Probes
from rungwise.isolation.variants import Edits, batch_values
from rungwise.unit.element import EARTH, FloatArray

Opened = frozenset[str]
"""Names of the isolating devices that are open."""


@dataclass(frozen=True, slots=True)
class LivePoint:
    """A bare point with volts on it, AC RMS.

    ``against`` is earth, or the other point where the volts stand between two points.
    ``volt`` is what stands there with nothing connected; ``loaded_volt`` what a low-impedance
    meter leaves of it.
    """

    terminal: str
    against: str
    volt: float
    loaded_volt: float

    @property
    def ghost(self) -> bool:
        """Volts that only leak or couple across and vanish under a low-impedance meter."""
        return self.loaded_volt < DEAD_VOLT


class LiveMap:
    """The live points for every subset of ``devices`` opened, under one thermostat call.

    ``points`` are the terminals looked at; ``base`` the fault that the unit is known to have.
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
        condition = replace(STANDBY, name=f"isolating, thermostat {call}", call=call)
        self.solution: Solution = solve(
            plan, condition, batch_values(plan, base, edits), len(self.subsets)
        )
        self._at = {opened: at for at, opened in enumerate(self.subsets)}

    def at_points(self, points: Sequence[str]) -> LiveMap:
        """The same solution, looked at in other points."""
        other = copy(self)
        other.points = tuple(points)
        return other

    @cached_property
    def _probes(self) -> Probes:
        return Probes(self.solution)

    def live(self, opened: Iterable[str]) -> tuple[LivePoint, ...]:
        """Points over 50 V to earth, or to another point where neither is so to earth."""
        at = self._at[frozenset(opened)]
        to_earth = np.abs(self._phasors(at, self.points))
        return self._over(at, LIVE_VOLT, self.points, to_earth)

    def low(self, opened: Iterable[str]) -> tuple[LivePoint, ...]:
        """Points that are not live but over 5 V: the 24 V circuit.  Ghosts are left out."""
        at = self._at[frozenset(opened)]
        hot = {point.terminal for point in self.live(opened)}
        rest = tuple(point for point in self.points if point not in hot)
        # Loaded, because a control circuit without an earth floats and shows ghosts to it.
        to_earth = self._probes.readings([(point, EARTH) for point in rest])[:, at]
        return tuple(p for p in self._over(at, DEAD_VOLT, rest, to_earth) if not p.ghost)

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

    def dead_sets(self) -> tuple[Opened, ...]:
        """The smallest sets of devices that, opened, leave no live point."""
        found: list[Opened] = []
        for opened in self.subsets:
            if not any(smaller <= opened for smaller in found) and not self.live(opened):
                found.append(opened)
        return tuple(found)

    def reached_by(self, device: IsolatingDevice) -> bool:
        """Whether opening this device alone takes volts over 5 V off a point of the zone."""
        before, after = (self._volts(opened) > DEAD_VOLT for opened in ((), (device.name,)))
        return bool((before & ~after).any())

    def _phasors(self, at: int, points: Sequence[str]) -> ComplexArray:
        return np.array([self.solution.volt(point, EARTH)[at] for point in points], complex)

    def _volts(self, opened: Iterable[str]) -> FloatArray:
        """Volts between all points, and to earth in the last row and column."""
        phasors = np.append(self._phasors(self._at[frozenset(opened)], self.points), 0.0)
        return np.asarray(np.abs(phasors[:, None] - phasors[None, :]))

    def _over(
        self, at: int, limit: float, points: Sequence[str], to_earth: FloatArray
    ) -> tuple[LivePoint, ...]:
        phasors = self._phasors(at, points)
        # A point near earth is not live because a live one lies beside it.
        quiet = to_earth <= limit
        between = np.abs(phasors[:, None] - phasors[None, :]) * (quiet[:, None] & quiet[None, :])
        found: list[LivePoint] = []
        for i, point in enumerate(points):
            if not quiet[i]:
                found.append(self._point(point, EARTH, at))
            elif between[i].max() > limit:
                found.append(self._point(point, points[int(between[i].argmax())], at))
        return tuple(found)

    def _point(self, terminal: str, against: str, at: int) -> LivePoint:
        pair = (terminal, against)
        volt, loaded = self._probes.open_volts(pair)[at], self._probes.reading(pair)[at]
        return LivePoint(terminal, against, float(volt), float(loaded))


def subsets(devices: Sequence[IsolatingDevice]) -> tuple[Opened, ...]:
    """Every subset of the devices by name, small ones first."""
    names = [device.name for device in devices]
    return tuple(
        frozenset(chosen) for size in range(len(names) + 1) for chosen in combinations(names, size)
    )
