"""Whether the thermostat can end what a unit draws, asked of the wires and of the solved circuit.

Either answer is enough to have the breaker opened before a disconnect; neither takes a device or a
reading out of a plan.
"""

from __future__ import annotations

import numpy as np

from rungwise.circuit.condition import STANDBY
from rungwise.circuit.settle import solve
from rungwise.errors import CircuitError
from rungwise.isolation.topology import Topology

PULLED_A = 2.0
"""More than this is no more pulled: crankcase heaters and one small fan stay below (common
practice, no source)."""


def cannot_be_ended(topology: Topology) -> bool:
    """Whether the unit, as drawn and healthy, runs on with the thermostat off."""
    return topology.held_in() or _draws_at_rest(topology)


def _draws_at_rest(topology: Topology) -> bool:
    """Whether some pole of a device that is no breaker carries a load's amps without a demand."""
    plan = topology.plan
    try:
        solution = solve(plan, STANDBY)
    except CircuitError:
        return False  # the description is then refused by its own check
    kind = {device.name: plan.unit.part(device.name).kind for device in topology.devices}
    names = [name for name, told in kind.items() if not told.startswith("breaker")]
    amps = [
        float(np.abs(solution.link_amp(link))[0])
        for link in plan.links
        if link.block in names and not link.element.name.endswith("_gap")
    ]
    return max(amps, default=0.0) > PULLED_A
