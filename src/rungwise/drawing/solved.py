"""What a solved circuit shows of a unit: which terminals are live and how, what runs, what is shut.

A live terminal is *left over* where an open contact, or the bar of a contactor whose plunger is
out, stands between it and its supply, so that it is live by a heater, a winding or that bar.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from rungwise.circuit import (
    EARTH_INDEX,
    LOW_Z_VOLTS,
    Batch,
    Condition,
    Key,
    Leads,
    Link,
    Plan,
    Solution,
    loaded_volts,
    loads_of,
    solve,
)
from rungwise.drawing.ladder_graph import Circuit, circuits_of
from rungwise.parts import EARTH, LIVE_VOLT, Coil, Does, FloatArray

LOW_VOLT = 5.0
"""Over this to its common a terminal of a control circuit is on (common practice, no source)."""

METAL_OHM = 3.0
"""Below this a good path is a contact or a wire, also the longest thermostat wire."""

LEAST_FARAD = 1e-7
"""A capacitance below this only couples ghosts."""


@dataclass(frozen=True)
class Standing:
    """How the terminals, loads and contacts of a unit stand in one condition.

    closed: by `part.element` for each contact, and by part where all its contacts are.
    """

    energised: frozenset[str]
    leftover: frozenset[str]
    running: frozenset[str]
    closed: Mapping[str, bool]


def standing(
    plan: Plan, condition: Condition, values: Mapping[Key, float] | None = None
) -> Standing:
    """The unit of `plan` solved under a condition, with parameters set by (block, name).

    Raises CircuitError where the circuit cannot be solved.
    """
    given: dict[Key, FloatArray] = {key: np.asarray(v) for key, v in (values or {}).items()}
    solution = solve(plan, condition, given)
    circuits = circuits_of(plan.unit)
    live = frozenset(_live(solution, circuits))
    paths = _Paths(solution)
    leftover = frozenset(paths.leftover(live))
    return Standing(live - leftover, leftover, frozenset(_running(solution)), paths.closed())


def _live(solution: Solution, circuits: Iterable[Circuit]) -> Iterator[str]:
    """Terminals with volts that a low-impedance meter would show too."""
    leads = Leads(solution.batch, "ac")
    for circuit in circuits:
        control = circuit.left and not circuit.service
        against, limit = (circuit.right, LOW_VOLT) if control else (EARTH, LIVE_VOLT)
        for terminal in circuit.piece_at:
            volts = solution.volt(terminal, against)
            if abs(volts[0]) > limit:
                seen = leads.impedance_ohm(terminal, against)
                if loaded_volts(volts, seen, LOW_Z_VOLTS.burden_ohm)[0] > limit:
                    yield terminal


def _running(solution: Solution) -> Iterator[str]:
    """Motors that run, heaters that heat, coils that have pulled in."""
    yield from (load.part for load in loads_of(solution) if load.does in (Does.RUNS, Does.HEATS))
    for part, coil in solution.plan.unit.having(Coil):
        if solution.state((part.name, coil.state))[0] > 0:
            yield part.name


class _Paths:
    """The network as wires and contacts, closed and open, and loads between them."""

    def __init__(self, solution: Solution) -> None:
        self.plan = solution.plan
        self.batch = solution.batch
        self.good = Batch(self.plan, 1, {}, solution.batch.states)
        coils = {part.name for part, _ in self.plan.unit.having(Coil)}
        self.metal = [link for link in self.plan.links if self._is_metal(link)]
        self.shut = {link.key: self._is_closed(link) for link in self.metal}
        self.idle = {block for block in coils if not self._any_closed(block)}
        self.net = self._nets()
        self.fed = {self.net[self.plan.index[terminal]] for terminal in self._sources()}

    def closed(self) -> dict[str, bool]:
        """How each contact stands."""
        found: dict[str, bool] = {}
        parts: dict[str, list[bool]] = {}
        for link in self.metal:
            if link.block in self.plan.unit.part_by_name and link.element.closed is not None:
                found[".".join(link.key)] = self.shut[link.key]
                parts.setdefault(link.block, []).append(self.shut[link.key])
        return found | {part: all(each) for part, each in parts.items()}

    def leftover(self, live: Iterable[str]) -> Iterator[str]:
        """Those of the live terminals that are so by a leftover path."""
        at = {terminal: self.net[self.plan.index[terminal]] for terminal in live}
        nets = set(at.values()) - self.fed
        cut = {net for pair in self._gaps() for net in pair if set(pair) & self.fed} & nets
        beside = self._beside()
        # What hangs by loads alone on leftover nets, and on nothing that is fed, is one of them.
        while more := {
            net for net in nets - cut if beside.get(net, set()) & cut and not beside[net] & self.fed
        }:
            cut |= more
        return (terminal for terminal, net in at.items() if net in cut)

    def _sources(self) -> Iterator[str]:
        for circuit in circuits_of(self.plan.unit):
            for piece in (*circuit.service, *circuit.pieces):
                if piece.source:
                    yield from piece.terminals

    def _nets(self) -> list[int]:
        """For each node a name that all nodes joined by wires and closed contacts share."""
        net = list(range(len(self.plan.nodes) + 1))
        for link in self.metal:
            if self.shut[link.key] and not self._is_idle_bar(link):
                kept, gone = net[link.a], net[link.b]
                net = [kept if each == gone else each for each in net]
        return net

    def _gaps(self) -> Iterator[tuple[int, int]]:
        """Pairs of nets that an open contact or wire, or an idle bar, stands between."""
        for link in self.metal:
            if not self.shut[link.key] or self._is_idle_bar(link):
                yield self.net[link.a], self.net[link.b]

    def _beside(self) -> dict[int, set[int]]:
        """The nets that a load joins to each net."""
        found: dict[int, set[int]] = {}
        ends = [(link.a, link.b) for link in self.plan.links if self._is_load(link)]
        ends += [port for pair in self.plan.pairs for port in (pair.first, pair.second)]
        for a, b in ends:
            if EARTH_INDEX not in (a, b):
                found.setdefault(self.net[a], set()).add(self.net[b])
                found.setdefault(self.net[b], set()).add(self.net[a])
        return found

    def _is_metal(self, link: Link) -> bool:
        element = link.element
        plain = element.farad is None and element.henry is None and element.emf_volt is None
        if not plain or EARTH_INDEX in (link.a, link.b):
            return False
        # A good one's ohms, so that a pitted contact is still a contact; a fault's path is none.
        ohm = float(np.ravel(element.ohm(self.good.view(link.block)))[0])
        return ohm < METAL_OHM and not link.element.name.endswith("short")

    def _is_load(self, link: Link) -> bool:
        element, view = link.element, self.batch.view(link.block)
        if link.key in self.shut or element.emf_volt is not None:
            return False
        if element.farad is not None and np.ravel(element.farad(view))[0] < LEAST_FARAD:
            return False
        return self._is_closed(link)

    def _is_closed(self, link: Link) -> bool:
        closed = link.element.closed
        return closed is None or bool(np.ravel(closed(self.batch.view(link.block)))[0])

    def _any_closed(self, block: str) -> bool:
        own = [each for each in self.metal if each.block == block]
        return any(self.shut[each.key] for each in own if each.element.closed is not None)

    def _is_idle_bar(self, link: Link) -> bool:
        return link.element.closed is None and link.block in self.idle
