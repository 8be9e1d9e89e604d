"""Variants of one unit as edits of its parameters, gathered into arrays for one solve."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
import numpy.typing as npt

from rungwise.circuit.plan import Key, Plan
from rungwise.errors import UnknownName
from rungwise.unit.element import FloatArray

Edits = Mapping[Key, float]
"""Parameters set to numbers, by (block, parameter)."""

HOUSE_LOADS = ("house_l1_ohm", "house_l2_ohm", "house_240_ohm")
NOTHING_RUNS_OHM = 1e6

NO_EDITS: Edits = {}
"""A variant that differs in nothing."""


def checked_edits(plan: Plan, values: Mapping[Key, float | FloatArray] | None) -> dict[Key, float]:
    """``values`` as plain numbers, each a parameter that the unit has.

    Raises UnknownName for a block or a parameter that the unit does not have.
    """
    found: dict[Key, float] = {}
    for key, value in (values or {}).items():
        if key not in plan.defaults:
            known = sorted(".".join(each) for each in plan.defaults)
            raise UnknownName(
                what="This unit has no such parameter.", name=".".join(key), known=known
            )
        found[key] = _number(value)
    return found


def _number(value: float | FloatArray) -> float:
    numbers: npt.NDArray[np.float64] = np.asarray(value, dtype=float)
    return float(numbers.reshape(-1)[0])


def batch_values(plan: Plan, base: Edits, edits: Sequence[Edits]) -> dict[Key, FloatArray]:
    """Arrays of shape [len(edits)]: ``base`` everywhere, each variant's own edits over it.

    Nothing else runs in the house: no proof may rest on volts that come through its loads.
    """
    quiet = {key: NOTHING_RUNS_OHM for key in plan.defaults if key[1] in HOUSE_LOADS}
    made = {key: np.asarray(value) for key, value in {**quiet, **base}.items()}
    for key in dict.fromkeys(key for edit in edits for key in edit):
        start = base.get(key, float(plan.defaults[key]))
        made[key] = np.array([edit.get(key, start) for edit in edits])
    return made
