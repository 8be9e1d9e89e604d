"""What the meter shows at every pair of test points, device failure and load fault."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from rungwise.circuit.condition import STANDBY
from rungwise.circuit.plan import Plan
from rungwise.circuit.settle import solve
from rungwise.isolation.devices import Failure, IsolatingDevice, openings
from rungwise.isolation.lead_places import LeadPlace
from rungwise.isolation.limits import DEAD_VOLT, LIVE_VOLT
from rungwise.isolation.live_points import Opened
from rungwise.isolation.load_faults import LoadFault
from rungwise.isolation.probes import Pair, Probes
from rungwise.isolation.set_cover import BoolTable
from rungwise.isolation.variants import Edits, batch_values
from rungwise.unit.element import FloatArray


class ProofTable:
    """Readings with the thermostat off, for some sets of opened devices.

    For each set: ``dead`` [pairs, faults] when all devices isolate, and ``failed``
    [pairs, failures, faults] with one of the opened devices failed; a device that is still closed
    cannot have failed, and its failure reads as when all isolate.
    """

    def __init__(
        self,
        plan: Plan,
        base: Edits,
        devices: Sequence[IsolatingDevice],
        places: Sequence[LeadPlace],
        faults: Sequence[LoadFault],
        opened_sets: Sequence[Opened],
    ) -> None:
        self.places = tuple(places)
        self.faults = tuple(faults)
        self.failures = tuple(f for device in devices for f in device.failures())
        self.opened_sets = tuple(opened_sets)
        self._devices = {device.name: device for device in devices}
        self._readings = self._solved(plan, base)

    def _solved(self, plan: Plan, base: Edits) -> FloatArray:
        """Readings [pairs, opened sets, 1 + failures, faults]; index 0 is no failure."""
        shape = (len(self.opened_sets), 1 + len(self.failures), len(self.faults))
        edits: list[Edits] = []
        where = np.zeros(shape, dtype=int)
        for s, opened in enumerate(self.opened_sets):
            open_edits = openings(self._devices[name] for name in opened)
            for f, failed in enumerate(self._failures_of(opened)):
                where[s, f] = where[s, 0]
                if failed is not None:
                    where[s, f] = len(edits) + np.arange(len(self.faults))
                    edits += [{**fault.edits, **open_edits, **failed} for fault in self.faults]
        solution = solve(plan, STANDBY, batch_values(plan, base, edits), len(edits))
        readings = Probes(solution).readings([place.pair for place in self.places])
        return np.asarray(readings[:, where])

    def _failures_of(self, opened: Opened) -> list[Edits | None]:
        """Edits of no failure, then of each failure; None where its device is not opened."""
        each = [f.edits if f.device in opened else None for f in self.failures]
        return [{}, *each]

    def dead(self, opened: Opened) -> FloatArray:
        """Readings [pairs, faults] when every opened device isolates."""
        return np.asarray(self._readings[:, self.opened_sets.index(opened), 0])

    def failed(self, opened: Opened) -> FloatArray:
        """Readings [pairs, failures, faults] with one device failed."""
        return np.asarray(self._readings[:, self.opened_sets.index(opened), 1:])

    def reading(self, opened: Opened, failure: Failure, pair: Pair) -> float:
        """Volts between two test points, either way round, under one failure as found."""
        pairs = [place.pair for place in self.places]
        row = pairs.index(pair if pair in pairs else pair[::-1])
        return float(self.failed(opened)[row, self.failures.index(failure), 0])

    def covers(self, opened: Opened) -> BoolTable:
        """Which pair shows which case, [pairs, cases]; the cases of a failure are its load faults.

        It reads live in that case, and dead whatever the load's fault when all devices isolate.
        """
        usable = np.all(self.dead(opened) < DEAD_VOLT, axis=1)
        live = self.failed(opened).reshape(len(self.places), -1) > LIVE_VOLT
        return np.asarray(live & usable[:, None])

    def cases_shown(self, opened: Opened) -> BoolTable:
        """Which cases at least one pair shows, [cases]."""
        return np.asarray(self.covers(opened).any(axis=0))
