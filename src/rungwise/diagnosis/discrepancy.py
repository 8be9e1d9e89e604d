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

__all__ = ["DISCREPANCY", "Discrepancy", "discrepancies"]


@dataclass(frozen=True, slots=True)
class Discrepancy:
    """own: of each reading by itself. shared: of all readings of the quantity together.

    offset: in the check's unit, such as the ohms of the meter's leads and of the grip on a lug.
    """

    own: float
    shared: float = 0.0
    offset: float = 0.0


DISCREPANCY = {
    "volts": Discrepancy(0.010),
    "ghost": Discrepancy(3.0),
    "drop": Discrepancy(0.40, 0.15),
    "amps": Discrepancy(0.06, 0.05),
    "inrush": Discrepancy(0.12, 0.08),
    "ohms": Discrepancy(0.03, 0.02, 0.15),
    "megohms": Discrepancy(0.6, 0.3),
    "microfarads": Discrepancy(0.02, 0.01),
}
"""By `CheckCard.quantity`; a reading of another kind has none."""


def discrepancies(cards: Sequence[CheckCard]) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Own deviation [M], shared deviations [M, families] and offset [M] of every check."""
    families = tuple(DISCREPANCY)
    own, offset = np.zeros(len(cards)), np.zeros(len(cards))
    shared = np.zeros((len(cards), len(families)))
    for at, card in enumerate(cards):
        known = DISCREPANCY.get(card.quantity)
        if known is not None:
            own[at], offset[at] = known.own, known.offset
            shared[at, families.index(card.quantity)] = known.shared
    return own, shared[:, shared.any(axis=0)], offset
