"""Variants of one unit as edits of its parameters, gathered into arrays for one solve."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from rungwise.circuit import Key, Plan
from rungwise.parts import FloatArray

Edits = Mapping[Key, float]
"""Parameters set to numbers, by (block, parameter)."""

HOUSE_LOADS = ("house_l1_ohm", "house_l2_ohm", "house_240_ohm")
NOTHING_RUNS_OHM = 1e6

NO_EDITS: Edits = {}
"""A variant that differs in nothing."""


def batch_values(plan: Plan, base: Edits, edits: Sequence[Edits]) -> dict[Key, FloatArray]:
    """Arrays of shape [len(edits)]: `base` everywhere, each variant's own edits over it.

    Nothing else runs in the house: no proof may rest on volts that come through its loads.
    """
    quiet = {key: NOTHING_RUNS_OHM for key in plan.defaults if key[1] in HOUSE_LOADS}
    made = {key: np.asarray(value) for key, value in {**quiet, **base}.items()}
    for key in dict.fromkeys(key for edit in edits for key in edit):
        start = base.get(key, float(plan.defaults[key]))
        made[key] = np.array([edit.get(key, start) for edit in edits])
    return made
