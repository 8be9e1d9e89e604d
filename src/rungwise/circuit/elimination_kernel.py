"""The arithmetic of the elimination, compiled: loops over steps and over variants.

Numbers lie as [slots or nodes, variants].  A few variants at a time go through all steps, so that
what they touch stays in the processor's caches; within a step the loop over these variants is the
innermost, which the compiler turns into vector instructions.  `held` says which slots hold anything
in any variant: the others are zero in all of them and cost nothing.

`Steps` is the elimination order as flat arrays: for step s the neighbours, and the slots that go
with them, stand at `first[s]` to `first[s + 1]`, its pairs of neighbours at `pairs_first[s]` on,
row after row.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from numba import njit

LANES = 64
"""Variants that go through the steps together: 400 slots of them are 400 kB."""

INNER = njit(  # type: ignore[call-overload]  # its types leave these two out
    nogil=True, error_model="numpy", no_cpython_wrapper=True, no_cfunc_wrapper=True
)
"""For what only compiled code calls: compiling the way in from Python takes most of the time."""

Ints = npt.NDArray[np.int64]
Held = npt.NDArray[np.bool_]
Reals = npt.NDArray[np.float64]
Complexes = npt.NDArray[np.complex128]


class Steps(NamedTuple):
    """The elimination order as flat arrays; see the module."""

    node: Ints
    earth: Ints
    first: Ints
    neighbour: Ints
    into: Ints
    out: Ints
    earth_into: Ints
    pairs_first: Ints
    pairs: Ints


class Eliminated(NamedTuple):
    """Numbers [slots or steps, variants] on their way through the elimination, and after it.

    Afterwards `work` holds a step's factors in its `into` slots and its row in its `out` slots,
    `inverse` [steps, variants] one over the sum of each row.
    """

    steps: Steps
    held: Held
    work: Complexes
    inverse: Complexes


@njit(cache=True, nogil=True, error_model="numpy")
def fill(steps: Steps, held: Held) -> None:
    """Mark in `held` every slot that the elimination writes to."""
    for s in range(len(steps.node)):
        low, high = steps.first[s], steps.first[s + 1]
        count = high - low
        for i in range(count):
            if not held[steps.into[low + i]]:
                continue
            for j in range(count):
                if i != j and held[steps.out[low + j]]:
                    held[steps.pairs[steps.pairs_first[s] + i * count + j]] = True
            if held[steps.earth[s]]:
                held[steps.earth_into[low + i]] = True


@njit(cache=True, nogil=True, error_model="numpy")
def factor(e: Eliminated) -> int:
    """Eliminate in place; the step at which a node is tied to nothing, -1 where none is."""
    steps, held, work = e.steps, e.held, e.work
    for start in range(0, work.shape[1], LANES):
        end = min(work.shape[1], start + LANES)
        for s in range(len(steps.node)):
            if not _sum_row(e, s, start, end):
                return s
            low, high = steps.first[s], steps.first[s + 1]
            for i in range(low, high):
                if held[steps.into[i]]:
                    into, inverse = work[steps.into[i]], e.inverse[s]
                    for v in range(start, end):
                        into[v] *= inverse[v]
                    _spread(e, s, i - low, start, end)
    return -1


@INNER
def _sum_row(e: Eliminated, s: int, start: int, end: int) -> bool:
    """One over the sum of a row; False where it is 0 in some variant.

    The sum only ever grows by terms of the same kind, so 0 means that no term was there at all; a
    small sum is a node that hardly anything holds, and is solved like any other.
    """
    steps, held, work = e.steps, e.held, e.work
    total = e.inverse[s]
    for v in range(start, end):
        total[v] = 0.0
    if held[steps.earth[s]]:
        _add(total, work[steps.earth[s]], start, end)
    for i in range(steps.first[s], steps.first[s + 1]):
        if held[steps.out[i]]:
            _add(total, work[steps.out[i]], start, end)
    for v in range(start, end):
        square = total[v].real ** 2 + total[v].imag ** 2
        if square == 0.0:
            return False
        total[v] = complex(total[v].real / square, -total[v].imag / square)
    return True


@INNER
def _spread(e: Eliminated, s: int, i: int, start: int, end: int) -> None:
    """Star to mesh: each pair of neighbours gets the product of their branches over the sum."""
    steps, held, work = e.steps, e.held, e.work
    low, high = steps.first[s], steps.first[s + 1]
    share, pairs = work[steps.into[low + i]], steps.pairs_first[s] + i * (high - low)
    for j in range(high - low):
        out = steps.out[low + j]
        if j != i and held[out]:
            _add_product(work[steps.pairs[pairs + j]], share, work[out], start, end)
    earth = steps.earth[s]
    if held[earth]:
        _add_product(work[steps.earth_into[low + i]], share, work[earth], start, end)


@INNER
def _add(to: Complexes, more: Complexes, start: int, end: int) -> None:
    for v in range(start, end):
        to[v] += more[v]


@INNER
def _add_product(to: Complexes, one: Complexes, other: Complexes, start: int, end: int) -> None:
    for v in range(start, end):
        to[v] += one[v] * other[v]


@njit(cache=True, nogil=True, error_model="numpy")
def substitute(e: Eliminated, flows: Complexes, volts: Complexes) -> None:
    """Node volts [nodes, variants] for the amps `flows` into the nodes, which are used up."""
    steps, held, work = e.steps, e.held, e.work
    for start in range(0, work.shape[1], LANES):
        end = min(work.shape[1], start + LANES)
        for s in range(len(steps.node)):
            flow = flows[steps.node[s]]
            if not _any(flow, start, end):
                continue
            for i in range(steps.first[s], steps.first[s + 1]):
                if held[steps.into[i]]:
                    to = flows[steps.neighbour[i]]
                    _add_product(to, work[steps.into[i]], flow, start, end)
        for s in range(len(steps.node) - 1, -1, -1):
            total, volt, inverse = flows[steps.node[s]], volts[steps.node[s]], e.inverse[s]
            for i in range(steps.first[s], steps.first[s + 1]):
                if held[steps.out[i]]:
                    other = volts[steps.neighbour[i]]
                    _add_product(total, work[steps.out[i]], other, start, end)
            for v in range(start, end):
                volt[v] = total[v] * inverse[v]


@INNER
def _any(flow: Complexes, start: int, end: int) -> bool:
    for v in range(start, end):  # noqa: SIM110  # no generators in compiled code
        if flow[v] != 0.0:
            return True
    return False


@njit(cache=True, nogil=True, error_model="numpy")
def port_volts(e: Eliminated, chosen: Ints, reach: Ints, ports: Ints, driven: int) -> Complexes:
    """Volts [ports, chosen variants] across each port for 1 A through the port `driven`.

    `reach`: the steps on the elimination tree above the ports, rising; earth is node -1.
    """
    steps, nodes = e.steps, len(e.steps.node)
    found = np.empty((len(ports), len(chosen)), np.complex128)
    # One row more: what earth takes is nobody's matter, and its volts stay 0.
    flows = np.empty((nodes + 1, LANES), np.complex128)
    volts = np.zeros((nodes + 1, LANES), np.complex128)
    for start in range(0, len(chosen), LANES):
        some = chosen[start : start + LANES]
        for s in reach:
            for v in range(LANES):
                flows[steps.node[s], v] = 0.0
        for v in range(LANES):
            flows[ports[driven, 0], v] += 1.0
            flows[ports[driven, 1], v] -= 1.0
        for s in reach:
            _push(e, some, s, flows)
        for k in range(len(reach) - 1, -1, -1):
            _pull(e, some, reach[k], flows, volts)
        for p in range(len(ports)):
            for v in range(len(some)):
                found[p, start + v] = volts[ports[p, 0], v] - volts[ports[p, 1], v]
    return found


@INNER
def _push(e: Eliminated, some: Ints, s: int, flows: Complexes) -> None:
    steps, held, work = e.steps, e.held, e.work
    flow = flows[steps.node[s]]
    if not _any(flow, 0, len(some)):
        return
    for i in range(steps.first[s], steps.first[s + 1]):
        if held[steps.into[i]]:
            share, to = work[steps.into[i]], flows[steps.neighbour[i]]
            for v in range(len(some)):
                to[v] += share[some[v]] * flow[v]


@INNER
def _pull(e: Eliminated, some: Ints, s: int, flows: Complexes, volts: Complexes) -> None:
    steps, held, work = e.steps, e.held, e.work
    total = flows[steps.node[s]]
    for i in range(steps.first[s], steps.first[s + 1]):
        if held[steps.out[i]]:
            entry, volt = work[steps.out[i]], volts[steps.neighbour[i]]
            for v in range(len(some)):
                total[v] += entry[some[v]] * volt[v]
    for v in range(len(some)):
        volts[steps.node[s], v] = total[v] * e.inverse[s, some[v]]


@njit(cache=True, nogil=True, error_model="numpy")
def take_off(
    pairs: Ints, held: Held, entries: Complexes, volts: Complexes, amps: Complexes
) -> None:
    """From `amps` [nodes, variants] what flows off through each slot's entry.

    `pairs` [slots, 2]: the nodes that a slot lies between; `volts` [nodes + 1, variants], earth
    last.
    """
    # Of differences of volts and not of diagonal times volts: a node at 120 V behind a milliohm has
    # amps that stand in the last digits of its volts.
    for slot in range(len(pairs)):
        if held[slot]:
            amp, entry = amps[pairs[slot, 0]], entries[slot]
            here, there = volts[pairs[slot, 0]], volts[pairs[slot, 1]]
            for v in range(volts.shape[1]):
                amp[v] -= entry[v] * (here[v] - there[v])


class Base(NamedTuple):
    """What stays of a batch's network: the entry of each slot, alike in all variants or in a row.

    row [slots]: the row of `rows` [some, variants] with a slot, -1 where `alike` [slots] has it.
    """

    row: Ints
    alike: Complexes
    rows: Complexes


class Moving(NamedTuple):
    """What comes to the base in a round: amounts [some slots, chosen] in these slots.

    Also the amps [sources, chosen] that flow into the nodes `source`.
    """

    slot: Ints
    amount: Complexes
    source: Ints
    amp: Complexes


class Ports(NamedTuple):
    """Pairs of ports [pairs, 2, 2]; the steps above pair p are `reach[first[p] : first[p + 1]]`."""

    pair: Ints
    first: Ints
    reach: Ints


class Found(NamedTuple):
    """What a round fills in.

    volts [nodes + 1, chosen]. seen [pairs of ports, 4, chosen]: the volts across the two ports of
    each pair for 1 A through the first, then for 1 A through the second. worst_amp [chosen]: the
    most by which a node's amps do not balance.
    """

    volts: Complexes
    seen: Complexes
    worst_amp: Reals


class Pattern(NamedTuple):
    """The elimination order, the nodes between which each slot lies, and the ports asked for."""

    steps: Steps
    between: Ints
    ports: Ports


@njit(cache=True, nogil=True, error_model="numpy")
def solve_round(
    pattern: Pattern, held: Held, base: Base, chosen: Ints, moving: Moving, found: Found
) -> int:
    """Solve the `chosen` variants of a batch; as `factor`, the step of a loose node or -1.

    held: the slots that hold anything before the elimination.
    """
    steps = pattern.steps
    whole = held.copy()
    fill(steps, whole)
    for start in range(0, len(chosen), LANES):
        some = chosen[start : start + LANES]
        entries = np.zeros((len(held), len(some)), np.complex128)
        _lay(base, held, some, entries)
        for m in range(len(moving.slot)):
            for v in range(len(some)):
                entries[moving.slot[m], v] += moving.amount[m, start + v]
        inverse = np.empty((len(steps.node), len(some)), np.complex128)
        e = Eliminated(steps, whole, entries.copy(), inverse)
        loose = factor(e)
        if loose >= 0:
            return loose
        _solve_lanes(pattern, held, entries, e, moving, start, found)
        _see(pattern.ports, e, start, found)
    return -1


@INNER
def _lay(base: Base, held: Held, some: Ints, work: Complexes) -> None:
    for slot in range(len(base.row)):
        row = base.row[slot]
        if row >= 0:
            for v in range(len(some)):
                work[slot, v] = base.rows[row, some[v]]
        elif held[slot]:
            for v in range(len(some)):
                work[slot, v] = base.alike[slot]


@INNER
def _solve_lanes(
    pattern: Pattern,
    held: Held,
    entries: Complexes,
    e: Eliminated,
    moving: Moving,
    start: int,
    found: Found,
) -> None:
    """The volts of some variants, and by how much they do not balance their network."""
    nodes, lanes = e.inverse.shape
    amps = np.zeros((nodes, lanes), np.complex128)
    for k in range(len(moving.source)):
        for v in range(lanes):
            amps[moving.source[k], v] += moving.amp[k, start + v]
    volts = np.zeros((nodes + 1, lanes), np.complex128)
    substitute(e, amps.copy(), volts)
    take_off(pattern.between, held, entries, volts, amps)
    for v in range(lanes):
        worst = 0.0
        for node in range(nodes):
            worst = max(worst, amps[node, v].real ** 2 + amps[node, v].imag ** 2)
            found.volts[node, start + v] = volts[node, v]
        found.volts[nodes, start + v] = 0.0
        found.worst_amp[start + v] = np.sqrt(worst)


@INNER
def _see(ports: Ports, e: Eliminated, start: int, found: Found) -> None:
    """The volts across each pair of ports for 1 A through the one, then through the other."""
    lanes = np.arange(e.inverse.shape[1])
    for p in range(len(ports.pair)):
        reach = ports.reach[ports.first[p] : ports.first[p + 1]]
        for driven in range(2):
            across = port_volts(e, lanes, reach, ports.pair[p], driven)
            for v in range(len(lanes)):
                found.seen[p, 2 * driven, start + v] = across[0, v]
                found.seen[p, 2 * driven + 1, start + v] = across[1, v]
