"""In which order the devices are opened, so that none hides another's failure.

The usual list opens the breaker first and the disconnect after it.  Then a disconnect that does
not part is never seen: nothing stands on its line side any more, and what is measured behind it is
dead by the breaker alone.  Later somebody closes the breaker at the panel, trusting the
disconnect, and the unit is live under the hands of whoever works there.  So a device is opened and
measured behind while its supply is still there: the disconnect first, its load side measured; then
the breaker, measured on the disconnect's line side.  Likewise the service switch, then the indoor
breaker.  Which orders prove every device is not assumed here but read from the solved circuit.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise, permutations

import numpy as np

from rungwise.isolation.devices import IsolatingDevice
from rungwise.isolation.live_points import Opened
from rungwise.isolation.proof_table import ProofTable

FIRST_PLACE = "indoor"
"""The thermostat was just turned off, so the work begins indoors where that is no detour."""


def best_order(
    table: ProofTable, devices: Sequence[IsolatingDevice]
) -> tuple[IsolatingDevice, ...]:
    """The order that leaves fewest failures unseen; among equals, the one with least walking."""
    shown = {opened: table.cases_shown(opened) for opened in table.opened_sets}

    def cost(order: Sequence[IsolatingDevice]) -> tuple[int, int, list[bool]]:
        seen = np.any([shown[opened] for opened in prefixes(order)], axis=0)
        places = [device.place for device in order]
        return int((~seen).sum()), _moves(places), [place != FIRST_PLACE for place in places]

    return min(permutations(devices), key=cost)


def prefixes(order: Sequence[IsolatingDevice]) -> tuple[Opened, ...]:
    """What is open after each step of the order."""
    names = [device.name for device in order]
    return tuple(frozenset(names[: n + 1]) for n in range(len(names)))


def rounds(order: Sequence[IsolatingDevice]) -> tuple[int, ...]:
    """For each step of the order, the step after which one would next walk away and measure.

    Devices opened one after the other at one place are one round.
    """
    ends = [len(order) - 1] * len(order)
    for step in range(len(order) - 2, -1, -1):
        same = order[step].place == order[step + 1].place
        ends[step] = ends[step + 1] if same else step
    return tuple(ends)


def _moves(places: Iterable[str]) -> int:
    row = list(places)
    return sum(a != b for a, b in pairwise(row))
