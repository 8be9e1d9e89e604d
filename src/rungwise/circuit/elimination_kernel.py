"""The arithmetic of the elimination, compiled: loops over steps and over variants.

Numbers lie in blocks of `LANES` variants (`kernel_arrays`), so that every innermost loop is of one
fixed length that the compiler turns into a few vector instructions, and what a block touches stays
in the processor's caches.  The lanes of the last block that no variant needs repeat its last
variant.

`held` says, block by block, which slots hold anything in any of its variants: the others are zero
in all of them and cost nothing.  The variants of one suspect lie beside one another, so most blocks
never see the wires that only another suspect has.

`Steps` is the elimination order as flat arrays: for step s the neighbours, and the slots that go
with them, stand at `first[s]` to `first[s + 1]`, its pairs of neighbours at `pairs_first[s]` on,
row after row.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

import numpy as np
from numba import njit

from rungwise.circuit.kernel_arrays import (
    LANES,
    Base,
    Complexes,
    Eliminated,
    Found,
    Held,
    Ints,
    Moving,
    Pattern,
    Ports,
    Reals,
    Scratch,
    Steps,
)
from rungwise.circuit.lanes import (
    add_product,
    add_row,
    any_in_row,
    clear_row,
    copy_row,
    invert_row,
    put_difference,
    put_product,
    square_at_most,
    take_product,
)

F = TypeVar("F", bound=Callable[..., Any])

INNER: Callable[[F], F] = njit(  # type: ignore[call-overload]  # its types leave these two out
    nogil=True, error_model="numpy", no_cpython_wrapper=True, no_cfunc_wrapper=True
)
"""For what only compiled code calls: compiling the way in from Python takes most of the time."""


@njit(cache=True, nogil=True, error_model="numpy")
def laid(entries: Complexes, rows: Ints, slots: int) -> tuple[Held, Reals]:
    """Entries [some slots, variants] of the slots `rows` in blocks: which hold any, and them."""
    count = entries.shape[1]
    blocks = (count + LANES - 1) // LANES
    held = np.zeros((blocks, slots), np.bool_)
    work = np.zeros((blocks, slots, 2, LANES))
    for b in range(blocks):
        for k in range(len(rows)):
            _lay_row(entries[k], b * LANES, held[b], work[b], rows[k])
    return held, work


@INNER
def _lay_row(row: Complexes, start: int, held: Held, work: Reals, slot: int) -> None:
    any_held = False
    for v in range(LANES):
        entry = row[min(start + v, len(row) - 1)]
        work[slot, 0, v] = entry.real
        work[slot, 1, v] = entry.imag
        any_held |= entry != 0.0
    held[slot] = any_held


@njit(cache=True, nogil=True, error_model="numpy")
def factor(e: Eliminated) -> int:
    """Eliminate in place; the step at which a node is tied to nothing, -1 where none is."""
    for b in range(len(e.work)):
        loose: int = _factor(e.steps, e.held[b], e.work[b], e.inverse[b])
        if loose >= 0:
            return loose
    return -1


@INNER
def _factor(steps: Steps, held: Held, work: Reals, inverse: Reals) -> int:
    for s in range(len(steps.node)):
        if not _sum_row(steps, held, work, inverse, s):
            return s
        low, high = steps.first[s], steps.first[s + 1]
        for i in range(low, high):
            if held[steps.into[i]]:
                put_product(work, steps.into[i], work, steps.into[i], inverse, s)
                _spread(steps, held, work, s, i - low)
    return -1


@INNER
def _sum_row(steps: Steps, held: Held, work: Reals, inverse: Reals, s: int) -> bool:
    """One over the sum of a row; False where it is 0 in some variant.

    The sum only ever grows by terms of the same kind, so 0 means that no term was there at all; a
    small sum is a node that hardly anything holds, and is solved like any other.
    """
    for v in range(LANES):
        inverse[s, 0, v] = 0.0
        inverse[s, 1, v] = 0.0
    if held[steps.earth[s]]:
        add_row(inverse, s, work, steps.earth[s])
    for i in range(steps.first[s], steps.first[s + 1]):
        if held[steps.out[i]]:
            add_row(inverse, s, work, steps.out[i])
    return bool(invert_row(inverse, s))


@INNER
def _spread(steps: Steps, held: Held, work: Reals, s: int, i: int) -> None:
    """Star to mesh: each pair of neighbours gets the product of their branches over the sum."""
    low, high = steps.first[s], steps.first[s + 1]
    share, pairs = steps.into[low + i], steps.pairs_first[s] + i * (high - low)
    for j in range(high - low):
        out = steps.out[low + j]
        if j != i and held[out]:
            held[steps.pairs[pairs + j]] = True
            add_product(work, steps.pairs[pairs + j], work, share, work, out)
    earth = steps.earth[s]
    if held[earth]:
        held[steps.earth_into[low + i]] = True
        add_product(work, steps.earth_into[low + i], work, share, work, earth)


@njit(cache=True, nogil=True, error_model="numpy")
def substitute(e: Eliminated, flows: Complexes, volts: Complexes) -> None:
    """Node volts [nodes, variants] for the amps `flows` into the nodes.

    Where one network is eliminated, it stands for all variants.
    """
    nodes, count = flows.shape
    amps, found = np.empty((nodes, 2, LANES)), np.empty((nodes, 2, LANES))
    for b in range((count + LANES - 1) // LANES):
        at = min(b, len(e.work) - 1)
        for n in range(nodes):
            _take_lanes(flows[n], b * LANES, amps, n)
        _substitute(e.steps, e.held[at], e.work[at], e.inverse[at], amps, found)
        for n in range(nodes):
            _give_lanes(found, n, volts[n], b * LANES)


@INNER
def _take_lanes(row: Complexes, start: int, to: Reals, t: int) -> None:
    for v in range(LANES):
        entry = row[min(start + v, len(row) - 1)]
        to[t, 0, v] = entry.real
        to[t, 1, v] = entry.imag


@INNER
def _give_lanes(lanes: Reals, n: int, row: Complexes, start: int) -> None:
    for v in range(min(LANES, len(row) - start)):
        row[start + v] = complex(lanes[n, 0, v], lanes[n, 1, v])


@INNER
def _substitute(
    steps: Steps, held: Held, work: Reals, inverse: Reals, flows: Reals, volts: Reals
) -> None:
    """Volts of the nodes for the `flows` into them, which are used up."""
    for s in range(len(steps.node)):
        if any_in_row(flows, steps.node[s]):
            for i in range(steps.first[s], steps.first[s + 1]):
                if held[steps.into[i]]:
                    add_product(
                        flows, steps.neighbour[i], work, steps.into[i], flows, steps.node[s]
                    )
    for s in range(len(steps.node) - 1, -1, -1):
        _pull(steps, held, work, inverse, s, flows, volts)


@INNER
def _pull(
    steps: Steps, held: Held, work: Reals, inverse: Reals, s: int, flows: Reals, volts: Reals
) -> None:
    """The volts of a step's node, those of the later ones being known."""
    node = steps.node[s]
    for i in range(steps.first[s], steps.first[s + 1]):
        if held[steps.out[i]]:
            add_product(flows, node, work, steps.out[i], volts, steps.neighbour[i])
    put_product(volts, node, flows, node, inverse, s)


@njit(cache=True, nogil=True, error_model="numpy")
def port_volts(e: Eliminated, count: int, reach: Ints, ports: Ints, driven: int) -> Complexes:
    """Volts [ports, count variants] across each port for 1 A through the port `driven`.

    `reach`: the steps on the elimination tree above the ports, rising; earth is node -1.
    """
    nodes = len(e.steps.node)
    found = np.empty((len(ports), count), np.complex128)
    # One row more: what earth takes is nobody's matter, and its volts stay 0.
    flows, volts = np.zeros((nodes + 1, 2, LANES)), np.zeros((nodes + 1, 2, LANES))
    for b in range(len(e.work)):
        _drive(e, b, reach, ports[driven], flows, volts)
        for p in range(len(ports)):
            _across(volts, ports[p], found[p], b * LANES)
    return found


@INNER
def _drive(e: Eliminated, b: int, reach: Ints, port: Ints, flows: Reals, volts: Reals) -> None:
    """Volts of the nodes in `reach` for 1 A through a port of one block's variants."""
    steps, held, work, inverse = e.steps, e.held[b], e.work[b], e.inverse[b]
    for s in reach:
        for v in range(LANES):
            flows[steps.node[s], 0, v] = 0.0
            flows[steps.node[s], 1, v] = 0.0
    for v in range(LANES):
        flows[port[0], 0, v] += 1.0
        flows[port[1], 0, v] -= 1.0
    for s in reach:
        if any_in_row(flows, steps.node[s]):
            for i in range(steps.first[s], steps.first[s + 1]):
                if held[steps.into[i]]:
                    add_product(
                        flows, steps.neighbour[i], work, steps.into[i], flows, steps.node[s]
                    )
    for k in range(len(reach) - 1, -1, -1):
        _pull(steps, held, work, inverse, reach[k], flows, volts)


@INNER
def _across(volts: Reals, port: Ints, row: Complexes, start: int) -> None:
    for v in range(min(LANES, len(row) - start)):
        row[start + v] = complex(
            volts[port[0], 0, v] - volts[port[1], 0, v],
            volts[port[0], 1, v] - volts[port[1], 1, v],
        )


@njit(cache=True, nogil=True, error_model="numpy")
def take_off(pairs: Ints, entries: Complexes, volts: Complexes, amps: Complexes) -> None:
    """From `amps` [nodes, variants] what flows off through the `entries` [slots, variants].

    `pairs` [slots, 2]: the nodes that each slot lies between; `volts` [nodes + 1, variants], earth
    last.
    """
    # Of differences of volts and not of diagonal times volts: a node at 120 V behind a milliohm has
    # amps that stand in the last digits of its volts.
    for slot in range(len(pairs)):
        amp, entry = amps[pairs[slot, 0]], entries[slot]
        here, there = volts[pairs[slot, 0]], volts[pairs[slot, 1]]
        for v in range(volts.shape[1]):
            amp[v] -= entry[v] * (here[v] - there[v])


@INNER
def solve_round(
    pattern: Pattern, base: Base, chosen: Ints, moving: Moving, found: Found, scratch: Scratch
) -> int:
    """Solve the `chosen` variants of a batch; as `factor`, the step of a loose node or -1."""
    e = Eliminated(pattern.steps, scratch.held, scratch.work, scratch.inverse)
    given = scratch.given_held, scratch.given
    spare = scratch.amps, scratch.volts
    for start in range(0, len(chosen), LANES):
        _lay(base, moving, chosen, start, scratch.some, given)
        for slot in range(len(base.row)):
            e.held[0, slot] = given[0][slot]
            copy_row(e.work[0], slot, given[1], slot)
        loose: int = _factor(pattern.steps, e.held[0], e.work[0], e.inverse[0])
        if loose >= 0:
            return loose
        _solve_lanes(pattern, given, e, moving, start, spare, found)
        _see(pattern.ports, e, start, spare, found)
    return -1


@INNER
def _lay(
    base: Base, moving: Moving, chosen: Ints, start: int, some: Ints, given: tuple[Held, Reals]
) -> None:
    """The entries of the variants from `start` on, and which slots hold any."""
    held, work = given
    last = len(chosen) - 1
    for v in range(LANES):
        some[v] = chosen[min(start + v, last)]
    for slot in range(len(base.row)):
        row = base.row[slot]
        any_held = False
        if row >= 0:
            for v in range(LANES):
                entry = base.rows[row, some[v]]
                work[slot, 0, v] = entry.real
                work[slot, 1, v] = entry.imag
                any_held |= entry != 0.0
        else:
            entry = base.alike[slot]
            any_held = entry != 0.0
            for v in range(LANES):
                work[slot, 0, v] = entry.real
                work[slot, 1, v] = entry.imag
        held[slot] = any_held
    for m in range(len(moving.slot)):
        slot, any_held = moving.slot[m], held[moving.slot[m]]
        for v in range(LANES):
            entry = moving.amount[m, min(start + v, last)]
            work[slot, 0, v] += entry.real
            work[slot, 1, v] += entry.imag
            any_held |= entry != 0.0
        held[slot] = any_held


@INNER
def _solve_lanes(
    pattern: Pattern,
    given: tuple[Held, Reals],
    e: Eliminated,
    moving: Moving,
    start: int,
    spare: tuple[Reals, Reals],
    found: Found,
) -> None:
    """The volts of some variants, and by how much they do not balance their network."""
    amps, volts = spare
    nodes = len(pattern.steps.node)
    _inject(moving, start, amps)
    for node in range(nodes + 1):
        clear_row(volts, node)
    _substitute(e.steps, e.held[0], e.work[0], e.inverse[0], amps, volts)
    _inject(moving, start, amps)
    for slot in range(len(pattern.between)):
        if given[0][slot]:
            here = pattern.between[slot, 0]
            there = pattern.between[slot, 1] % (nodes + 1)  # earth is the last row
            put_difference(amps, nodes, volts, here, volts, there)
            take_product(amps, here, given[1], slot, amps, nodes)
    clear_row(amps, nodes)
    for node in range(nodes):
        square_at_most(amps, nodes, amps, node)
    for v in range(min(LANES, len(found.worst_square) - start)):
        found.worst_square[start + v] = amps[nodes, 0, v]
    for node in range(nodes + 1):
        _give_lanes(volts, node, found.volts[node], start)


@INNER
def _inject(moving: Moving, start: int, amps: Reals) -> None:
    for node in range(len(amps)):
        clear_row(amps, node)
    last = moving.amp.shape[1] - 1
    for k in range(len(moving.source)):
        for v in range(LANES):
            amp = moving.amp[k, min(start + v, last)]
            amps[moving.source[k], 0, v] += amp.real
            amps[moving.source[k], 1, v] += amp.imag


@INNER
def _see(ports: Ports, e: Eliminated, start: int, spare: tuple[Reals, Reals], found: Found) -> None:
    """The volts across each pair of ports for 1 A through the one, then through the other."""
    flows, volts = spare
    for p in range(len(ports.pair)):
        reach = ports.reach[ports.first[p] : ports.first[p + 1]]
        for driven in range(2):
            _drive(e, 0, reach, ports.pair[p, driven], flows, volts)
            for port in range(2):
                _across(volts, ports.pair[p, port], found.seen[p, 2 * driven + port], start)


@INNER
def see_ports(
    steps: Steps,
    base: Base,
    chosen: Ints,
    moving: Moving,
    ports: Ports,
    found: Complexes,
    scratch: Scratch,
) -> int:
    """Volts across each port for 1 A through it, into `found` [ports, variants].

    A block of variants goes through all of it at once, so that its factors never leave the caches.
    What flows into nodes of itself counts for nothing. As `factor`, the step of a loose node or -1.
    """
    e = Eliminated(steps, scratch.held, scratch.work, scratch.inverse)
    for start in range(0, len(chosen), LANES):
        _lay(base, moving, chosen, start, scratch.some, (e.held[0], e.work[0]))
        loose: int = _factor(steps, e.held[0], e.work[0], e.inverse[0])
        if loose >= 0:
            return loose
        for p in range(len(ports.pair)):
            reach = ports.reach[ports.first[p] : ports.first[p + 1]]
            _drive(e, 0, reach, ports.pair[p, 0], scratch.amps, scratch.volts)
            _across(scratch.volts, ports.pair[p, 0], found[p], start)
    return -1
