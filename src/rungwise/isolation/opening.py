"""Which devices are opened for a scope, in which order, and when each is proved.

The usual list opens the breaker first and the disconnect after it.  Then a disconnect that does
not part is never seen: nothing stands on its line side any more, and what is measured behind it is
dead by the breaker alone.  So a device is opened and measured behind while its line side is still
live, the nearest first; devices whose load sides meet are measured once all of them are open.
Only a unit that runs on with the thermostat off turns that round: a disconnect is not pulled under
load, so the breaker comes first and is the one that counts.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import pairwise, permutations

from rungwise.isolation.demand import Demand, has_handle
from rungwise.isolation.devices import IsolatingDevice, Pole
from rungwise.isolation.reach import Names, Reach
from rungwise.isolation.scopes import WORK_STATIONS, Grounds, station_of
from rungwise.isolation.shape import Scope
from rungwise.parts import Supply, part_of

MOST_TRIED = 6
"""Up to so many devices every order is tried; beyond it only the nearest first."""

Behind = tuple[Pole, str, str]
"""A pole with its live end and its dead one."""


@dataclass(frozen=True)
class Session:
    """Devices measured behind with the first `stage` devices of the order open."""

    stage: int
    devices: tuple[IsolatingDevice, ...]


@dataclass(frozen=True)
class Opening:
    """The order, when each device is proved, and those that no reading of the order proves."""

    order: tuple[IsolatingDevice, ...]
    sessions: tuple[Session, ...]
    unproved: tuple[IsolatingDevice, ...]

    @property
    def proved(self) -> frozenset[str]:
        """Names of the devices that are proved."""
        return frozenset(device.name for each in self.sessions for device in each.devices)

    def opened_at(self, stage: int) -> Names:
        """Names of the first devices of the order."""
        return frozenset(device.name for device in self.order[:stage])


class Chooser:
    """Chooses devices and their order for one scope of one unit."""

    def __init__(
        self,
        reach: Reach,
        grounds: Grounds,
        demand: Demand,
        scope: Scope,
        *,
        keeps_running: bool,
    ) -> None:
        self.reach = reach
        self.devices = [d for d in reach.topology.devices if d.name not in reach.stuck]
        self.grounds = grounds
        self.scope = scope
        self.keeps_running = keeps_running
        self.demand = demand
        self.points = frozenset(grounds.points(scope))
        self.provable = cache(self._provable)
        self._distance = self._distances()

    def uncut(self) -> Names:
        """Points that stay at line volts with every device open."""
        every = frozenset(device.name for device in self.devices)
        return self.reach.with_open(every).line & self.points

    def relied_enough(self, opened: Names) -> bool:
        """Whether these devices alone cut every point of the scope off."""
        return self.reach.with_open(opened).line.isdisjoint(self.points)

    def breakers(self) -> tuple[IsolatingDevice, ...] | None:
        """The breakers that stop a unit which keeps running; None where there are none such."""
        power = frozenset(
            f"{part}.{end}"
            for part in self.grounds.outdoor_power
            for end in self.reach.topology.unit.kind_of(part).terminals
        )
        return self._cut(power, [d for d in self.devices if self._is_breaker(d)], near=False)

    def opening(self) -> Opening:
        """What is opened, in the best order; all there is where the nearest cannot be proved."""
        found = self._opening_of(self._chosen())
        if self.relied_enough(found.proved) and not self.demand.pulled_under_load(found.order):
            return found
        return self._opening_of(list(self.devices))

    def _opening_of(self, chosen: list[IsolatingDevice]) -> Opening:
        """The best order without a blade pulled under load, else the best of all."""
        first = self.breakers() or () if self.keeps_running else ()
        devices = sorted(chosen, key=lambda d: (self._distance[d.name], self._later(d)))
        if self.keeps_running and any(self._carries_the_load(d) for d in devices):
            devices = [*first, *(d for d in devices if d not in first)]
        else:
            first = ()
        orders = sorted(self._orders(devices, len(first)), key=self._cost)
        idle = (each for each in orders if not self.demand.pulled_under_load(each.order))
        return next(idle, orders[0])

    def _orders(self, devices: list[IsolatingDevice], fixed: int) -> Iterator[Opening]:
        """Every order that begins with the first `fixed`, or one where there are too many."""
        head, rest = devices[:fixed], devices[fixed:]
        tried = permutations(rest) if len(rest) <= MOST_TRIED else [tuple(rest)]
        for tail in tried:
            yield self._proofs((*head, *tail))

    def _chosen(self) -> list[IsolatingDevice]:
        """The nearest devices that cut the scope off, and those that stand beside them."""
        cut = self._cut(self.points, self.devices, near=True) or ()
        return [d for d in self.devices if d in cut or self._beside(d)]

    def _cut(
        self, points: Names, devices: Sequence[IsolatingDevice], *, near: bool
    ) -> tuple[IsolatingDevice, ...] | None:
        """The smallest set left when devices are spared one by one, the far ones first if near."""
        kept = {d.name: d for d in devices}
        if not self.reach.with_open(frozenset(kept)).line.isdisjoint(points):
            return None
        sign = 1 if near else -1
        far_first = sorted(devices, key=lambda d: (-sign * self._distance[d.name], self._later(d)))
        for device in far_first:
            left = frozenset(kept) - {device.name}
            if self.reach.with_open(left).line.isdisjoint(points):
                del kept[device.name]
        return tuple(kept.values())

    def _later(self, device: IsolatingDevice) -> int:
        """Settles ties by the drawing's order, and never by a name."""
        return [each.name for each in self.devices].index(device.name)

    def _beside(self, device: IsolatingDevice) -> bool:
        """Whether a device on the way stands where the work is, and parts something there."""
        stations = {"indoor": ("indoor",), "everything": ("unit", "indoor")}.get(
            self.scope, ("unit",)
        )
        here = station_of(device.place) in stations
        on_the_way = here and self.reach.path_goes_by(device, self.points)
        return on_the_way and not self.reach.bypassed(device)

    def _distances(self) -> dict[str, int]:
        """How many devices lie between the place of work and each one, through transformers too."""
        every = frozenset(device.name for device in self.devices)
        found: dict[str, int] = {}
        beyond = self._flood_and_windings(self.points, every)
        for distance in range(len(self.devices)):
            near = [d for d in self.devices if d.name not in found]
            near = [d for d in near if not beyond.isdisjoint(d.terminals)]
            found |= dict.fromkeys((d.name for d in near), distance)
            ends = beyond.union(*(d.terminals for d in near))
            beyond = self._flood_and_windings(ends, every)
        return {d.name: found.get(d.name, len(self.devices)) for d in self.devices}

    def _flood_and_windings(self, points: Names, every: Names) -> Names:
        """What hangs together with the points, both sides of a transformer as one."""
        found = self.reach.flood(points, every) | points
        while True:
            ends: set[str] = set()
            for winding in self.reach.topology.windings:
                both = {*winding.first, *winding.second}
                if found & both:
                    ends |= both - found - self.reach.topology.ground
            if not ends:
                return found
            found |= self.reach.flood(ends, every)

    def _is_breaker(self, device: IsolatingDevice) -> bool:
        return has_handle(self.reach.topology.unit, device.name)

    def _carries_the_load(self, device: IsolatingDevice) -> bool:
        """Whether pulling the device would break what the outdoor motors draw."""
        power = frozenset(
            f"{part}.{end}"
            for part in self.grounds.outdoor_power
            for end in self.reach.topology.unit.kind_of(part).terminals
        )
        return not self._is_breaker(device) and self.reach.path_goes_by(device, power)

    def _proofs(self, order: tuple[IsolatingDevice, ...]) -> Opening:
        """Each device with the stage of the order at which it is proved."""
        names = [device.name for device in order]
        at: dict[int, list[IsolatingDevice]] = {}
        unproved = []
        for n, device in enumerate(order, start=1):
            stages = [k for k in range(n, len(order) + 1) if self._at(device, names[:k])]
            if stages:
                at.setdefault(self._best_stage(device, n, stages, names), []).append(device)
            else:
                unproved.append(device)
        sessions = tuple(Session(stage, tuple(at[stage])) for stage in sorted(at))
        return Opening(order, sessions, tuple(unproved))

    def _best_stage(
        self, device: IsolatingDevice, opened_at: int, stages: Sequence[int], names: Sequence[str]
    ) -> int:
        """With everything open if that shows it, else at once where one stands, else late."""
        if opened_at not in stages:
            return max(stages)
        leads = self.lead_stations(device, frozenset(names[:opened_at]))
        if len(names) in stages and leads <= set(WORK_STATIONS[self.scope]):
            return len(names)
        return opened_at if leads == {station_of(device.place)} else max(stages)

    def lead_stations(self, device: IsolatingDevice, opened: Names) -> set[str]:
        """The stations at which a device is measured behind."""
        proved = self.provable(device, opened)
        return {
            station_of(self.place_of(self.lead_places(dead, opened)[0])) for _, _, dead in proved
        }

    def place_of(self, terminal: str) -> str:
        """Where a terminal is."""
        return self.grounds.place(part_of(terminal))

    def _at(self, device: IsolatingDevice, opened: Sequence[str]) -> bool:
        return bool(self.provable(device, frozenset(opened)))

    def _provable(self, device: IsolatingDevice, opened: Names) -> tuple[Behind, ...]:
        """Pole by pole the live end and the dead one, if with these open every pole could show.

        Empty where some pole could not: its line side dead, or live only through a load or a
        switch, or its load side fed another way.
        """
        ground = self.reach.topology.ground
        line = self.reach.with_open(opened).line
        ever = self.reach.with_open(frozenset()).line
        found = []
        for pole in device.poles:
            ends = (pole.line, pole.load)
            if set(ends) & ground or not set(ends) & ever:
                continue  # a neutral's pole: nothing comes through it
            live = [end for end in ends if end in line]
            if len(live) != 1 or not self._on_a_leg(live[0], device, opened):
                return ()
            dead = ends[1 - ends.index(live[0])]
            if not self.lead_places(dead, opened):
                return ()
            found.append((pole, live[0], dead))
        return tuple(found)

    def _on_a_leg(self, end: str, device: IsolatingDevice, opened: Names) -> bool:
        """Whether volts stand there that a lead finds: to ground, or of a grounded one to a leg."""
        topology = self.reach.topology
        if topology.leg_volt(end, opened):
            return True
        return topology.grounded_leg(end, opened) and bool(self.live_beside(device, opened))

    def live_beside(self, device: IsolatingDevice, opened: Names) -> str:
        """A terminal of a device that stays live to ground with these open; "" where none is."""
        topology = self.reach.topology
        return next((end for end in device.terminals if topology.leg_volt(end, opened)), "")

    def lead_places(self, end: str, opened: Names) -> tuple[str, ...]:
        """Terminals on the same piece of metal that a lead can be put on, the best first.

        Where there is none, those behind the next devices that are still closed.
        """
        topology = self.reach.topology
        near = self._open_to(topology.joined([end], topology.metal))
        far = near or self._open_to(
            topology.joined([end], [*topology.metal, *topology.poles(opened)])
        )
        return tuple(sorted(far, key=lambda terminal: self._liking(terminal, part_of(end))))

    def _open_to(self, joined: Names) -> list[str]:
        """The panel's own covers stay on, and nobody goes behind a compressor's cover."""
        unit = self.reach.topology.unit
        return [
            t
            for t in unit.terminals()
            if t in joined
            and self.place_of(t) not in ("panel", "room")
            and unit.kind_of(part_of(t)).facet(Supply) is None
            and part_of(t) not in unit.roles.compressors
        ]

    def _liking(self, terminal: str, own: str) -> tuple[bool, bool]:
        """Its own box first outdoors; indoors the air handler's terminals spare its opening.

        Of terminals liked alike the first of the unit's file is taken: a name decides nothing.
        """
        indoors = station_of(self.place_of(terminal)) == "indoor"
        box = bool(self.reach.topology.unit.kind_of(part_of(terminal)).isolates)
        return (box if indoors else part_of(terminal) != own, not box)

    def _cost(self, opening: Opening) -> tuple[int, int, int]:
        """Failures unseen, stations walked to, sessions with the meter."""
        walked, work = ["room"], set(WORK_STATIONS[self.scope])
        for stage, device in enumerate(opening.order, start=1):
            walked.append(station_of(device.place))
            for session in opening.sessions:
                if session.stage == stage:
                    opened = opening.opened_at(stage)
                    leads = [self.lead_stations(each, opened) for each in session.devices]
                    last = stage == len(opening.order)
                    walked += sorted(set().union(*leads) - (work if last else set()))
        stations = sum(a != b for a, b in pairwise(walked))
        return len(opening.unproved), stations, len(opening.sessions)
