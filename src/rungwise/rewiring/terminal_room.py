"""How many wires a terminal takes, and how it holds each.

All of it is common practice, no source: a contactor's power terminal has one plate and four tabs,
a dual capacitor four tabs on C, three on HERM, two on FAN.  A wires file says what a new part has.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from scipy.optimize import linear_sum_assignment

from rungwise.parts import Terminals, split_end, work_for
from rungwise.unit import Unit

Places = tuple[str, ...]
"""What a terminal offers: one of `joint_work.PLACES_ON_A_TERMINAL` for each wire."""


def places_of(unit: Unit, terminal: str, known: Mapping[str, Places]) -> Places | None:
    """The places on a terminal; None where nothing limits them, as on a lead that is spliced.

    `known`: places by terminal (`part.terminal`) that somebody has written down.
    """
    if terminal in known:
        return known[terminal]
    part, name = split_end(terminal)
    terminals = unit.kind_of(part).facet(Terminals)
    return terminals.places.get(name) if terminals else None


def seating(joints: Sequence[str | None], places: Places) -> dict[int, int]:
    """Which wire goes to which place, so that as few joints as can be are re-made.

    `joints`: of each wire the joint on its end, None where it may be of any sort.  The result
    has the index of the place by the index of the wire; a wire without a place is missing.
    """
    if not joints or not places:
        return {}
    work = [[bool(joint and work_for(joint, place)) for place in places] for joint in joints]
    rows, columns = linear_sum_assignment(np.array(work, float))
    return dict(zip(rows.tolist(), columns.tolist(), strict=True))
