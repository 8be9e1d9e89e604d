"""The network of a batch: what no state changes is assembled once, the rest at every solution."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np

from rungwise.circuit import kernel_arrays as kernel
from rungwise.circuit.assemble import (
    Assembly,
    PairAdmittance,
    branch_admittance,
    closed_admittance,
    pair_admittance,
)
from rungwise.circuit.batch import Batch, IndexArray, Rows
from rungwise.circuit.elimination import ComplexArray
from rungwise.circuit.loops import see_ports, solve_round
from rungwise.circuit.netlist import Key, Link, Plan
from rungwise.errors import FloatingNode
from rungwise.parts import FloatArray

Across = Mapping[Key, ComplexArray]
"""By rotor, volts [4, variants] across its two windings' ports for 1 A through the one, then for
1 A through the other."""


class Moved(NamedTuple):
    """How the elements conduct that states change: admittances in S by element.

    links: of two-terminal ones, None where one conducts in no variant. pairs: of coupled ones.
    """

    links: Mapping[Key, ComplexArray | None]
    pairs: Mapping[Key, PairAdmittance]

    @classmethod
    def nothing(cls) -> Moved:
        """Where nothing of it is known yet."""
        return cls({}, {})


class Solved(NamedTuple):
    """One solution of some variants: volts [nodes + 1, variants], what each rotor sees of the
    network, the most amps by which a node of each variant does not balance, and how conducts what
    states change.
    """

    volts: ComplexArray
    across: Across
    worst_amp: FloatArray
    moved: Moved


class Standing:
    """What no state changes of the AC networks of some specimens, put together once.

    Every condition that they are solved in goes on from it. `rows`: which of the specimens.
    """

    def __init__(
        self,
        base: kernel.Base,
        injected: Mapping[int, ComplexArray],
        closed: Mapping[Key, ComplexArray],
        rows: IndexArray,
    ) -> None:
        self.base = base
        self._injected = injected
        self._closed = closed
        self.rows = rows

    @classmethod
    def of(cls, plan: Plan, values: Mapping[Key, FloatArray], size: int) -> Standing:
        """Of `size` specimens with these `values` (as in a `Batch`)."""
        batch, made = Batch(plan, size, values, {}), Assembly(plan, "ac")
        made.add_stray()
        made.add_links(batch, plan.standing.links)
        made.add_pairs(batch, plan.standing.pairs)
        switched = (link for link in plan.moving.links if link.key in plan.switched)
        closed = {link.key: closed_admittance(batch, link, "ac") for link in switched}
        return cls(base_of(made, size), made.injected, closed, np.arange(size))

    def take(self, index: Rows) -> Standing:
        """Only some of the specimens."""
        return Standing(self.base, self._injected, self._closed, self.rows[index])

    def moved(self, part: Batch) -> Moved:
        """How the elements conduct that the states of a batch of these specimens change."""
        plan = part.plan
        return Moved(
            {link.key: self._admittance(part, link) for link in plan.moving.links},
            {pair.key: pair_admittance(part, pair, "ac") for pair in plan.moving.pairs},
        )

    def _admittance(self, part: Batch, link: Link) -> ComplexArray | None:
        held = self._closed.get(link.key)
        if held is None:
            return branch_admittance(part, link, "ac")
        return branch_admittance(part, link, "ac", lambda: self._taken(held))

    def _taken(self, whole: ComplexArray) -> ComplexArray:
        return whole[self.rows] if whole.ndim else whole

    def moving(self, part: Batch, moved: Moved) -> kernel.Moving:
        """What the states of a batch of these specimens add."""
        added = Assembly(part.plan, "ac")
        for link in part.plan.moving.links:
            added.add_link(part, link, moved.links[link.key])
        for pair in part.plan.moving.pairs:
            added.add_pair(pair, moved.pairs[pair.key])
        lasting = {node: self._taken(amp) for node, amp in self._injected.items()}
        slots = _held_by(added)
        return kernel.Moving(
            np.array(slots, dtype=np.int64),
            _rows([added.entries[slot] for slot in slots], part.size),
            np.array([*lasting, *added.injected], dtype=np.int64),
            _rows([*lasting.values(), *added.injected.values()], part.size),
        )


class Network:
    """The AC network of `batch`, of which rules change some states.

    standing: what no state changes of it, where that has been put together already.
    """

    def __init__(self, batch: Batch, standing: Standing | None = None) -> None:
        self._plan = batch.plan
        self._standing = standing or Standing.of(batch.plan, batch.values, batch.size)

    def solve(self, part: Batch, chosen: IndexArray) -> Solved:
        """The variants `chosen`, in the states that `part` holds.

        Raises FloatingNode where a node is tied to nothing.
        """
        plan, standing = self._plan, self._standing.take(chosen)
        found = kernel.Found(
            np.empty((len(plan.nodes) + 1, part.size), complex),
            np.empty((len(plan.moving.pairs), 4, part.size), complex),
            np.empty(part.size),
        )
        moved = standing.moved(part)
        moving = standing.moving(part, moved)
        loose = solve_round(plan.pattern, standing.base, standing.rows, moving, found)
        if loose >= 0:
            raise FloatingNode.of(plan.nodes[plan.order.steps[loose].node])
        keys = (pair.key for pair in plan.moving.pairs)
        seen = dict(zip(keys, found.seen, strict=True))
        return Solved(found.volts, seen, np.sqrt(found.worst_square), moved)


def _held_by(assembly: Assembly) -> list[int]:
    return [slot for slot, entry in enumerate(assembly.entries) if entry is not None]


def _rows(arrays: list[ComplexArray | None], size: int) -> ComplexArray:
    made = np.empty((len(arrays), size), complex)
    for at, array in enumerate(arrays):
        made[at] = array
    return made


def base_of(static: Assembly, size: int) -> kernel.Base:
    """The entries that last; what is alike in all variants is kept once."""
    entries = static.entries
    row, alike = np.full(len(entries), -1), np.zeros(len(entries), complex)
    own = [slot for slot, entry in enumerate(entries) if entry is not None and entry.ndim]
    row[own] = np.arange(len(own))
    for slot, entry in enumerate(entries):
        if entry is not None and not entry.ndim:
            alike[slot] = entry
    return kernel.Base(row, alike, _rows([entries[slot] for slot in own], size))


class Still(NamedTuple):
    """The network of some variants in states that no longer change, for meters.

    `base` holds what `rows` tells apart, `moving` what comes to it.
    """

    base: kernel.Base
    rows: IndexArray
    moving: kernel.Moving

    @classmethod
    def of(cls, assembly: Assembly, size: int) -> Still:
        """A whole network put together for these variants alone."""
        none, nowhere = np.empty((0, size), complex), np.empty(0, dtype=np.int64)
        still = kernel.Moving(nowhere, none, nowhere, none)
        return cls(base_of(assembly, size), np.arange(size), still)

    @classmethod
    def standing(cls, standing: Standing, batch: Batch) -> Still:
        """The AC network of a batch whose `standing` part is there."""
        return cls(standing.base, standing.rows, standing.moving(batch, standing.moved(batch)))


def seen_ohm(plan: Plan, still: Still, pairs: Sequence[tuple[int, int]]) -> ComplexArray:
    """Impedance [pairs, variants] between the two nodes of each pair, in Ω; earth is -1.

    Raises FloatingNode where a node is tied to nothing.
    """
    found = np.empty((len(pairs), still.rows.size), complex)
    ports = plan.order.ports([(pair,) for pair in pairs])
    loose = see_ports(plan.order.flat, still.base, still.rows, still.moving, ports, found)
    if loose >= 0:
        raise FloatingNode.of(plan.nodes[plan.order.steps[loose].node])
    return found
