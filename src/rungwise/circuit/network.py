"""The network of a batch: what never switches is assembled once, the rest at every solution."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np

from rungwise.circuit import kernel_arrays as kernel
from rungwise.circuit.assemble import Assembly
from rungwise.circuit.batch import Batch, IndexArray
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


class Network:
    """The AC network of `batch`, of which rules change some states."""

    def __init__(self, batch: Batch) -> None:
        plan = batch.plan
        self._plan = plan
        self._size = batch.size
        self._static = Assembly(plan, "ac")
        self._static.add_stray()
        self._static.add_links(batch, plan.lasting.links)
        self._static.add_pairs(batch, plan.lasting.pairs)
        self._base = base_of(self._static, batch.size)

    def assembly(self, part: Batch, chosen: IndexArray) -> Assembly:
        """The whole network of the variants `chosen`, in the states that `part` holds."""
        made = self._static.copy() if chosen.size == self._size else self._static.take(chosen)
        made.add_links(part, self._plan.moving.links)
        made.add_pairs(part, self._plan.moving.pairs)
        return made

    def solve(self, part: Batch, chosen: IndexArray) -> Solved:
        """The variants `chosen`, in the states that `part` holds.

        Raises FloatingNode where a node is tied to nothing.
        """
        plan, moved = self._plan, Assembly(self._plan, "ac")
        moved.add_links(part, plan.moving.links)
        moved.add_pairs(part, plan.moving.pairs)
        found = kernel.Found(
            np.empty((len(plan.nodes) + 1, part.size), complex),
            np.empty((len(plan.moving.pairs), 4, part.size), complex),
            np.empty(part.size),
        )
        slots = _held_by(moved)
        moving = self._moving(moved, slots, chosen)
        loose = solve_round(plan.pattern, self._base, chosen, moving, found)
        if loose >= 0:
            raise FloatingNode.of(plan.nodes[plan.order.steps[loose].node])
        keys = (pair.key for pair in plan.moving.pairs)
        return Solved(
            found.volts, dict(zip(keys, found.seen, strict=True)), np.sqrt(found.worst_square)
        )

    def _moving(self, moved: Assembly, slots: list[int], chosen: IndexArray) -> kernel.Moving:
        lasting = {
            node: amp[chosen] if amp.ndim else amp for node, amp in self._static.injected.items()
        }
        amps = _rows([*lasting.values(), *moved.injected.values()], chosen.size)
        return kernel.Moving(
            np.array(slots, dtype=np.int64),
            _rows([moved.entries[slot] for slot in slots], chosen.size),
            np.array([*lasting, *moved.injected], dtype=np.int64),
            amps,
        )


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


def seen_ohm(
    plan: Plan, assembly: Assembly, size: int, pairs: Sequence[tuple[int, int]]
) -> ComplexArray:
    """Impedance [pairs, size] between the two nodes of each pair, in Ω; earth is -1.

    Raises FloatingNode where a node is tied to nothing.
    """
    found = np.empty((len(pairs), size), complex)
    ports = plan.order.ports([(pair,) for pair in pairs])
    loose = see_ports(plan.order.flat, base_of(assembly, size), ports, found)
    if loose >= 0:
        raise FloatingNode.of(plan.nodes[plan.order.steps[loose].node])
    return found
