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

from rungwise.isolation.devices import IsolatingDevice, Pole
from rungwise.isolation.reach import Names, Reach
from rungwise.isolation.scopes import Grounds, station_of
from rungwise.isolation.shape import Scope

MOST_TRIED = 6
"""Up to so many devices every order is tried; beyond it only the nearest first."""

Behind = tuple[Pole, str, str]
"""A pole with its live end and its dead one."""

BREAKERS = "breaker"
"""How the kinds of devices begin that are made to part a load."""


@dataclass(frozen=True)
class Session:
    """Devices measured behind with the first ``stage`` devices of the order open."""

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
        self, reach: Reach, grounds: Grounds, scope: Scope, *, keeps_running: bool
    ) -> None:
        self.reach = reach
        self.devices = [d for d in reach.topology.devices if d.name not in reach.stuck]
        self.grounds = grounds
        self.scope = scope
        self.keeps_running = keeps_running
        self.points = frozenset(grounds.points(scope))
        self.provable = cache(self._provable)
        self._depth = {d.name: self._devices_before(d) for d in self.devices}

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
        """What is opened, in the best order."""
        chosen = self._chosen()
        first = self.breakers() or () if self.keeps_running else ()
        devices = sorted(chosen, key=lambda d: (-self._depth[d.name], d.name))
        if self.keeps_running and any(self._carries_the_load(d) for d in devices):
            devices = [*first, *(d for d in devices if d not in first)]
        else:
            first = ()
        return min(self._orders(devices, len(first)), key=self._cost)

    def _orders(self, devices: list[IsolatingDevice], fixed: int) -> Iterator[Opening]:
        """Every order that begins with the first ``fixed``, or one where there are too many."""
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
        for device in sorted(devices, key=lambda d: (sign * self._depth[d.name], d.name)):
            left = frozenset(kept) - {device.name}
            if self.reach.with_open(left).line.isdisjoint(points):
                del kept[device.name]
        return tuple(kept.values())

    def _beside(self, device: IsolatingDevice) -> bool:
        """Whether a device on the way stands where the work is, and parts something there."""
        stations = {"indoor": ("indoor",), "everything": ("unit", "indoor")}.get(
            self.scope, ("unit",)
        )
        here = station_of(device.place) in stations
        on_the_way = here and self.reach.path_goes_by(device, self.points)
        return on_the_way and not self.reach.bypassed(device)

    def _devices_before(self, device: IsolatingDevice) -> int:
        """How many other devices, each alone, keep the sources from this one's terminals."""
        ends = frozenset(device.terminals)
        others = (d.name for d in self.devices if d is not device)
        return sum(self._shields(other, ends) for other in others)

    def _shields(self, other: str, ends: Names) -> bool:
        live = self.reach.with_open(frozenset()).line & ends
        return len(self.reach.with_open(frozenset({other})).line & ends) < len(live)

    def _is_breaker(self, device: IsolatingDevice) -> bool:
        return self.reach.topology.unit.part(device.name).kind.startswith(BREAKERS)

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
        if len(names) in stages or opened_at not in stages:
            return max(stages)
        proved = self.provable(device, frozenset(names[:opened_at]))
        leads = {self.place_of(self.lead_places(dead)[0]) for _, _, dead in proved}
        at_hand = {station_of(place) for place in leads} == {station_of(device.place)}
        return opened_at if at_hand else max(stages)

    def place_of(self, terminal: str) -> str:
        """Where a terminal is."""
        return self.grounds.place(_part(terminal))

    def _at(self, device: IsolatingDevice, opened: Sequence[str]) -> bool:
        return bool(self.provable(device, frozenset(opened)))

    def _provable(self, device: IsolatingDevice, opened: Names) -> tuple[Behind, ...]:
        """Pole by pole the live end and the dead one, if with these open every pole could show.

        Empty where some pole could not: its line side dead, or its load side fed another way.
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
            if len(live) != 1 or not self.lead_places(ends[1 - ends.index(live[0])]):
                return ()
            found.append((pole, live[0], ends[1 - ends.index(live[0])]))
        return tuple(found)

    def lead_places(self, end: str) -> tuple[str, ...]:
        """Terminals on the same piece of metal that a lead can be put on, the best first.

        The panel's own covers stay on, and nobody goes behind a compressor's cover.
        """
        topology = self.reach.topology
        unit = topology.unit
        joined = topology.joined([end], topology.metal) & set(unit.terminals())
        open_to = [
            t
            for t in joined
            if self.place_of(t) not in ("panel", "room")
            and unit.part(_part(t)).kind != "service"
            and unit.kind_of(_part(t)).motor != "compressor"
        ]
        own = _part(end)

        def liking(terminal: str) -> tuple[bool, bool, str]:
            at_station = station_of(self.place_of(terminal)) == "indoor"
            box = unit.kind_of(_part(terminal)).isolates != ()
            # Indoors the air handler's own terminals spare the opening of a switch box.
            return (box if at_station else _part(terminal) != own, not box, terminal)

        return tuple(sorted(open_to, key=liking))

    def _cost(self, opening: Opening) -> tuple[int, int, int]:
        """Failures unseen, stations walked to, sessions with the meter."""
        walked = ["room"]
        for stage, device in enumerate(opening.order, start=1):
            walked.append(station_of(device.place))
            walked += [
                station_of(self.place_of(place))
                for session in opening.sessions
                if session.stage == stage < len(opening.order)
                for each in session.devices
                for _, _, dead in self.provable(each, opening.opened_at(stage))
                for place in self.lead_places(dead)[:1]
            ]
        stations = sum(a != b for a, b in pairwise(walked))
        return len(opening.unproved), stations, len(opening.sessions)


def _part(terminal: str) -> str:
    return terminal.rpartition(".")[0]
