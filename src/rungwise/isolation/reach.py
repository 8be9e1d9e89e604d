"""Which points a source can reach while some isolating devices are open, whatever else stands.

Control devices do not isolate, so the demand may be on or off: both are within the answer.  A
transformer passes volts on both ways, and makes line volts again of low ones.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache, cached_property

from rungwise.isolation.devices import IsolatingDevice
from rungwise.isolation.topology import Edge, Topology, Winding
from rungwise.parts import LIVE_VOLT

Names = frozenset[str]

STEPS_DOWN = 0.5
"""Below this ratio a winding gives low volts from line volts, above its inverse line from low."""

HIGH_SUPPLY = 1.1
"""Highest supply over the usual one: 127 of 120 V, ANSI C84.1 range B (from memory), rounded up."""


@dataclass(frozen=True)
class Reached:
    """Points at line volts, and those that only a transformer's low volts reach, by transformer."""

    line: Names
    low: dict[str, Names]

    @cached_property
    def control(self) -> Names:
        """Points with low volts and no line volts."""
        return frozenset().union(*self.low.values()) - self.line


class Reach:
    """What every set of opened devices leaves; `stuck` are devices that do not open."""

    def __init__(self, topology: Topology, stuck: Iterable[str] = ()) -> None:
        self.topology = topology
        self.stuck = frozenset(stuck)
        self._poles: dict[str, tuple[Edge, ...]] = {
            device.name: tuple((pole.line, pole.load) for pole in device.poles)
            for device in topology.devices
        }
        self.with_open = cache(self._with_open)

    def flood(self, start: Iterable[str], opened: Names) -> Names:
        """Everything joined to `start`, through loads as well, up to ground."""
        ground = self.topology.ground
        begin = [each for each in start if each not in ground]
        edges = [*self.topology.conducts, *self._closed(opened)]
        return self.topology.joined(begin, edges, ground) - ground

    def _closed(self, opened: Names) -> list[Edge]:
        return [e for name, each in self._poles.items() if name not in opened for e in each]

    def _with_open(self, opened: Names) -> Reached:
        """What is reached with the devices of these names open."""
        opened -= self.stuck
        line = self.flood(self.topology.hot, opened)
        while True:
            low = self._low(line, opened)
            more = self._raised(line, low, opened) - line - self.topology.ground
            if not more:
                return Reached(line, low)
            line |= self.flood(more, opened)

    def _low(self, line: Names, opened: Names) -> dict[str, Names]:
        """Where each transformer's low side reaches whose line side is live."""
        found: dict[str, Names] = {}
        for winding in self.topology.windings:
            for near, far, ratio in _ways(winding):
                if ratio < STEPS_DOWN and not line.isdisjoint(near):
                    found[winding.part] = self.flood(far, opened)
        return found

    def _through_load(self, near: Edge, opened: Names) -> bool:
        """Whether a load stands between a winding's end and the leg that feeds it.

        The winding then takes what stands behind a motor or a capacitor, which can be far above
        the supply, and its low side is as far above what it is rated for.  A breaker that is not
        among the opened may have tripped on such a joint, so each is asked about open too.
        """
        others = [frozenset({name}) for name in self._poles if name not in opened | self.stuck]
        return any(self._fed_by_load(near, opened | more) for more in (frozenset(), *others))

    def _fed_by_load(self, near: Edge, opened: Names) -> bool:
        topology, closed = self.topology, self._closed(opened)
        firm = [*topology.metal, *topology.contacts, *topology.demand, *closed]
        known = topology.hot.keys() | topology.ground
        mine, other = (topology.joined([end], firm) for end in near)
        for side, beyond in ((mine, other), (other, mine)):
            if known.isdisjoint(side):
                edges = [e for e in (*topology.conducts, *closed) if beyond.isdisjoint(e)]
                begin = [leg for leg in topology.hot if leg not in beyond]
                if not side.isdisjoint(topology.joined(begin, edges, topology.ground)):
                    return True
        return False

    def _raised(self, line: Names, low: dict[str, Names], opened: Names) -> Names:
        """Points that line volts come to through a winding, or that two low ones add up at."""
        found: set[str] = set()
        for winding in self.topology.windings:
            others = [points for part, points in low.items() if part != winding.part]
            for near, far, ratio in _ways(winding):
                at_line = not line.isdisjoint(near) and (
                    ratio >= STEPS_DOWN or self._through_load(near, opened)
                )
                at_low = ratio > 1.0 / STEPS_DOWN and any(not o.isdisjoint(near) for o in others)
                if at_line or at_low:
                    found.update(far)
        for part, points in low.items():
            for other, beside in low.items():
                if part < other and self.low_volt(part) + self.low_volt(other) > LIVE_VOLT:
                    found |= points & beside
        return frozenset(found)

    def low_volt(self, part: str) -> float:
        """Most volts of a transformer's low side."""
        return HIGH_SUPPLY * float(self.topology.plan.defaults[(part, "secondary_open_volt")])

    def path_goes_by(self, device: IsolatingDevice, points: Names) -> bool:
        """Whether one of its poles stands between some source and some of the points."""
        opened, hot = frozenset({device.name}), self.topology.hot
        for pole in device.poles:
            line, load = (self.flood([end], opened) for end in (pole.line, pole.load))
            for near, far in ((line, load), (load, line)):
                if not near.isdisjoint(hot) and not far.isdisjoint(points):
                    return True
        return False

    def bypassed(self, device: IsolatingDevice) -> bool:
        """Whether plain metal joins both sides of one of its poles."""
        metal, joined = self.topology.metal, self.topology.joined
        return any(pole.load in joined([pole.line], metal) for pole in device.poles)


def _ways(winding: Winding) -> tuple[tuple[Edge, Edge, float], ...]:
    """Both ways through a pair of windings, with the volts that come out for one that goes in."""
    one, other, ratio = winding.first, winding.second, winding.ratio
    return ((one, other, ratio), (other, one, 1.0 / ratio))
