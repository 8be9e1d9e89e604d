"""The numbers of many variants of one unit: parameters that differ, and states."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import numpy.typing as npt

from rungwise.circuit.condition import Condition
from rungwise.circuit.plan import Key, Plan
from rungwise.unit.element import FloatArray

BoolArray = npt.NDArray[np.bool_]
IndexArray = npt.NDArray[np.intp]


class Batch:
    """``size`` variants of a plan under one condition.

    ``values`` overrides parameters by (block, name), each an array of shape [size] or a scalar;
    ``states`` holds the states likewise.
    """

    def __init__(
        self,
        plan: Plan,
        size: int,
        values: Mapping[Key, FloatArray],
        states: Mapping[Key, FloatArray],
    ) -> None:
        self.plan = plan
        self.size = size
        self.values = dict(values)
        self.states = dict(states)

    @classmethod
    def under(
        cls, plan: Plan, condition: Condition, size: int, values: Mapping[Key, FloatArray]
    ) -> Batch:
        """The variants as the condition first finds them, before anything has switched."""
        states = {key: _first(plan, condition, key, size) for key in plan.states}
        lifted = {
            (wire, f"lifted_{end}"): np.asarray(1.0) for wire, end in sorted(condition.leads_off)
        }
        return cls(plan, size, {**values, **lifted}, states)

    def go_on_from(self, earlier: Batch) -> None:
        """Take over the states that rules change: blown, tripped, pulled in, turning."""
        for key, state in self.plan.states.items():
            if state.driver == "rule":
                self.states[key] = earlier.states[key].copy()

    def view(self, block: str) -> BlockView:
        """Lookup of one block's parameters and states."""
        return BlockView(self, block)

    def number(self, key: Key) -> FloatArray:
        """A state or parameter by (block, name)."""
        if key in self.states:
            return self.states[key]
        found = self.values.get(key)
        return self.plan.defaults[key] if found is None else found

    def take(self, index: IndexArray) -> Batch:
        """Only the variants in ``index``."""
        return Batch(
            self.plan,
            len(index),
            {key: _take(array, index) for key, array in self.values.items()},
            {key: _take(array, index) for key, array in self.states.items()},
        )


class BlockView:
    """Parameters and states of one block, by name (an element's ``Lookup``)."""

    __slots__ = ("_batch", "_block")

    def __init__(self, batch: Batch, block: str) -> None:
        self._batch = batch
        self._block = block

    def __getitem__(self, name: str) -> FloatArray:
        return self._batch.number((self._block, name))


def _take(array: FloatArray, index: IndexArray) -> FloatArray:
    return array[index] if array.ndim else array


def _first(plan: Plan, condition: Condition, key: Key, size: int) -> FloatArray:
    state = plan.states[key]
    match state.driver:
        case "position":
            return np.asarray(float(condition.positions.get(key[0], state.start)))
        case "call_cool":
            return np.asarray(float(condition.call == "cool"))
        case "call_fan":
            return np.asarray(float(condition.call in ("cool", "fan")))
        case "ambient":
            return np.asarray(float(condition.ambient_c))
        case _:
            return np.full(size, state.start)
