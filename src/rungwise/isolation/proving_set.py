"""The fewest measurements after which no isolating device can have failed unnoticed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from rungwise.circuit.plan import Plan
from rungwise.isolation.devices import Failure, IsolatingDevice
from rungwise.isolation.lead_places import LeadPlace, lead_places
from rungwise.isolation.limits import LIVE_VOLT
from rungwise.isolation.live_points import subsets
from rungwise.isolation.load_faults import AS_FOUND, every_load_open, load_faults
from rungwise.isolation.order_of_work import best_order, prefixes, rounds
from rungwise.isolation.proof_table import ProofTable
from rungwise.isolation.proving_check import LiveReading, ProvingCheck
from rungwise.isolation.set_cover import BoolTable, minimum_cover
from rungwise.isolation.traps import Trap, traps
from rungwise.isolation.variants import Edits
from rungwise.unit.element import FloatArray


@dataclass(frozen=True, slots=True)
class Proof:
    """The order in which devices are opened, the checks, the traps, and what stays unproved."""

    order: tuple[IsolatingDevice, ...]
    checks: tuple[ProvingCheck, ...]
    traps: tuple[Trap, ...]
    unproved: tuple[Failure, ...]


def proving_set(
    plan: Plan, base: Edits, devices: Sequence[IsolatingDevice], zone_points: Sequence[str]
) -> Proof:
    """The minimum proving set for the unit with the known faults ``base``.

    Candidates are (stage of the order of work, pair of points); cases are every failure of a
    device, whole or one pole, under every load fault of :func:`load_faults`.  ``unproved`` are
    failures that no measurement of the order shows for sure, such as a pole of a dead leg.  Of
    orders that are as good, one that opens ``devices`` in the given sequence is preferred.
    """
    if not devices:
        return Proof((), (), (), ())
    unit = plan.unit
    places = lead_places(unit, base, zone_points)
    # Few faults decide the order; all of them then decide the checks, in that order only.
    rough = ProofTable(
        plan, base, devices, places, (AS_FOUND, every_load_open(unit)), subsets(devices)
    )
    order = best_order(rough, devices)
    table = ProofTable(plan, base, devices, places, load_faults(unit), prefixes(order))
    return _Chooser(table, order).proof()


class _Chooser:
    """Chooses checks from a table along an order of work; columns are stage after stage."""

    def __init__(self, table: ProofTable, order: tuple[IsolatingDevice, ...]) -> None:
        self.table = table
        self.order = order
        self.covers: BoolTable = np.concatenate(
            [table.covers(opened).T for opened in table.opened_sets], axis=1
        )

    def proof(self) -> Proof:
        failures, faults = self.table.failures, len(self.table.faults)
        shown = self.covers.any(axis=1).reshape(len(failures), faults)
        # A failure that is shown only while some load conducts counts as not shown.
        proved = np.all(shown, axis=1)
        chosen = minimum_cover(self.covers[np.repeat(proved, faults)], self._dislike())
        checks = tuple(self._check(column) for column in chosen)
        unproved = tuple(f for f, is_proved in zip(failures, proved, strict=True) if not is_proved)
        return Proof(self.order, checks, traps(self.table, checks), unproved)

    def _dislike(self) -> FloatArray:
        """Measuring in the middle of a round at one place costs a walk; later costs a little."""
        ends = rounds(self.order)
        by_pair = np.array([place.dislike for place in self.table.places])
        by_stage = [0.2 * (end != at) + 0.01 * at for at, end in enumerate(ends)]
        return np.concatenate([by_pair + stage for stage in by_stage])

    def _place(self, column: int) -> tuple[int, int]:
        """Stage (from 0) and row of the pair."""
        return divmod(column, len(self.table.places))

    def _check(self, column: int) -> ProvingCheck:
        stage, row = self._place(column)
        place: LeadPlace = self.table.places[row]
        opened = self.table.opened_sets[stage]
        failed = self.table.failed(opened)[row]
        live = tuple(
            LiveReading(failure, float(volts[0]), float(volts.min()))
            for failure, volts in zip(self.table.failures, failed, strict=True)
            if volts[0] > LIVE_VOLT
        )
        return ProvingCheck(
            stage + 1,
            tuple(device.name for device in self.order[: stage + 1]),
            place.place,
            place.pair,
            float(self.table.dead(opened)[row].max()),
            live,
        )
