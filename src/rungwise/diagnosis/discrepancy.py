"""How far a reading may lie from the model of it on a unit that is built just as the model says.

The model leaves things out: a motor is no textbook machine, a joint warms up, a lead picks up
volts.  That error belongs to the kind of reading, and is the same under every suspect, so that
what no suspect explains speaks for none of them.  All are standard deviations on the scale of
`scale.ReadingScale`, where 0.1 is a tenth of a reading; common practice, no source, except where
a figure is named.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from rungwise.diagnosis.arrays import FloatArray
from rungwise.diagnosis.fault_table import CheckCard


@dataclass(frozen=True, slots=True)
class Discrepancy:
    """own: of each reading by itself. shared: of all readings of the quantity together.

    offset: in the check's unit, such as the ohms of the meter's leads and of the grip on a lug.
    leaky: own deviation of readings of `LEAKAGE_OHM` and more: what insulation, moisture and dirt
    let through differs from unit to unit by factors.
    """

    own: float
    shared: float = 0.0
    offset: float = 0.0
    leaky: float = 0.0


DISCREPANCY = {
    "volts": Discrepancy(0.008, 0.01),
    "sag": Discrepancy(0.03, 0.015),
    "ghost": Discrepancy(3.0),
    "drop": Discrepancy(0.40, 0.15),
    "leg_drop": Discrepancy(0.40, 0.15),
    "amps": Discrepancy(0.07, 0.07),
    "held_amps": Discrepancy(0.30, 0.20),
    "winding_amps": Discrepancy(0.35, 0.25),
    "inrush": Discrepancy(0.22, 0.12),
    "ohms": Discrepancy(0.03, 0.02, 0.2, leaky=1.5),
    "megohms": Discrepancy(0.6, 0.3),
    "microfarads": Discrepancy(0.02, 0.01),
}
"""By `CheckCard.quantity`; a reading of another kind has none."""


LEAKAGE_OHM = 1e5


def shared_deviations(cards: Sequence[CheckCard]) -> FloatArray:
    """What the model gets wrong in all readings of a quantity together, float [M, families]."""
    families = tuple(DISCREPANCY)
    shared = np.zeros((len(cards), len(families)))
    for at, card in enumerate(cards):
        if card.quantity in DISCREPANCY:
            shared[at, families.index(card.quantity)] = DISCREPANCY[card.quantity].shared
    return np.asarray(shared[:, shared.any(axis=0)])


def own_variance(
    cards: Sequence[CheckCard], reading: FloatArray, stretch: FloatArray
) -> FloatArray:
    """Variance on the scale of each reading by itself, float [N, M].

    reading, stretch: float [N, M], in the checks' units, and dz/dy there.
    """
    none = Discrepancy(0.0)
    known = [DISCREPANCY.get(card.quantity, none) for card in cards]
    own, offset, leaky = (
        np.array([getattr(each, name) for each in known]) for name in ("own", "offset", "leaky")
    )
    # From a tenth of the limit on the wider deviation grows in; a jump would favor one side.
    share = np.clip(np.log10(np.maximum(reading, 1.0) / LEAKAGE_OHM) + 1.0, 0.0, 1.0)
    return np.asarray(own**2 + (offset * stretch) ** 2 + (leaky * share) ** 2)
