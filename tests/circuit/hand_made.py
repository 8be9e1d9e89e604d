"""Small networks written down branch by branch, solved by the house's elimination."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from rungwise.circuit.elimination import EARTH_INDEX, ComplexArray, EliminationOrder
from rungwise.circuit.factors import Factors

OMEGA_60 = 2 * np.pi * 60.0


@dataclass(frozen=True)
class HandBranch:
    """An admittance between nodes `a` and `b` (earth is -1); its source reaches `a`."""

    a: int
    b: int
    siemens: complex
    volt: complex = 0.0

    def amp(self, volts: ComplexArray) -> complex:
        """Amps into `a`'s side; `volts` has earth last."""
        return complex(self.siemens * (volts[self.a] - volts[self.b] - self.volt))


@dataclass(frozen=True)
class HandCoupling:
    """Mutual admittance between two ports, as in I1 = … + y·V2 and I2 = … + y·V1."""

    first: tuple[int, int]
    second: tuple[int, int]
    siemens: complex


class HandNetwork:
    """Nodes 0 … size - 1 and what lies between them."""

    def __init__(
        self, size: int, branches: Sequence[HandBranch], couplings: Sequence[HandCoupling] = ()
    ) -> None:
        self.size = size
        self.branches = tuple(branches)
        pairs = [(branch.a, branch.b) for branch in branches]
        pairs += [(i, j) for each in couplings for i in each.first for j in each.second]
        self.order = EliminationOrder(size, pairs)
        self.entries: list[ComplexArray | None] = [None] * len(self.order.slots)
        self.injected: dict[int, ComplexArray] = {}
        for branch in branches:
            self._add(branch.a, branch.b, branch.siemens)
            self._add(branch.b, branch.a, branch.siemens)
            self._inject(branch)
        for each in couplings:
            for (p, q), (r, t) in ((each.first, each.second), (each.second, each.first)):
                for i, j, sign in ((p, t, 1), (q, r, 1), (p, r, -1), (q, t, -1)):
                    self._add(i, j, sign * each.siemens)

    def _add(self, i: int, j: int, siemens: complex) -> None:
        if i not in (j, EARTH_INDEX):
            slot = self.order.slots[i, j]
            held = self.entries[slot]
            self.entries[slot] = np.asarray(siemens + (0.0 if held is None else held))

    def _inject(self, branch: HandBranch) -> None:
        for node, amp in ((branch.a, branch.siemens * branch.volt),
                          (branch.b, -branch.siemens * branch.volt)):  # fmt: skip
            if node != EARTH_INDEX:
                self.injected[node] = np.asarray(amp + self.injected.get(node, np.asarray(0j)))

    def factors(self) -> Factors:
        """The eliminated network."""
        return Factors(self.order, self.entries, [f"node {k}" for k in range(self.size)])

    def volts(self) -> ComplexArray:
        """Node volts, with earth last."""
        return np.array([*(complex(volt) for volt in self.factors().solve(self.injected)), 0j])

    def matrix(self) -> ComplexArray:
        """The nodal admittance matrix, for another solver."""
        found = np.zeros((self.size, self.size), complex)
        for (i, j), slot in self.order.slots.items():
            entry = self.entries[slot] if slot < len(self.entries) else None
            if entry is not None:
                found[i, i] += entry
                if j != EARTH_INDEX:
                    found[i, j] -= entry
        return found


def coupled_siemens(
    henry: tuple[float, float], ohm: tuple[float, float], coupling: float
) -> tuple[complex, complex, complex]:
    """Y11, Y12, Y22 of two coupled inductors with their resistances at 60 Hz."""
    mutual = coupling * np.sqrt(henry[0] * henry[1])
    z = np.diag(ohm) + 1j * OMEGA_60 * np.array([[henry[0], mutual], [mutual, henry[1]]])
    y = np.linalg.inv(z)
    return complex(y[0, 0]), complex(y[0, 1]), complex(y[1, 1])
