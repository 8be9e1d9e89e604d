"""Proof of a solution: what flows into every node must add up to nothing.

The elimination loses no digits as long as no pivot is small beside its terms, which an inductance
and a capacitance in resonance at one node would make it.  So every solution is put back into its
network.  Where the balance is off by more than rounding, the volts are refined once with the same
factors; where that does not help, the network is solved again densely, with pivoting.
"""

from __future__ import annotations

import numpy as np

from rungwise.circuit import elimination_kernel as kernel
from rungwise.circuit.assemble import Assembly
from rungwise.circuit.batch import BLOCK, Batch, BoolArray
from rungwise.circuit.elimination import EARTH_INDEX, ComplexArray, Factors, laid_out
from rungwise.circuit.network import Network
from rungwise.errors import CircuitError
from rungwise.parts import FloatArray

ROUNDING_AMP = 5e-11
"""Imbalance that doubles leave at best: 120 V is known to 1.4e-14 V, and a bar has 0.3 mΩ."""

LOST_SHARE = 1e-13
"""Imbalance over largest admittance times largest volts, above which digits have been lost."""


def proved(
    network: Network, batch: Batch, volts: ComplexArray, worst_amp: FloatArray
) -> ComplexArray:
    """`volts` [nodes + 1, variants], made better where they do not balance the AC network.

    `network` is that of the `batch`; worst_amp [variants]: by how much `volts` do not balance it.
    Raises CircuitError where no solver balances it.
    """
    off = np.flatnonzero(worst_amp > ROUNDING_AMP)
    if not off.size:
        return volts
    better = volts.copy()
    for some in np.array_split(off, -(-off.size // BLOCK)):
        better[:, some] = _mended(network.assembly(batch.take(some), some), volts[:, some])
    return better


def _mended(assembly: Assembly, volts: ComplexArray) -> ComplexArray:
    # The better of the two, variant by variant: where the factors themselves have lost the digits,
    # a refinement with them may make it worse.
    volts = _better(assembly, volts, _refined(assembly, volts))
    lost = np.flatnonzero(_lost(assembly, volts))
    if lost.size:
        part = assembly.take(lost)
        volts[:, lost] = _better(part, volts[:, lost], dense_volts(part, lost.size))
        if _lost(part, volts[:, lost]).any():
            raise CircuitError(
                "the amps of this circuit do not balance: its ohms lie too far apart"
            )
    return volts


def imbalance_amp(assembly: Assembly, volts: ComplexArray) -> ComplexArray:
    """Amps [nodes, variants] that flow into each node and do not leave it again."""
    amps = np.zeros_like(volts[:-1])
    for node, injected in assembly.injected.items():
        amps[node] += injected
    order = assembly.plan.order
    slots, entries = laid_out(assembly.entries, volts.shape[1:])
    kernel.take_off(order.slot_pairs[slots], entries, np.ascontiguousarray(volts), amps)
    return amps


def dense_volts(assembly: Assembly, size: int) -> ComplexArray:
    """Volts [nodes + 1, variants] by a dense solution with pivoting."""
    nodes = len(assembly.plan.nodes)
    matrix = np.zeros((size, nodes, nodes), complex)
    for (i, j), slot in assembly.plan.order.slots.items():
        entry = assembly.entries[slot]
        if entry is not None:
            matrix[:, i, i] += entry
            if j != EARTH_INDEX:
                matrix[:, i, j] -= entry
    amps = np.zeros((size, nodes), complex)
    for node, injected in assembly.injected.items():
        amps[:, node] += injected
    volts = np.zeros((nodes + 1, size), complex)
    volts[:-1] = np.linalg.solve(matrix, amps[..., None])[..., 0].T
    return volts


def _refined(assembly: Assembly, volts: ComplexArray) -> ComplexArray:
    factors = Factors(assembly.plan.order, assembly.entries, assembly.plan.nodes)
    change = factors.solve(dict(enumerate(imbalance_amp(assembly, volts))))
    better = volts.copy()
    for node, volt in enumerate(change):
        better[node] += volt
    return better


def _better(assembly: Assembly, one: ComplexArray, other: ComplexArray) -> ComplexArray:
    """Variant by variant the volts that balance better."""
    first, second = (_worst(imbalance_amp(assembly, volts)) for volts in (one, other))
    return np.where(second < first, other, one)


def _lost(assembly: Assembly, volts: ComplexArray) -> BoolArray:
    siemens = np.asarray(0.0)
    for entry in assembly.entries:
        if entry is not None:
            siemens = np.maximum(siemens, np.abs(entry))
    limit = LOST_SHARE * siemens * np.abs(volts).max(axis=0)
    return np.asarray(_worst(imbalance_amp(assembly, volts)) > limit)


def _worst(amps: ComplexArray) -> FloatArray:
    return np.asarray(np.abs(amps).max(axis=0))
