"""A unit compiled for solving: nodes, elements between node indices, defaults, elimination order.

A plan holds no numbers of any variant; a `rungwise.circuit.batch.Batch` does.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np

from rungwise.circuit import kernel_arrays as kernel
from rungwise.circuit.cooling import Cooling
from rungwise.circuit.elimination import EARTH_INDEX, EliminationOrder
from rungwise.circuit.three_phase_fit import fit_motor
from rungwise.errors import CircuitError
from rungwise.parts import (
    EARTH,
    NEEDS_KIT_START_RATIO,
    Branch,
    Coupled,
    Feeds,
    FloatArray,
    Machine,
    Motor,
    Rule,
    State,
    refuse_unknown,
)
from rungwise.unit import Block, Unit, numbers_of_kind

Key = tuple[str, str]
"""A block (part, wire or conductor pair) and the name of one of its parameters or states."""

SORTS = (Branch, Coupled, Machine)
"""The sorts of element whose admittance and SPICE text the room knows; any other is refused."""

STRAY_OHM = 5e9
"""Leakage of every terminal to earth, Ω: clean insulation (order of magnitude, no source)."""

STRAY_FARAD = 15e-12
"""Stray capacitance of every terminal to the cabinet, F (order of magnitude, no source)."""

WIRE_FARAD_PER_M = 4e-11
"""Capacitance of a wire to earth per metre, half at each end (order of magnitude, no source)."""


@dataclass(frozen=True, slots=True)
class Link:
    """A two-terminal element between node indices."""

    block: str
    element: Branch
    a: int
    b: int

    @property
    def key(self) -> Key:
        """Block and element name."""
        return (self.block, self.element.name)


@dataclass(frozen=True, slots=True)
class PairLink:
    """A coupled element (transformer or machine): two ports between node indices."""

    block: str
    element: Coupled | Machine
    first: tuple[int, int]
    second: tuple[int, int]

    @property
    def key(self) -> Key:
        """Block and element name."""
        return (self.block, self.element.name)


class Elements(NamedTuple):
    """Some elements of a plan."""

    links: tuple[Link, ...]
    pairs: tuple[PairLink, ...]


class Plan:
    """The network of one unit, ready to be filled with the numbers of many variants."""

    def __init__(self, unit: Unit) -> None:
        self.unit = unit
        self.omega_rad_per_s = 2 * np.pi * unit.hz
        self.blocks: dict[str, Block] = {block.name: block for block in unit.blocks()}
        self.nodes: tuple[str, ...] = _nodes(self.blocks.values())
        self.index: dict[str, int] = {name: i for i, name in enumerate(self.nodes)}
        self.index[EARTH] = EARTH_INDEX
        self.links: tuple[Link, ...] = tuple(self._links())
        self.pairs: tuple[PairLink, ...] = tuple(self._pairs())
        self.link_by_key = {link.key: link for link in self.links}
        self.pair_by_key = {pair.key: pair for pair in self.pairs}
        self.rules: tuple[tuple[str, Rule], ...] = tuple(self._rules())
        self.motors: dict[str, Motor] = {part.name: facet for part, facet in unit.having(Motor)}
        self.defaults: dict[Key, FloatArray] = dict(self._defaults())
        self.states: dict[Key, State] = {
            (name, state.name): state
            for name, block in self.blocks.items()
            for state in block.kind.states
        }
        self.coolings = Cooling.all_of(self)
        self.stray_farad = self._stray_farad()
        self.order = EliminationOrder(len(self.nodes), self._pattern())

    def circuits_of(self, part: str) -> tuple[int, ...]:
        """The refrigerant circuits that a part is on, as indices of `coolings`."""
        return self._circuits.get(part, ())

    def valves_of(self, part: str) -> tuple[tuple[str, Feeds], ...]:
        """The liquid valves on a part's refrigerant circuit."""
        mine = set(self.circuits_of(part))
        return tuple(
            (name, each) for name, each in self._valves if mine & {*self.circuits_of(name)}
        )

    @cached_property
    def _valves(self) -> tuple[tuple[str, Feeds], ...]:
        return tuple((part.name, each) for part, each in self.unit.having(Feeds))

    @cached_property
    def _circuits(self) -> dict[str, tuple[int, ...]]:
        on = [frozenset(self.unit.roles.on_circuit_of(each.compressor)) for each in self.coolings]
        return {
            part.name: tuple(at for at, parts in enumerate(on) if part.name in parts)
            for part in self.unit.parts
        }

    @cached_property
    def moving(self) -> Elements:
        """The elements whose admittance depends on a state: a rule's, a demand's, a switch's."""
        links = tuple(link for link in self.links if self._asks_for_a_state(link))
        # What a pair asks for is read off its kind of element: only a rotor turns.
        return Elements(links, tuple(x for x in self.pairs if x.element.rotates))

    @cached_property
    def standing(self) -> Elements:
        """The elements that are the same in every condition."""
        moving = {*(x.key for x in self.moving.links), *(x.key for x in self.moving.pairs)}
        links = tuple(link for link in self.links if link.key not in moving)
        return Elements(links, tuple(pair for pair in self.pairs if pair.key not in moving))

    @cached_property
    def pattern(self) -> kernel.Pattern:
        """What a compiled round goes by: the elimination, and the windings' ports of every rotor
        with the way up the elimination tree from them.
        """
        pairs = [(pair.first, pair.second) for pair in self.moving.pairs]
        return kernel.Pattern(self.order.flat, self.order.slot_pairs, self.order.ports(pairs))

    @cached_property
    def switched(self) -> frozenset[Key]:
        """Those of the moving elements that a state closes and opens, and changes in no other way.

        What they conduct once they are closed stays as it is.
        """
        return frozenset(x.key for x in self.moving.links if not self._asks_for_a_state(x, ()))

    def _asks_for_a_state(self, link: Link, also: tuple[str, ...] = ("emf_volt", "closed")) -> bool:
        asked = _Asked(self, link.block)
        for name in ("ohm", "henry", "farad", *also):
            number = getattr(link.element, name)
            if number is not None:
                number(asked)
        return bool(asked.states)

    def node(self, block: str, terminal: str) -> int:
        """Index of a block's terminal or inner node (or of earth)."""
        return EARTH_INDEX if terminal == EARTH else self.index[self.blocks[block].nodes[terminal]]

    def _links(self) -> Iterator[Link]:
        for name, block in self.blocks.items():
            for element in block.kind.elements:
                if isinstance(element, Branch):
                    yield Link(
                        name, element, self.node(name, element.a), self.node(name, element.b)
                    )
                elif type(element) not in SORTS:
                    sort = type(element).__name__
                    raise CircuitError(f"{name}: nothing is known of how a {sort} conducts")

    def _pairs(self) -> Iterator[PairLink]:
        for name, block in self.blocks.items():
            for element in block.kind.elements:
                if not isinstance(element, Branch):
                    first, second = element.ports
                    yield PairLink(name, element, self._port(name, first), self._port(name, second))

    def _port(self, block: str, port: tuple[str, str]) -> tuple[int, int]:
        return self.node(block, port[0]), self.node(block, port[1])

    def _rules(self) -> Iterator[tuple[str, Rule]]:
        for name, block in self.blocks.items():
            refuse_unknown(name, block.kind.rules)
            yield from ((name, rule) for rule in block.kind.rules)

    def _defaults(self) -> Iterator[tuple[Key, FloatArray]]:
        for name, block in self.blocks.items():
            numbers = numbers_of_kind(block.kind, block.values)
            if name in self.motors:
                numbers |= fit_motor(self.motors[name], numbers, self.unit.hz).constants
            if name in self.unit.roles.compressors and self._has_start_kit:
                numbers |= {"start_load_ratio": NEEDS_KIT_START_RATIO} | dict(block.values)
            for parameter, number in numbers.items():
                yield (name, parameter), np.asarray(float(number))

    @property
    def _has_start_kit(self) -> bool:
        """Whether the unit was built with a start kit, as units are whose compressor needs one."""
        return any(rule.waits_for_speed for _, rule in self.rules)

    def _stray_farad(self) -> FloatArray:
        farad = np.full(len(self.nodes), STRAY_FARAD)
        for wire in self.unit.wires:
            if wire.carries == "alternate":
                continue
            for end in (wire.start, wire.end):
                farad[self.index[end]] += 0.5 * wire.length_m * WIRE_FARAD_PER_M
        return farad

    def _pattern(self) -> Iterator[tuple[int, int]]:
        yield from ((link.a, link.b) for link in self.links)
        for pair in self.pairs:
            corners = (*pair.first, *pair.second)
            yield from ((i, j) for i in corners for j in corners)


class _Asked:
    """A block's numbers, noting which states are asked for."""

    def __init__(self, plan: Plan, block: str) -> None:
        self.plan = plan
        self.block = block
        self.states: set[Key] = set()

    def __getitem__(self, name: str) -> FloatArray:
        key = (self.block, name)
        if key not in self.plan.states:
            return self.plan.defaults[key]
        self.states.add(key)
        return np.asarray(float(self.plan.states[key].start))


def _nodes(blocks: Iterable[Block]) -> tuple[str, ...]:
    found: dict[str, None] = {}
    for block in blocks:
        found.update(dict.fromkeys(block.nodes.values()))
    return tuple(found)
