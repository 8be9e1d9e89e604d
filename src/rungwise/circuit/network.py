"""The network of a batch: what no state changes is assembled once, the rest at every solution."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np

from rungwise.circuit import kernel_arrays as kernel
from rungwise.circuit.assemble import Assembly
from rungwise.circuit.batch import Batch, IndexArray, Rows
from rungwise.circuit.elimination import ComplexArray
from rungwise.circuit.loops import see_ports, solve_round
from rungwise.circuit.netlist import Key, Plan
from rungwise.errors import FloatingNode
from rungwise.parts import FloatArray

Across = Mapping[Key, ComplexArray]
"""By rotor, volts [4, variants] across its two windings' ports for 1 A through the one, then for
1 A through the other."""


class Solved(NamedTuple):
    """One solution of some variants: volts [nodes + 1, variants], what each rotor sees of the
    network, and the most amps by which a node of each variant does not balance.
    """

    volts: ComplexArray
    across: Across
    worst_amp: FloatArray


class Standing:
    """What no state changes of the AC networks of some specimens, put together once.

    Every condition that they are solved in goes on from it. `rows`: which of the specimens.
    """

    def __init__(
        self, base: kernel.Base, injected: Mapping[int, ComplexArray], rows: IndexArray
    ) -> None:
        self.base = base
        self._injected = injected
        self.rows = rows

    @classmethod
    def of(cls, plan: Plan, values: Mapping[Key, FloatArray], size: int) -> Standing:
        """Of `size` specimens with these `values` (as in a `Batch`)."""
        batch, made = Batch(plan, size, values, {}), Assembly(plan, "ac")
        made.add_stray()
        made.add_links(batch, plan.standing.links)
        made.add_pairs(batch, plan.standing.pairs)
        return cls(base_of(made, size), made.injected, np.arange(size))

    def take(self, index: Rows) -> Standing:
        """Only some of the specimens."""
        return Standing(self.base, self._injected, self.rows[index])

    def moving(self, part: Batch) -> kernel.Moving:
        """What the states of a batch of these specimens add."""
        moved = Assembly(part.plan, "ac")
        moved.add_links(part, part.plan.moving.links)
        moved.add_pairs(part, part.plan.moving.pairs)
        lasting = {
            node: amp[self.rows] if amp.ndim else amp for node, amp in self._injected.items()
        }
        slots = _held_by(moved)
        return kernel.Moving(
            np.array(slots, dtype=np.int64),
            _rows([moved.entries[slot] for slot in slots], part.size),
            np.array([*lasting, *moved.injected], dtype=np.int64),
            _rows([*lasting.values(), *moved.injected.values()], part.size),
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
        moving = standing.moving(part)
        loose = solve_round(plan.pattern, standing.base, standing.rows, moving, found)
        if loose >= 0:
            raise FloatingNode.of(plan.nodes[plan.order.steps[loose].node])
        keys = (pair.key for pair in plan.moving.pairs)
        seen = dict(zip(keys, found.seen, strict=True))
        return Solved(found.volts, seen, np.sqrt(found.worst_square))


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
        return cls(standing.base, standing.rows, standing.moving(batch))


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
