"""The laws that a solution must obey: the amps of every node, the volt-amperes of the whole."""

from __future__ import annotations

import numpy as np

from rungwise.circuit import ComplexArray, Solution
from rungwise.circuit.elimination import EARTH_INDEX
from rungwise.circuit.netlist import STRAY_OHM
from rungwise.parts import FloatArray


def kirchhoff_residual(solved: Solution) -> FloatArray:
    """Largest node imbalance over the largest current of the variant, at least 0.1 A.

    Below a tenth of an ampere the digits of 240 V across a milliohm contact are the limit.
    """
    net = np.zeros((len(solved.plan.nodes) + 1, solved.batch.size), complex)
    largest = np.full(solved.batch.size, 0.1)
    for (p, q), amp in _currents(solved):
        net[p] += amp
        net[q] -= amp
        np.maximum(largest, np.abs(amp), out=largest)
    return np.asarray(np.abs(net[:-1]).max(axis=0) / largest)


def power_residual(solved: Solution) -> FloatArray:
    """Sum of the volt-amperes into all elements over the largest of them, at least 10 VA."""
    total = np.zeros(solved.batch.size, complex)
    largest = np.full(solved.batch.size, 10.0)
    for (p, q), amp in _currents(solved):
        power = (solved.volts[p] - solved.volts[q]) * np.conj(amp)
        total += power
        np.maximum(largest, np.abs(power), out=largest)
    return np.asarray(np.abs(total) / largest)


def _currents(solved: Solution) -> list[tuple[tuple[int, int], ComplexArray]]:
    found = [((link.a, link.b), solved.link_amp(link)) for link in solved.plan.links]
    for pair in solved.plan.pairs:
        first, second = solved.pair_amp(pair)
        found += [(pair.first, first), (pair.second, second)]
    leak = 1.0 / STRAY_OHM + 1j * solved.plan.omega_rad_per_s * solved.plan.stray_farad
    found += [((k, EARTH_INDEX), y * solved.volts[k]) for k, y in enumerate(leak)]
    return found
