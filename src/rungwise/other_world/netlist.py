"""A circuit as a list of plain elements that ngspice reads as it stands, and its own solution.

Unknowns are the volts of every node against `GROUND` and the amps of every inductor and source:
modified nodal analysis (Ho, Ruehli and Brennan 1975, from memory).  Every gain is a real number,
so that the very same list is solved here and written out for ngspice.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt
from scipy.sparse import csc_matrix
from scipy.sparse.linalg import SuperLU, splu

from rungwise.errors import CircuitError

GROUND = "@earth"
"""Bare metal: cabinet, motor shells, the panel's bonded neutral bar."""

LEAK_SIEMENS = 1e-12
"""From every node to ground, so that a point nothing ties down has one voltage."""

ComplexArray = npt.NDArray[np.complex128]
Two = tuple[str, str, str, float]


@dataclass(slots=True)
class Netlist:
    """Elements by sort, each (name, a, b, value) with names of its own.

    resistors in Ω; capacitors in F; inductors in H; mutuals (first inductor, second, H); sources
    (name, a, b, RMS volts as a complex number, a above b), where 0 V senses a current; transfers
    (name, a, b, name of the sensing source, Ω): volts a above b per ampere sensed.
    """

    resistors: list[Two] = field(default_factory=list)
    capacitors: list[Two] = field(default_factory=list)
    inductors: list[Two] = field(default_factory=list)
    mutuals: list[tuple[str, str, float]] = field(default_factory=list)
    sources: list[tuple[str, str, str, complex]] = field(default_factory=list)
    transfers: list[tuple[str, str, str, str, float]] = field(default_factory=list)

    def ohm(self, name: str, a: str, b: str, ohm: float) -> None:
        """Add a resistance in Ω, at least a microohm."""
        self.resistors.append((name, a, b, max(float(ohm), 1e-6)))

    def farad(self, name: str, a: str, b: str, farad: float) -> None:
        """Add a capacitance in F."""
        self.capacitors.append((name, a, b, float(farad)))

    def henry(self, name: str, a: str, b: str, henry: float) -> None:
        """Add an inductance in H, at least a nanohenry."""
        self.inductors.append((name, a, b, max(float(henry), 1e-9)))

    def couple(self, first: str, second: str, henry: float) -> None:
        """Couple two inductors by a mutual inductance in H; dots on their first nodes."""
        self.mutuals.append((first, second, float(henry)))

    def volt(self, name: str, a: str, b: str, volt: complex) -> None:
        """Add a source, RMS volts of `a` above `b`; 0 V where a current is sensed."""
        self.sources.append((name, a, b, complex(volt)))

    def transfer(self, name: str, a: str, b: str, sensed: str, ohm: float) -> None:
        """Add volts of `a` above `b` per ampere that source `sensed` carries from a to b."""
        self.transfers.append((name, a, b, sensed, float(ohm)))

    def nodes(self) -> list[str]:
        """Every node but ground, in the order in which elements name them."""
        sorts: tuple[Iterable[tuple[object, ...]], ...] = (
            self.resistors,
            self.capacitors,
            self.inductors,
            self.sources,
            self.transfers,
        )
        found = dict.fromkeys(
            str(node) for elements in sorts for each in elements for node in each[1:3]
        )
        found.pop(GROUND, None)
        return list(found)

    def solve(self, omega_rad_per_s: float) -> Solved:
        """Volts and amps at one frequency; 0 for direct current. Raises CircuitError."""
        return Solved(self, omega_rad_per_s)


class Solved:
    """A netlist solved at one frequency, kept factored so that probes cost little."""

    def __init__(self, netlist: Netlist, omega_rad_per_s: float) -> None:
        self.netlist = netlist
        self.omega_rad_per_s = omega_rad_per_s
        nodes = netlist.nodes()
        self.place = {name: at for at, name in enumerate(nodes)}
        branches = (*netlist.inductors, *netlist.sources, *netlist.transfers)
        self.branch = {str(each[0]): len(nodes) + at for at, each in enumerate(branches)}
        self._resistor = {each[0]: each for each in reversed(netlist.resistors)}
        self._size = len(nodes) + len(branches)
        self._rows: list[int] = list(range(len(nodes)))
        self._columns: list[int] = list(range(len(nodes)))
        self._entries: list[complex] = [LEAK_SIEMENS] * len(nodes)
        self._stamp()
        self._factors = self._factored()
        self.state = self._back(self._right())

    def _factored(self) -> SuperLU:
        shape = (self._size, self._size)
        matrix = csc_matrix((self._entries, (self._rows, self._columns)), shape, dtype=complex)
        try:
            return splu(matrix)
        except RuntimeError as singular:
            raise CircuitError(f"the netlist of {self._size} unknowns: {singular}") from singular

    def _add(self, row: int, column: int, entry: complex) -> None:
        self._rows.append(row)
        self._columns.append(column)
        self._entries.append(entry)

    def _stamp(self) -> None:
        jw = 1j * self.omega_rad_per_s
        ends = [(a, b) for _, a, b, _ in (*self.netlist.resistors, *self.netlist.capacitors)]
        siemens: list[complex] = [1.0 / ohm for _, _, _, ohm in self.netlist.resistors]
        siemens += [jw * farad for _, _, _, farad in self.netlist.capacitors]
        self._stamp_admittances(ends, np.array(siemens, dtype=complex))
        for name, a, b, henry in self.netlist.inductors:
            self._stamp_branch(name, a, b)
            self._add(self.branch[name], self.branch[name], -jw * henry)
        for first, second, henry in self.netlist.mutuals:
            self._add(self.branch[first], self.branch[second], -jw * henry)
            self._add(self.branch[second], self.branch[first], -jw * henry)
        for name, a, b, _ in self.netlist.sources:
            self._stamp_branch(name, a, b)
        for name, a, b, sensed, ohm in self.netlist.transfers:
            self._stamp_branch(name, a, b)
            self._add(self.branch[name], self.branch[sensed], -ohm)

    def _stamp_admittances(self, ends: list[tuple[str, str]], siemens: ComplexArray) -> None:
        place = self.place
        i = np.array([place.get(a, -1) for a, _ in ends])
        j = np.array([place.get(b, -1) for _, b in ends])
        both = (i >= 0) & (j >= 0)
        for rows, columns, entries in (
            (i[i >= 0], i[i >= 0], siemens[i >= 0]),
            (j[j >= 0], j[j >= 0], siemens[j >= 0]),
            (i[both], j[both], -siemens[both]),
            (j[both], i[both], -siemens[both]),
        ):
            self._rows += rows.tolist()
            self._columns += columns.tolist()
            self._entries += entries.tolist()

    def _stamp_branch(self, name: str, a: str, b: str) -> None:
        """Amps of a branch into its first node, and the volts across it in its own row."""
        at = self.branch[name]
        for node, sign in ((a, 1.0), (b, -1.0)):
            if node in self.place:
                self._add(self.place[node], at, sign)
                self._add(at, self.place[node], sign)

    def _right(self) -> ComplexArray:
        right: ComplexArray = np.zeros(self._size, dtype=complex)
        for name, _, _, volt in self.netlist.sources:
            right[self.branch[name]] = volt if self.omega_rad_per_s else 0.0
        return right

    def _back(self, right: ComplexArray) -> ComplexArray:
        return np.asarray(self._factors.solve(right), dtype=complex)

    def volt(self, a: str, b: str = GROUND) -> complex:
        """Volts of `a` above `b`."""
        return complex(self._at(self.state, a) - self._at(self.state, b))

    def amp(self, name: str) -> complex:
        """Amps of an inductor, source or transfer from its first node to its second."""
        return complex(self.state[self.branch[name]])

    def ohm_amp(self, name: str) -> complex:
        """Amps through a resistance from its first node to its second."""
        found = self._resistor.get(name)
        if found is None:
            return 0j
        _, a, b, ohm = found
        return self.volt(a, b) / ohm

    def impedance(self, a: str, b: str) -> complex:
        """Impedance in Ω between two nodes with every source at rest."""
        return complex(self.port_impedances([(a, b)])[0, 0])

    def port_impedances(self, ports: list[tuple[str, str]]) -> ComplexArray:
        """Open-circuit impedance matrix of ports (a, b), Ω, sources at rest."""
        right: ComplexArray = np.zeros((len(self.state), len(ports)), dtype=complex)
        for column, (a, b) in enumerate(ports):
            for node, sign in ((a, 1.0), (b, -1.0)):
                if node in self.place:
                    right[self.place[node], column] += sign
        found = self._back(right)
        return np.array([self._at(found, a) - self._at(found, b) for a, b in ports])

    def _at(self, state: ComplexArray, node: str) -> ComplexArray:
        """A node's entry of a solution; a node that no element names floats at ground."""
        at = self.place.get(node)
        return np.asarray(state[at] if at is not None else 0.0 * state[0])
