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

LANES = 32
"""Variants that go through the steps together: 400 slots of them are 200 kB."""

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


@njit(cache=True, nogil=True)
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


@njit(cache=True, nogil=True)
def factor(steps: Steps, held: Held, work: Complexes, inverse: Complexes) -> int:
    """Eliminate in place; the step at which a node is tied to nothing, -1 where none is.

    Afterwards `work` holds a step's factors in its `into` slots and its row in its `out` slots,
    `inverse` [steps, variants] one over the sum of each row.
    """
    for start in range(0, work.shape[1], LANES):
        end = min(work.shape[1], start + LANES)
        for s in range(len(steps.node)):
            if not _sum_row(steps, held, work, inverse, s, start, end):
                return s
            low, high = steps.first[s], steps.first[s + 1]
            for i in range(low, high):
                if held[steps.into[i]]:
                    into = work[steps.into[i], start:end]
                    into *= inverse[s, start:end]
                    _spread(steps, held, work, s, i - low, into, start, end)
    return -1


@njit(cache=True, nogil=True)
def _sum_row(
    steps: Steps, held: Held, work: Complexes, inverse: Complexes, s: int, start: int, end: int
) -> bool:
    """One over the sum of a row; False where it is 0 in some variant.

    The sum only ever grows by terms of the same kind, so 0 means that no term was there at all; a
    small sum is a node that hardly anything holds, and is solved like any other.
    """
    total = inverse[s, start:end]
    total[:] = 0.0
    if held[steps.earth[s]]:
        total += work[steps.earth[s], start:end]
    for i in range(steps.first[s], steps.first[s + 1]):
        if held[steps.out[i]]:
            total += work[steps.out[i], start:end]
    for v in range(end - start):
        square = total[v].real ** 2 + total[v].imag ** 2
        if square == 0.0:
            return False
        total[v] = complex(total[v].real / square, -total[v].imag / square)
    return True


@njit(cache=True, nogil=True)
def _spread(
    steps: Steps,
    held: Held,
    work: Complexes,
    s: int,
    i: int,
    share: Complexes,
    start: int,
    end: int,
) -> None:
    """Star to mesh: each pair of neighbours gets the product of their branches over the sum."""
    low, high = steps.first[s], steps.first[s + 1]
    pairs = steps.pairs_first[s] + i * (high - low)
    for j in range(high - low):
        if j != i and held[steps.out[low + j]]:
            _add_product(work[steps.pairs[pairs + j], start:end], share,
                         work[steps.out[low + j], start:end])  # fmt: skip
    if held[steps.earth[s]]:
        _add_product(
            work[steps.earth_into[low + i], start:end], share, work[steps.earth[s], start:end]
        )


@njit(cache=True, nogil=True)
def _add_product(to: Complexes, one: Complexes, other: Complexes) -> None:
    for v in range(len(to)):
        to[v] += one[v] * other[v]


@njit(cache=True, nogil=True)
def substitute(
    steps: Steps,
    held: Held,
    work: Complexes,
    inverse: Complexes,
    flows: Complexes,
    volts: Complexes,
) -> None:
    """Node volts [nodes, variants] for the amps `flows` into the nodes, which are used up."""
    for start in range(0, work.shape[1], LANES):
        end = min(work.shape[1], start + LANES)
        for s in range(len(steps.node)):
            flow = flows[steps.node[s], start:end]
            if not flow.any():
                continue
            for i in range(steps.first[s], steps.first[s + 1]):
                if held[steps.into[i]]:
                    _add_product(
                        flows[steps.neighbour[i], start:end], work[steps.into[i], start:end], flow
                    )
        for s in range(len(steps.node) - 1, -1, -1):
            total = flows[steps.node[s], start:end]
            for i in range(steps.first[s], steps.first[s + 1]):
                if held[steps.out[i]]:
                    _add_product(
                        total, work[steps.out[i], start:end], volts[steps.neighbour[i], start:end]
                    )
            volts[steps.node[s], start:end] = total * inverse[s, start:end]


@njit(cache=True, nogil=True)
def port_volts(
    steps: Steps,
    held: Held,
    work: Complexes,
    inverse: Complexes,
    chosen: Ints,
    reach: Ints,
    ports: Ints,
    driven: int,
) -> Complexes:
    """Volts [ports, chosen variants] across each port for 1 A through the port `driven`.

    `reach`: the steps on the elimination tree above the ports, rising; earth is node -1.
    """
    nodes = len(steps.node)
    found = np.empty((len(ports), len(chosen)), np.complex128)
    # One row more: what earth takes is nobody's matter, and its volts stay 0.
    flows = np.empty((nodes + 1, LANES), np.complex128)
    volts = np.zeros((nodes + 1, LANES), np.complex128)
    for start in range(0, len(chosen), LANES):
        some = chosen[start : start + LANES]
        for s in reach:
            flows[steps.node[s]] = 0.0
        flows[ports[driven, 0]] += 1.0
        flows[ports[driven, 1]] -= 1.0
        for s in reach:
            _push(steps, held, work, some, s, flows)
        for s in reach[::-1]:
            _pull(steps, held, work, inverse, some, s, flows, volts)
        for p in range(len(ports)):
            for v in range(len(some)):
                found[p, start + v] = volts[ports[p, 0], v] - volts[ports[p, 1], v]
    return found


@njit(cache=True, nogil=True)
def _push(
    steps: Steps, held: Held, work: Complexes, some: Ints, s: int, flows: Complexes
) -> None:
    flow = flows[steps.node[s]]
    if not flow.any():
        return
    for i in range(steps.first[s], steps.first[s + 1]):
        if held[steps.into[i]]:
            share, to = work[steps.into[i]], flows[steps.neighbour[i]]
            for v in range(len(some)):
                to[v] += share[some[v]] * flow[v]


@njit(cache=True, nogil=True)
def _pull(
    steps: Steps,
    held: Held,
    work: Complexes,
    inverse: Complexes,
    some: Ints,
    s: int,
    flows: Complexes,
    volts: Complexes,
) -> None:
    total = flows[steps.node[s]]
    for i in range(steps.first[s], steps.first[s + 1]):
        if held[steps.out[i]]:
            entry, volt = work[steps.out[i]], volts[steps.neighbour[i]]
            for v in range(len(some)):
                total[v] += entry[some[v]] * volt[v]
    for v in range(len(some)):
        volts[steps.node[s], v] = total[v] * inverse[s, some[v]]


@njit(cache=True, nogil=True)
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
            i, j = pairs[slot]
            for v in range(volts.shape[1]):
                amps[i, v] -= entries[slot, v] * (volts[i, v] - volts[j, v])


class Base(NamedTuple):
    """What stays of a batch's network: the entry of each slot, alike in all variants or in a row.

    row [slots]: the row of `rows` [some, variants] that holds a slot, -1 where `alike` [slots] does.
    """

    row: Ints
    alike: Complexes
    rows: Complexes


class Sources(NamedTuple):
    """Amps [sources, variants] into nodes [sources]."""

    node: Ints
    amp: Complexes


class Ports(NamedTuple):
    """Pairs of ports [pairs, 2, 2]; the steps above pair p are `reach[first[p] : first[p + 1]]`."""

    pair: Ints
    first: Ints
    reach: Ints


@njit(cache=True, nogil=True)
def solve_round(
    steps: Steps,
    held: Held,
    base: Base,
    chosen: Ints,
    moved: Ints,
    moving: Complexes,
    sources: Sources,
    ports: Ports,
    between: Ints,
    volts: Complexes,
    seen: Complexes,
    worst_amp: Reals,
) -> int:
    """Solve the `chosen` variants of a batch; as `factor`, the step of a loose node or -1.

    moving [some slots, chosen]: what is added to the base in the slots `moved`; between: the nodes
    of each slot, as in `take_off`.  Fills `volts` [nodes + 1, chosen]; `seen` [pairs of ports, 4,
    chosen] with the volts across the two ports of each pair for 1 A through the first, then for
    1 A through the second; and `worst_amp` [chosen], the most by which a node's amps do not
    balance.
    """
    nodes = len(steps.node)
    whole = held.copy()
    fill(steps, whole)
    for start in range(0, len(chosen), LANES):
        some = chosen[start : start + LANES]
        work = np.zeros((len(held), len(some)), np.complex128)
        _lay(base, held, some, work)
        for m in range(len(moved)):
            for v in range(len(some)):
                work[moved[m], v] += moving[m, start + v]
        entries, inverse = work.copy(), np.empty((nodes, len(some)), np.complex128)
        loose = factor(steps, whole, work, inverse)
        if loose >= 0:
            return loose
        flows = np.zeros((nodes, len(some)), np.complex128)
        for k in range(len(sources.node)):
            for v in range(len(some)):
                flows[sources.node[k], v] += sources.amp[k, start + v]
        amps, found = flows.copy(), np.zeros((nodes + 1, len(some)), np.complex128)
        substitute(steps, whole, work, inverse, flows, found)
        volts[:, start : start + len(some)] = found
        take_off(between, held, entries, found, amps)
        for v in range(len(some)):
            worst_amp[start + v] = np.sqrt((amps[:, v].real ** 2 + amps[:, v].imag ** 2).max())
        lanes = np.arange(len(some))
        for p in range(len(ports.pair)):
            reach = ports.reach[ports.first[p] : ports.first[p + 1]]
            for driven in range(2):
                across = port_volts(
                    steps, whole, work, inverse, lanes, reach, ports.pair[p], driven
                )
                seen[p, 2 * driven : 2 * driven + 2, start : start + len(some)] = across
    return -1


@njit(cache=True, nogil=True)
def _lay(base: Base, held: Held, some: Ints, work: Complexes) -> None:
    for slot in range(len(base.row)):
        row = base.row[slot]
        if row >= 0:
            for v in range(len(some)):
                work[slot, v] = base.rows[row, some[v]]
        elif held[slot]:
            for v in range(len(some)):
                work[slot, v] = base.alike[slot]
