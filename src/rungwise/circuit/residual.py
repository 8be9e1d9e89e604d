"""Proof of a solution: what flows into every node must add up to nothing.

The elimination loses no digits as long as no pivot is small beside its terms, which an inductance
and a capacitance in resonance at one node would make it.  So every solution is put back into its
network.  Where the balance is off by more than rounding, the volts are refined once with the same
factors; where that does not help, the network is solved again densely, with pivoting.
"""

from __future__ import annotations

import numpy as np

from rungwise.circuit.assemble import Assembly
from rungwise.circuit.batch import BLOCK, Batch
from rungwise.circuit.elimination import ComplexArray
from rungwise.parts import FloatArray

ROUNDING_AMP = 2e-10
"""Imbalance that doubles leave at best: 240 V is known to 2.8e-14 V, and a node may lie between two
bars of 0.3 mΩ."""


def proved(batch: Batch, volts: ComplexArray, worst_amp: FloatArray) -> ComplexArray:
    """`volts` [nodes + 1, variants], made better where they do not balance the AC network.

    worst_amp [variants]: by how much `volts` do not balance the network of the `batch`.
    Raises CircuitError where no solver balances it.
    """
    off = np.flatnonzero(worst_amp > ROUNDING_AMP)
    if not off.size:
        return volts
    from rungwise.circuit.mending import mended  # noqa: PLC0415  # seldom, and it loads numba

    better = volts.copy()
    for some in np.array_split(off, -(-off.size // BLOCK)):
        better[:, some] = mended(Assembly.of(batch.take(some), "ac"), volts[:, some])
    return better
