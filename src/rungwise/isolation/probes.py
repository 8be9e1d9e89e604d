"""A low-impedance voltmeter's leads on any two of many points of a solved batch."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from rungwise.circuit.assemble import Assembly
from rungwise.circuit.elimination import ComplexArray, Factors
from rungwise.circuit.meter import LOW_Z_VOLTS, loaded_volts
from rungwise.circuit.solution import Solution
from rungwise.unit.element import EARTH, FloatArray

Pair = tuple[str, str]
"""Where the two leads go: a terminal, and another one or earth."""


class Probes:
    """What a low-impedance voltmeter (3 kΩ, so that ghosts vanish) shows in every variant.

    The reading is that of the Thevenin source between the leads, V·Zm/(Zm + Z).  With earth as
    reference, Z between points p and q is Zpp + Zqq − Zpq − Zqp, so one column of the impedance
    matrix a point serves every pair.  Contacts and rotors stay as they were solved without meter.
    """

    def __init__(self, solution: Solution) -> None:
        self._solution = solution
        self._index = solution.plan.index
        entries = Assembly.of(solution.batch, "ac").entries
        self._factors = Factors(solution.plan.order, entries, solution.plan.nodes)
        self._columns: dict[str, list[ComplexArray]] = {}

    def open_volts(self, pair: Pair) -> FloatArray:
        """Volts between two points with nothing connected, shape [variants]."""
        return np.abs(self._solution.volt(*pair))

    def reading(self, pair: Pair) -> FloatArray:
        """What the low-impedance meter shows between two points, shape [variants]."""
        volts, ohm = self._solution.volt(*pair), self._ohm(pair)
        shown = loaded_volts(volts, ohm, LOW_Z_VOLTS.burden_ohm)
        return np.asarray(np.broadcast_to(shown, (self._solution.batch.size,)))

    def readings(self, pairs: Sequence[Pair]) -> FloatArray:
        """Readings of many pairs, shape [pairs, variants]."""
        rows = [self.reading(pair) for pair in pairs]
        return np.array(rows).reshape(len(pairs), self._solution.batch.size)

    def _ohm(self, pair: Pair) -> ComplexArray:
        a, b = pair
        total = self._entry(a, a) - self._entry(a, b) - self._entry(b, a) + self._entry(b, b)
        return np.asarray(total)

    def _entry(self, row: str, column: str) -> ComplexArray:
        """Volts at ``row`` to earth for 1 A into ``column``, sources off."""
        if EARTH in (row, column):
            return np.asarray(0j)
        if column not in self._columns:
            one_ampere = {self._index[column]: np.asarray(1.0 + 0j)}
            self._columns[column] = self._factors.solve(one_ampere)
        return self._columns[column][self._index[row]]
