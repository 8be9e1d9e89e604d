"""A unit as a graph: what conducts, what is one piece of metal, where the sources and grounds are.

Every contact, switch and thermostat counts as closed and every wire as whole, because none of them
isolates anything.  Only a breaker, a disconnect or a service switch parts two points, and only a
transformer couples two circuits without joining them, both ways.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from rungwise.circuit import Plan
from rungwise.isolation.devices import IsolatingDevice, isolating_devices
from rungwise.parts import (
    EARTH,
    METAL_OHM,
    Branch,
    Coil,
    Control,
    Coupled,
    FloatArray,
    Machine,
    Poles,
)
from rungwise.unit import Block

Edge = tuple[str, str]

CONDUCTS_OHM = 1e5
"""Below this something conducts; above it is insulation, or the gap of an open contact."""

OUT_OF_PHASE = 0.6
"""Volts that differ by more than this share of the higher are of another phase: two of one phase
stand apart by what their sources differ, at most the half of one fed at half its rating."""


@dataclass(frozen=True, slots=True)
class Winding:
    """Two coupled windings, by their ends, with the volts of each for one volt of the other."""

    part: str
    first: Edge
    second: Edge
    ratio: float

    def ends(self) -> tuple[Edge, Edge]:
        """The two ends of each winding."""
        return self.first, self.second


class _Numbers(Mapping[str, FloatArray]):
    """A block's parameters and the states that it starts in."""

    def __init__(self, plan: Plan, block: Block) -> None:
        states = {state.name: np.asarray(state.start) for state in block.kind.states}
        mine = {k: plan.defaults[(block.name, k)] for k in _names(plan, block)}
        self._numbers: dict[str, FloatArray] = {**states, **mine}

    def __getitem__(self, name: str) -> FloatArray:
        return self._numbers[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._numbers)

    def __len__(self) -> int:
        return len(self._numbers)


def _closed(branch: Branch, numbers: _Numbers) -> bool:
    """Whether a contact is closed as its part starts."""
    return branch.closed is None or bool(np.asarray(branch.closed(numbers)).any())


def _names(plan: Plan, block: Block) -> Iterator[str]:
    return (name for owner, name in plan.defaults if owner == block.name)


class Topology:
    """The graph of one unit.

    `conducts`: edges through wires, loads, coils, contacts and capacitors, isolating devices left
    out.  `metal`: those of them that are plain metal.  `contacts`: of `conducts`, what a
    switch joins like metal, and `demand` what a thermostat does.  `moved`: the part whose coil
    alone closes a contact.  `hot`: the live ends of every
    source, with their phasors.  `ground`: every point that metal joins to earth.  `windings`:
    of the transformers.
    """

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.unit = plan.unit
        self.devices: tuple[IsolatingDevice, ...] = isolating_devices(plan.unit)
        self.conducts: list[Edge] = []
        self.metal: list[Edge] = []
        self.contacts: list[Edge] = []
        self.moved: dict[Edge, str] = {}
        self.demand: list[Edge] = []
        self.windings: list[Winding] = []
        self.hot: dict[str, complex] = {}
        self._earthed: list[str] = []
        self._read()
        self.ground = self.joined(self._earthed, self.metal)

    def _read(self) -> None:
        for wire in self.unit.wires:
            if wire.carries != "alternate":  # that one stands for a wrong place, and is not there
                self.metal.append((wire.start, wire.end))
        for part in self.unit.parts:
            block = self.plan.blocks[part.name]
            if not block.kind.isolates:
                self._read_block(block)
        self.conducts += self.metal

    def _read_block(self, block: Block) -> None:
        numbers = _Numbers(self.plan, block)
        source = any(isinstance(e, Branch) and e.emf_volt for e in block.kind.elements)
        names = {e.name for e in block.kind.elements}
        for element in block.kind.elements:
            if isinstance(element, Branch):
                self._branch(block, element, numbers, source=source, names=names)
            else:
                self._coupled(block, element, numbers)

    def _branch(
        self, block: Block, branch: Branch, numbers: _Numbers, *, source: bool, names: set[str]
    ) -> None:
        a, b = (end if end == EARTH else block.nodes[end] for end in (branch.a, branch.b))
        if branch.emf_volt is not None:
            self.hot[a] = complex(branch.emf_volt(numbers))
            return
        ohm = self._impedance_ohm(branch, numbers)
        plain = branch.closed is None and branch.farad is None and branch.henry is None
        if EARTH in (a, b):
            if plain and ohm < METAL_OHM:
                self._earthed.append(a if b == EARTH else b)
        elif not source and ohm < CONDUCTS_OHM:  # what else hangs on the service feeds nothing
            kept = self.metal if plain and ohm < METAL_OHM else self.conducts
            kept.append((a, b))
            if f"{branch.name}_gap" in names:
                poles = block.kind.facet(Poles)
                asked = poles is not None and poles.asked
                of_demand = asked or block.kind.facet(Control) is not None
                (self.demand if of_demand else self.contacts).append((a, b))
                if block.kind.facet(Coil) is not None and not _closed(branch, numbers):
                    self.moved[(a, b)] = block.name

    def _impedance_ohm(self, branch: Branch, numbers: _Numbers) -> float:
        ohm = float(branch.ohm(numbers))
        if branch.farad is None:
            return ohm
        return ohm + 1.0 / (self.plan.omega_rad_per_s * max(float(branch.farad(numbers)), 1e-18))

    def _coupled(self, block: Block, element: Coupled | Machine, numbers: _Numbers) -> None:
        ends = [(block.nodes[a], block.nodes[b]) for a, b in element.ports]
        self.conducts += ends
        if isinstance(element, Coupled):
            turns = float(element.henry2(numbers)) / float(element.henry1(numbers))
            self.windings.append(Winding(block.name, ends[0], ends[1], turns**0.5))

    def joined(
        self, start: Iterable[str], edges: Iterable[Edge], stop: Iterable[str] = ()
    ) -> frozenset[str]:
        """Everything that `edges` join to `start`; they do not go on from a `stop`."""
        beside: dict[str, list[str]] = {}
        for a, b in edges:
            beside.setdefault(a, []).append(b)
            beside.setdefault(b, []).append(a)
        barred, found = frozenset(stop), set(start)
        waiting = [each for each in found if each not in barred]
        while waiting:
            for near in beside.get(waiting.pop(), ()):
                if near not in found:
                    found.add(near)
                    if near not in barred:
                        waiting.append(near)
        return frozenset(found)

    def poles(self, opened: Iterable[str] = ()) -> list[Edge]:
        """Both ends of every pole of the devices that are not opened."""
        shut = [device for device in self.devices if device.name not in frozenset(opened)]
        return [(pole.line, pole.load) for device in shut for pole in device.poles]

    def leg_volt(self, end: str, opened: Iterable[str] = ()) -> complex:
        """The phasor of the leg that metal and closed devices join to an end; 0 for none."""
        joined = self.joined([end], [*self.metal, *self.poles(opened)])
        return next((volt for leg, volt in self.hot.items() if leg in joined), 0j)

    def grounded_leg(self, end: str, opened: Iterable[str] = ()) -> bool:
        """Whether metal and closed devices join an end to a leg that is grounded at the source.

        It reads nothing to ground, and the others' volts to each of them.
        """
        joined = self.joined([end], [*self.metal, *self.poles(opened)])
        return any(leg in joined and not abs(volt) for leg, volt in self.hot.items())

    def opposed(self, edges: Iterable[Edge]) -> Iterator[tuple[Winding, Winding]]:
        """Every two transformers whose low sides `edges` join at both ends, out of phase."""
        edges = list(edges)
        fed = [(each, *self._low_side(each, edges)) for each in self.windings]
        for (one, ends, volt), (other, others, far) in combinations(fed, 2):
            same, crossed = ends == others, ends == others[::-1]
            if ends and (same or crossed) and out_of_phase(volt, far if same else -far):
                yield one, other

    def _low_side(
        self, winding: Winding, edges: list[Edge]
    ) -> tuple[tuple[frozenset[str], ...], complex]:
        """What its two low ends are joined to, and the phasor between; no ends if nothing feeds."""
        near, other = (self._leg_or_ground(end, edges) for end in winding.first)
        if near is None or other is None:
            return (), 0j
        ends = tuple(self.joined([end], edges) for end in winding.second)
        return ends, (near - other) * winding.ratio

    def _leg_or_ground(self, end: str, edges: list[Edge]) -> complex | None:
        joined = self.joined([end], edges)
        legs = (volt for leg, volt in self.hot.items() if leg in joined)
        return next(legs, 0j if joined & self.ground else None)

    def held_in(self) -> bool:
        """Whether a contactor's coil gets volts that no thermostat has to let through.

        By wires, devices and switches alone: both ends of one winding, or a leg and another leg or
        ground, are joined to the two ends of the coil. A contact that only a coil closes joins
        nothing until that coil is held in itself.
        """
        held: set[str] = set()
        while more := set(self._held_by(held)) - held:
            held |= more
        return any(self.unit.kind_of(name).is_contactor for name in held)

    def _held_by(self, held: AbstractSet[str]) -> Iterator[str]:
        """The parts whose coil is held in while those of `held` are."""
        pulled = [edge for edge in self.contacts if self.moved.get(edge, "") in {"", *held}]
        edges = [*self.metal, *pulled, *self.poles()]
        for part, coil in self.unit.having(Coil):
            one, other = (self.joined([f"{part.name}.{end}"], edges) for end in coil.ends)
            if self._apart(one, other) or self._apart(other, one):
                yield part.name

    def _apart(self, one: frozenset[str], other: frozenset[str]) -> bool:
        legs = [(leg, volt) for leg, volt in self.hot.items() if leg in one]
        against = [volt for leg, volt in self.hot.items() if leg in other]
        against += [0j] if other & self.ground else []
        if any(abs(volt - far) > 1.0 for _, volt in legs for far in against):
            return True
        return any(w_a in one and w_b in other for w in self.windings for w_a, w_b in w.ends())

    def pieces(self) -> dict[str, int]:
        """For each terminal a number that all terminals on its piece of metal share."""
        number: dict[str, int] = {}
        for terminal in self.unit.terminals():
            if terminal not in number:
                number |= dict.fromkeys(self.joined([terminal], self.metal), len(number))
        return number

    def wired(self, terminal: str) -> bool:
        """Whether any wire ends at a terminal."""
        return bool(self.unit.wires_at(terminal))


def out_of_phase(one: complex, other: complex) -> bool:
    """Whether two phasors on one piece of metal fight each other."""
    return abs(one - other) > OUT_OF_PHASE * max(abs(one), abs(other))
