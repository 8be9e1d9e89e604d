"""What an ohmmeter reads between loose ends, terminals and earth of the dead unit.

The network is solved with every wire off that is off, so a loose end is the far end of its wire:
what it reads does not depend on which tag hangs on it.  It is solved three times, with every
resistance at its least, as the unit file has it, and at its most; since ohms between two points
never fall when a resistance rises (Rayleigh's monotonicity law), the first and the last bound what
a good unit can read.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from rungwise.circuit.batch import Batch
from rungwise.circuit.condition import Condition
from rungwise.circuit.meter import Leads
from rungwise.circuit.plan import Key, Plan
from rungwise.rewiring.off_ends import OffEnds
from rungwise.rewiring.taken_reading import OPEN_OHM
from rungwise.unit.element import FloatArray
from rungwise.unit.unit import Unit

__all__ = ["UNRECORDED", "DeadOhms", "unrecorded_windings"]

UNRECORDED = (0.4, 2.5)
"""What a winding may have over the default, where the unit file does not give its ohms (order of
magnitude, no source)."""

SPREADS = 2.5
"""How many times its tolerance a resistance may be off, so that no good unit falls out."""

LEAST_SPREAD = 0.1
LEAST_OHM = 0.02
COPPER_OHM = 0.1
"""What joints and copper may add."""

_WINDINGS = ("main_ohm", "aux_ohm")
_OTHERS = (
    "made_ratio",
    "primary_ohm",
    "secondary_ohm",
    "coil_ohm",
    "contact_ohm",
    "element_ohm",
    "supply_ohm",
    "bleed_ohm",
)


class DeadOhms:
    """Ohms between points: the ends of ``off`` by index, then ``probes``, terminals and earth.

    ``low``, ``usual`` and ``high`` have the shape [points, points].  ``measured``: least and most
    ohms of windings that were read at the motor itself.
    """

    def __init__(
        self,
        off: OffEnds,
        probes: Sequence[str],
        measured: Mapping[Key, tuple[float, float]] | None = None,
    ) -> None:
        self.off = off
        self.measured = measured or {}
        self.probes = tuple(probes)
        size = len(off) + len(self.probes)
        self.low, self.usual, self.high = (np.full((size, size), np.inf) for _ in range(3))
        self._fill(_leads(off, self.measured))

    def point(self, probe: str) -> int:
        """The index of a terminal or of earth."""
        return len(self.off) + self.probes.index(probe)

    def _fill(self, leads: Leads) -> None:
        nodes = [each.far or None for each in self.off.ends] + list(self.probes)
        known: dict[frozenset[str], FloatArray] = {}
        for a, one in enumerate(nodes):
            for b, two in enumerate(nodes[:a]):
                if one is None or two is None:
                    ohms = self._of_a_free_wire(a, b)
                else:
                    pair = frozenset((one, two))
                    if pair not in known:
                        known[pair] = _ohms(leads, one, two)
                    ohms = known[pair]
                for table, ohm in zip((self.low, self.usual, self.high), ohms, strict=True):
                    table[a, b] = table[b, a] = ohm
        self.high = self.high + COPPER_OHM
        for table in (self.low, self.usual, self.high):
            np.fill_diagonal(table, 0.0)

    def _of_a_free_wire(self, a: int, b: int) -> FloatArray:
        """A wire that is off at both ends reads through to its own other end only."""
        through = max(a, b) < len(self.off) and self.off.partners[a, b]
        return np.zeros(3) if through else np.full(3, np.inf)


def unrecorded_windings(unit: Unit) -> tuple[str, ...]:
    """Motors whose winding ohms the unit file does not give."""
    return tuple(
        part.name
        for part in unit.parts
        if unit.kind_of(part.name).motor and not all(name in part.values for name in _WINDINGS)
    )


def _leads(off: OffEnds, measured: Mapping[Key, tuple[float, float]]) -> Leads:
    plan = Plan(off.unit)
    isolating = [part.name for part in off.unit.parts if off.unit.kind_of(part.name).isolates]
    lifted = frozenset((each.wire.name, each.end) for each in off.ends)
    dead = Condition("dead", "off").opened(*isolating).without_leads(lifted)
    read = {
        key: np.array([max(low, LEAST_OHM), max(0.5 * (low + high), LEAST_OHM), high])
        for key, (low, high) in measured.items()
    }
    return Leads(Batch.under(plan, dead, 3, {**dict(_spread(plan)), **read}), "dc")


def _spread(plan: Plan) -> Iterator[tuple[Key, FloatArray]]:
    """Least, usual and most of every resistance that spreads."""
    for part in plan.unit.parts:
        for parameter in plan.blocks[part.name].kind.parameters:
            if parameter.name not in (*_WINDINGS, *_OTHERS):
                continue
            share = max(SPREADS * parameter.tolerance, LEAST_SPREAD)
            low, high = 1.0 - min(share, 0.9), 1.0 + share
            if parameter.name in _WINDINGS and parameter.name not in part.values:
                low, high = UNRECORDED
            key = (part.name, parameter.name)
            yield key, float(plan.defaults[key]) * np.array([low, 1.0, high])


def _ohms(leads: Leads, a: str, b: str) -> FloatArray:
    """Least, usual and most ohms between two nodes; infinite where only insulation joins them."""
    if a == b:
        return np.zeros(3)
    ohms = np.abs(leads.impedance_ohm(a, b))
    return np.where(ohms > OPEN_OHM, np.inf, ohms)
