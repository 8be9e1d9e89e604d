"""Volts that do not balance their network, refined once, and else solved with pivoting."""

from __future__ import annotations

import numpy as np

from rungwise.circuit import elimination_kernel as kernel
from rungwise.circuit.assemble import Assembly
from rungwise.circuit.batch import BoolArray
from rungwise.circuit.elimination import EARTH_INDEX, ComplexArray
from rungwise.circuit.factors import Factors, laid_out
from rungwise.errors import CircuitError
from rungwise.parts import FloatArray

LOST_SHARE = 1e-13
"""Imbalance over largest admittance times largest volts, above which digits have been lost."""


def mended(assembly: Assembly, volts: ComplexArray) -> ComplexArray:
    """`volts` [nodes + 1, variants] of a network, better balanced where they can be.

    Raises CircuitError where no solver balances it.
    """
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
