"""Whether the thermostat can end what a unit draws, asked of the wires and of the solved circuit.

Either answer is enough to have the breaker opened before a disconnect; neither takes a device or a
reading out of a plan.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from rungwise.circuit import STANDBY, solve
from rungwise.errors import CircuitError
from rungwise.isolation.devices import IsolatingDevice, openings
from rungwise.isolation.topology import Topology
from rungwise.isolation.variants import NO_EDITS, batch_values
from rungwise.parts import Poles
from rungwise.unit import Unit
from rungwise.wording import mark

PULLED_A = 2.0
"""More than this is no more pulled: crankcase heaters and one small fan stay below (common
practice, no source)."""

AT_REST = (replace(STANDBY, name=mark("standby begins"), horizon="start"), STANDBY)
"""Thermostat off, before and after what trips has tripped: a compressor that stands stalled on a
wrong leg draws its amps until its overload opens, and again each time that closes."""


def has_handle(unit: Unit, device: str) -> bool:
    """Whether it is made to part a load: a breaker's handle, where others are pulled."""
    poles = unit.kind_of(device).facet(Poles)
    return poles is not None and poles.seen_open == "handle"


@dataclass(frozen=True)
class Demand:
    """What flows in the isolating devices of one unit, as drawn and healthy, without a demand."""

    topology: Topology

    def cannot_be_ended(self) -> bool:
        """Whether the unit runs on with the thermostat off."""
        return self.topology.held_in() or bool(self.loaded(frozenset()))

    def pulled_under_load(self, order: tuple[IsolatingDevice, ...]) -> tuple[IsolatingDevice, ...]:
        """Those of the devices, opened in this order, that would be pulled under a load's amps."""
        names = [device.name for device in order]
        return tuple(
            device
            for at, device in enumerate(order)
            if device.name in self._pulled and device.name in self.loaded(frozenset(names[:at]))
        )

    def loaded(self, opened: frozenset[str]) -> frozenset[str]:
        """Names of the devices, breakers left out, that carry a load's amps with these open."""
        if opened not in self._solved:
            self._solved[opened] = frozenset(self._over(opened))
        return self._solved[opened]

    @cached_property
    def _solved(self) -> dict[frozenset[str], frozenset[str]]:
        return {}

    @cached_property
    def _pulled(self) -> frozenset[str]:
        names = [device.name for device in self.topology.devices]
        return frozenset(name for name in names if not has_handle(self.topology.unit, name))

    def _over(self, opened: frozenset[str]) -> Iterator[str]:
        plan = self.topology.plan
        edits = openings(device for device in self.topology.devices if device.name in opened)
        for condition in AT_REST:
            try:
                solution = solve(plan, condition, batch_values(plan, NO_EDITS, [edits]))
            except CircuitError:
                continue  # the description is then refused by its own check
            mine = [each for each in plan.links if each.block in self._pulled]
            for link in (each for each in mine if not each.element.name.endswith("_gap")):
                if float(np.abs(solution.link_amp(link))[0]) > PULLED_A:
                    yield link.block
