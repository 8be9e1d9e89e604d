"""Many conditions solved as one batch: a condition differs from another in numbers only.

A batch of twenty costs little more than a batch of one, so the situations of a unit are laid
beside one another as variants instead of being solved in turn.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from rungwise.circuit.batch import Batch
from rungwise.circuit.condition import Condition
from rungwise.circuit.netlist import Key, Plan
from rungwise.circuit.operating_point import Settling, horizon_s
from rungwise.circuit.solution import Solution
from rungwise.parts import FloatArray


class Asked(NamedTuple):
    """A condition, and the parameters that it sets for all variants alike."""

    condition: Condition
    values: Mapping[Key, FloatArray]


def solve_together(
    plan: Plan,
    asked: Sequence[Asked],
    values: Mapping[Key, FloatArray] | None = None,
    size: int = 1,
) -> list[Solution]:
    """The solution of `size` variants in each condition, as `solve` would give them one by one.

    `values` overrides parameters by (block, name), arrays of shape [size] or scalars; a
    condition's own values go before them.  Raises as `solve`.
    """
    whole = solve_whole(plan, asked, values, size)
    columns = np.arange(size * len(asked)).reshape(len(asked), size)
    return [
        replace(whole.take(index), condition=each.condition)
        for each, index in zip(asked, columns, strict=True)
    ]


def solve_whole(
    plan: Plan,
    asked: Sequence[Asked],
    values: Mapping[Key, FloatArray] | None = None,
    size: int = 1,
) -> Solution:
    """As `solve_together`, without taking the conditions apart again.

    The variants of the first condition come first; the solution's own `condition` is that one.
    """
    parts = [
        Batch.under(plan, each.condition, size, {**(values or {}), **each.values}) for each in asked
    ]
    joined = _joined(plan, parts)
    settling = Settling(plan, asked[0].condition, {}, joined.size, joined)
    settling.horizon_s = np.repeat([horizon_s(each.condition) for each in asked], size)
    return settling.run()


def _joined(plan: Plan, parts: Sequence[Batch]) -> Batch:
    """The batches laid end to end; what is the same in all of them stays one number."""
    keys = {key for part in parts for key in part.values}
    values = {key: _laid([part.number(key) for part in parts], parts[0].size) for key in keys}
    states = {
        key: np.concatenate([np.broadcast_to(part.states[key], (part.size,)) for part in parts])
        for key in plan.states
    }
    return Batch(plan, sum(part.size for part in parts), values, states)


def _laid(arrays: Sequence[FloatArray], size: int) -> FloatArray:
    if all(array.ndim == 0 and array == arrays[0] for array in arrays):
        return arrays[0]
    return np.concatenate([np.broadcast_to(array, (size,)) for array in arrays])
