"""The typed readings of a plan: what proves the meter, each device, and each terminal to touch."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from rungwise.isolation.devices import IsolatingDevice
from rungwise.isolation.discharge import EMPTY_VOLT
from rungwise.isolation.opening import Behind, Chooser, Opening
from rungwise.isolation.reach import Names
from rungwise.isolation.scopes import station_of
from rungwise.isolation.shape import KNOWN_SOURCE, Failed, Reading
from rungwise.parts import EARTH, LIVE_VOLT, Capacitor, Coil, Junction, PartKind, Transformer
from rungwise.unit import Part
from rungwise.wording import mark

LOADED_DEAD_VOLT = 1.0
"""The same while everything is called for: a contactor that is pulled in lays motor windings of an
ohm or so on whatever feeds back, and leaves a few volts of what is line volts with it out (common
practice, no source; worked out on the solved circuit)."""

DEAD_VOLT = 5.0
"""A low-impedance meter must read below this on a dead point (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Group:
    """AC readings that belong together: those always taken, and those of what is to be touched."""

    title: str
    always: tuple[Reading, ...]
    if_touched: tuple[Reading, ...] = ()


class Readings:
    """Makes the readings of one plan."""

    def __init__(self, chooser: Chooser, opening: Opening) -> None:
        self.chooser = chooser
        self.opening = opening
        self._reach = chooser.reach
        self._unit = chooser.reach.topology.unit
        self._piece = chooser.reach.topology.pieces()
        self._failures = self._failures_by_piece()
        every = opening.opened_at(len(opening.order))
        self.control: Names = chooser.reach.with_open(every).control
        self._standing = self._standing_control(every)

    def _failures_by_piece(self) -> dict[int, tuple[Failed, ...]]:
        """For each piece of metal, the failures that bring a leg's volts straight to it."""
        found: dict[int, list[Failed]] = {}
        for session in self.opening.sessions:
            opened = self.opening.opened_at(session.stage)
            for device in session.devices:
                every = tuple(pole.number for pole in device.poles)
                for pole, _, dead in self.chooser.provable(device, opened):
                    lead = self.chooser.lead_places(dead, opened)[0]
                    shown = [Failed(device.name, every, whole=True)]
                    if len(every) > 1:
                        shown.append(Failed(device.name, (pole.number,), whole=False))
                    for piece in {self._piece[dead], self._piece[lead]}:
                        found.setdefault(piece, []).extend(shown)
        return {piece: tuple(failed) for piece, failed in found.items()}

    def _standing_control(self, opened: Names) -> Names:
        """Where a transformer that stays on shows its low volts without any demand."""
        topology = self._reach.topology
        edges = [*topology.metal, *topology.contacts]
        fed = self._reach.with_open(opened).low
        ends = [winding.second[0] for winding in topology.windings if winding.part in fed]
        return topology.joined(ends, edges) - topology.ground

    def dead(self, red: str, black: str = EARTH, *, on_call: bool = False) -> Reading:
        """An AC reading that must be dead; a control terminal may show the volts of a demand.

        It does so on a call, in a unit that keeps running, and where no demand has to let them in.
        """
        shown = [
            f
            for end in (red, black)
            if end in self._piece
            for f in self._failures.get(self._piece[end], ())
        ]
        shows = tuple(dict.fromkeys(shown))
        ends = {red, black}
        demand = bool(self.control & ends) and (on_call or self.chooser.keeps_running)
        limit = LIVE_VOLT if demand or self._standing & ends else DEAD_VOLT
        return Reading(red, black, "AC", "dead", below_v=limit, shows=shows)

    def proof_of_meter(self, station: str, stage: int) -> tuple[Reading, ...]:
        """Line sides that are still live at a station, to ground and to each other.

        They prove the meter, its leads and the ground point in one; else a source brought along.
        Indoors always that: a switch box is not opened at its live side for a meter's sake.
        """
        topology, opened = self._reach.topology, self.opening.opened_at(stage)
        for device in self.opening.order:
            ends = [end for end in device.terminals if topology.leg_volt(end, opened)]
            if ends and station_of(device.place) == station == "unit":
                pairs = [(end, EARTH) for end in ends]
                pairs += [p for p in combinations(ends, 2) if self.volt(*p) > LIVE_VOLT]
                return tuple(self._live(*pair) for pair in pairs)
        return (Reading(KNOWN_SOURCE, KNOWN_SOURCE, "AC", "live", at_least_v=LIVE_VOLT),)

    def _live(self, red: str, black: str) -> Reading:
        about = self.volt(red, black)
        return Reading(red, black, "AC", "live", about_v=about, at_least_v=LIVE_VOLT)

    def volt(self, red: str, black: str) -> float:
        """Volts by the legs that two ends hang on, every device closed; 0 where that is no leg."""
        topology = self._reach.topology
        return abs(topology.leg_volt(red) - topology.leg_volt(black))

    def of_devices(self, devices: Iterable[IsolatingDevice], stage: int) -> tuple[Reading, ...]:
        """Behind each device, each pole to ground, and two poles to each other."""
        found: list[Reading] = []
        opened = self.opening.opened_at(stage)
        for device in devices:
            proved = self.chooser.provable(device, opened)
            ends = [self.chooser.lead_places(dead, opened)[0] for _, _, dead in proved]
            found += [self.dead(end) for end in ends]
            found += self._against_another(device, proved, opened)
            found += [self.dead(*pair) for pair in combinations(ends, 2)]
        return tuple(found)

    def _against_another(
        self, device: IsolatingDevice, proved: tuple[Behind, ...], opened: Names
    ) -> Iterator[Reading]:
        """Behind the pole of a grounded leg: nothing to ground tells, another leg does."""
        live = self.chooser.live_beside(device, opened)
        for _, line, dead in proved:
            if live and self._reach.topology.grounded_leg(line, opened):
                yield self.dead(self.chooser.lead_places(dead, opened)[0], live)

    def touch(self, station: str, points: Sequence[str]) -> list[Group]:
        """Every terminal of a station that hands may go to, those of one part to each other.

        First the device boxes, then power terminals, then control, capacitors and all the rest.
        """
        parts = [p for p in self._unit.parts if self._stands_at(p, station)]
        boxes = [*self._of_boxes(station), *self._inside_boxes(parts, points)]
        inside = frozenset(points)
        groups: dict[str, list[Reading]] = {"power": [], "control": [], "others": []}
        for part in parts:
            ends = [end for end in self._ends(part) if end in inside]
            if not self._unit.kind_of(part.name).isolates:
                self._sort(part, ends, groups)
        groups["control"] += self._between_splices(parts)
        found = [
            Group(mark("behind each device, and inside its box if you work there"), _once(boxes)),
            Group(mark("the power terminals"), _once(groups["power"])),
            Group(
                mark("coil, capacitors, splices, and what else you will touch"),
                _once(groups["control"]),
                _once(groups["others"]),
            ),
        ]
        return [group for group in found if group.always or group.if_touched]

    def on_call(self, station: str, points: Sequence[str]) -> tuple[Reading, ...]:
        """What is read while everything is called for: power terminals, or boxes, and control.

        A wire that nobody drew may bring line volts to the control circuit through the very contact
        that the call closes: each of its points here is read to ground, not only the coil's.
        """
        groups = self.touch(station, points)
        power = next((g.always for g in groups if self._is_power(g)), groups[0].always)
        here = [part for part in self._unit.parts if self._stands_at(part, station)]
        coils = [e for p in here if self._kind(p).is_contactor for e in self._coil(p)]
        others = [e for p in here if _takes_a_lead(self._kind(p)) for e in self._ends(p)]
        pairs = [(end, EARTH) for end in (*coils, *others)] + list(combinations(coils, 2))
        loaded = (replace(reading, below_v=LOADED_DEAD_VOLT) for reading in power)
        return _once((*loaded, *(self.dead(*pair, on_call=True) for pair in pairs)))

    def _kind(self, part: Part) -> PartKind:
        return self._unit.kind_of(part.name)

    def _coil(self, part: Part) -> list[str]:
        coil = self._kind(part).facet(Coil)
        return [f"{part.name}.{end}" for end in (coil.ends if coil else ())]

    def _is_power(self, group: Group) -> bool:
        contactors = [part for part, _ in self._unit.roles.made_as_contactors]
        power = {end for p in contactors for end in self._ends(p) if end not in self._coil(p)}
        return any(reading.red in power for reading in group.always)

    def _stands_at(self, part: Part, station: str) -> bool:
        """Whether its terminals are read here: nobody touches those under a compressor's cover."""
        junction = self._kind(part).facet(Junction)
        ground = junction is not None and junction.carries == "ground"
        to_read = part.name not in self._unit.roles.compressors and not ground
        return station_of(self.chooser.grounds.place(part.name)) == station and to_read

    def _ends(self, part: Part) -> list[str]:
        return [f"{part.name}.{end}" for end in self._unit.kind_of(part.name).terminals]

    def _of_boxes(self, station: str) -> Iterator[Reading]:
        """Behind the devices that are proved once all are open, where their leads go here."""
        stage = len(self.opening.order)
        for session in self.opening.sessions:
            if session.stage == stage:
                for reading in self.of_devices(session.devices, stage):
                    if station_of(self.chooser.place_of(reading.red)) == station:
                        yield reading

    def _inside_boxes(self, parts: Sequence[Part], points: Sequence[str]) -> Iterator[Reading]:
        """Terminals of devices that lie within the scope, each side to itself."""
        inside = frozenset(points)
        names = {part.name for part in parts}
        for device in self._reach.topology.devices:
            if device.name in names:
                for side in ("line", "load"):
                    ends = [getattr(pole, side) for pole in device.poles]
                    ends = [end for end in ends if end in inside]
                    yield from (self.dead(end) for end in ends)
                    yield from (self.dead(*pair) for pair in combinations(ends, 2))

    def _sort(self, part: Part, ends: list[str], groups: dict[str, list[Reading]]) -> None:
        """A contactor's and a capacitor's terminals are always read; of the rest what is touched.

        A transformer's two sides and a relay's coil float, so each is read across as well.
        """
        kind = self._kind(part)
        if kind.is_contactor:
            coil = [end for end in ends if end in self._coil(part)]
            power = [end for end in ends if end not in coil]
            groups["power"] += [self.dead(end) for end in power]
            groups["power"] += [self.dead(*pair) for pair in combinations(power, 2)]
            groups["control"] += [self.dead(end) for end in coil]
            groups["control"] += [self.dead(*pair) for pair in combinations(coil, 2)]
            return
        main = bool(kind.facet(Capacitor) or kind.facet(Transformer)) or _takes_a_lead(kind)
        groups["control" if main else "others"] += [self.dead(end) for end in ends]
        if main and len(ends) > 1:
            # Of a strip with room for more stages, those with a wire are read to each other.
            wired = [end for end in ends if self._unit.wires_at(end)]
            groups["control"] += [self.dead(*pair) for pair in combinations(wired, 2)]

    def _between_splices(self, parts: Sequence[Part]) -> Iterator[Reading]:
        """The 24 V where it comes in: between the splices."""
        ends = [e for p in parts if _is_splice(self._kind(p)) for e in self._ends(p)]
        yield from (self.dead(*pair) for pair in combinations(ends, 2))

    def charges(self, places: Names, *, empty: bool) -> tuple[Reading, ...]:
        """DC across every two terminals of each capacitor, then of each to its can."""
        found: list[Reading] = []
        for part, stores in self._unit.having(Capacitor):
            if station_of(self.chooser.grounds.place(part.name)) in places:
                ends = self._ends(part)
                pairs = sorted(combinations(ends, 2), key=lambda pair: ends[0] not in pair)
                pairs += [(end, EARTH) for end in ends if stores.metal_can]
                found += [_dc(*pair, empty=empty) for pair in pairs]
        return tuple(found)


def _takes_a_lead(kind: PartKind) -> bool:
    """Whether a lead reaches the control circuit there, beside a contactor's coil."""
    junction = kind.facet(Junction)
    return junction is not None and junction.carries in ("any", "control")


def _is_splice(kind: PartKind) -> bool:
    junction = kind.facet(Junction)
    return junction is not None and junction.is_splice


def _dc(red: str, black: str, *, empty: bool) -> Reading:
    if empty:
        return Reading(red, black, "DC", "dead", below_v=EMPTY_VOLT)
    return Reading(red, black, "DC", "any")


def _once(readings: Iterable[Reading]) -> tuple[Reading, ...]:
    """Without a second reading between the same two points."""
    kept: dict[frozenset[str], Reading] = {}
    for reading in readings:
        kept.setdefault(frozenset((reading.red, reading.black)), reading)
    return tuple(kept.values())
