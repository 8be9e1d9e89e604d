"""The numbers of many variants of one unit: parameters that differ, and states."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

import numpy as np
import numpy.typing as npt

from rungwise.circuit.condition import Condition
from rungwise.circuit.netlist import Key, Plan
from rungwise.errors import UnknownName
from rungwise.parts import Control, Defrosts, FloatArray

BoolArray = npt.NDArray[np.bool_]
IndexArray = npt.NDArray[np.intp]
Rows = IndexArray | slice
"""Some variants of a batch, by number or from one to another."""


BLOCK = 16384
"""Variants that are worked at once: wide enough that a numpy call pays, and few enough that their
volts are some tens of megabytes."""


def blocks(size: int) -> list[IndexArray]:
    """The variants of a batch in even blocks of at most `BLOCK`."""
    return np.array_split(np.arange(size), max(1, -(-size // BLOCK)))


class Batch:
    """`size` variants of a plan under one condition.

    `values` overrides parameters by (block, name), each an array of shape [size] or a scalar;
    `states` holds the states likewise.
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
        self.values = values if isinstance(values, Taken) else dict(values)
        self.states = dict(states)

    @classmethod
    def under(
        cls, plan: Plan, condition: Condition, size: int, values: Mapping[Key, FloatArray]
    ) -> Batch:
        """The variants as the condition first finds them, before anything has switched.

        Raises UnknownName for a demand that the unit cannot be asked for.
        """
        energized = _energized(plan, condition)
        states = {key: _first(plan, condition, energized, key, size) for key in plan.states}
        lifted = {
            (wire, f"lifted_{end}"): np.asarray(1.0) for wire, end in sorted(condition.leads_off)
        }
        return cls(plan, size, {**values, **lifted} if lifted else values, states)

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
        found = self.states.get(key)
        if found is None:
            found = self.values.get(key)
        return self.plan.defaults[key] if found is None else found

    def with_values(self, values: Mapping[Key, FloatArray]) -> Batch:
        """The same states on other values."""
        return Batch(self.plan, self.size, values, self.states)

    def with_rows(self, rows: IndexArray, part: Batch) -> Batch:
        """The same with the states of some variants (`rows`) as they are in `part`."""
        states = {key: _laid_in(held, rows, part.states[key]) for key, held in self.states.items()}
        return Batch(self.plan, self.size, self.values, states)

    def take(self, index: Rows) -> Batch:
        """Only the variants in `index`."""
        return Batch(
            self.plan,
            len(range(*index.indices(self.size))) if isinstance(index, slice) else len(index),
            Taken(self.values, index),
            {key: _take(array, index) for key, array in self.states.items()},
        )


class Taken(Mapping[Key, FloatArray]):
    """Values of some variants, taken when they are asked for: a solution asks for a tenth."""

    def __init__(self, whole: Mapping[Key, FloatArray], index: Rows) -> None:
        self._whole = whole
        self._index = index
        self._held: dict[Key, FloatArray] = {}

    def __getitem__(self, key: Key) -> FloatArray:
        found = self.get(key)
        if found is None:
            raise KeyError(key)
        return found

    def get(self, key: Key, default: FloatArray | None = None) -> FloatArray | None:  # type: ignore[override]  # of arrays alone
        """As a dictionary's: asked for so often that what `Mapping` makes of it is too slow."""
        found = self._held.get(key)
        if found is None:
            whole = self._whole.get(key)
            if whole is None:
                return default
            found = self._held[key] = _take(whole, self._index)
        return found

    def __contains__(self, key: object) -> bool:
        return key in self._whole

    def __iter__(self) -> Iterator[Key]:
        return iter(self._whole)

    def __len__(self) -> int:
        return len(self._whole)


class BlockView:
    """Parameters and states of one block, by name (an element's `Lookup`)."""

    __slots__ = ("_batch", "_block")

    def __init__(self, batch: Batch, block: str) -> None:
        self._batch = batch
        self._block = block

    def __getitem__(self, name: str) -> FloatArray:
        return self._batch.number((self._block, name))


def _take(array: FloatArray, index: Rows) -> FloatArray:
    return array[index] if array.ndim else array


def _laid_in(held: FloatArray, rows: IndexArray, part: FloatArray) -> FloatArray:
    """A copy with some numbers replaced: what no rule moves is one number, in both the same."""
    if not held.ndim:
        return held
    made = held.copy()
    made[rows] = part
    return made


def _energized(plan: Plan, condition: Condition) -> frozenset[Key]:
    """The states of the unit's controls that the condition's demand sets.

    Raises UnknownName for a demand that none of them has, and for a defrost that none runs.
    """
    controls = plan.unit.having(Control)
    known = dict.fromkeys(name for _, control in controls for name in control.demands)
    if controls and condition.demand not in known:
        raise UnknownName(
            what="This unit cannot be asked for that.", name=condition.demand, known=known
        )
    found = {
        (part.name, control.states[terminal])
        for part, control in controls
        if condition.demand in control.demands
        for terminal in control.demands[condition.demand].energizes
    }
    if condition.defrosts:
        boards = plan.unit.having(Defrosts)
        found |= {(part.name, board.due) for part, board in boards}
        if not boards:
            raise UnknownName(what="No part of this unit does that.", name="defrost", known=known)
    return frozenset(found)


def _first(
    plan: Plan, condition: Condition, energized: Collection[Key], key: Key, size: int
) -> FloatArray:
    state = plan.states[key]
    match state.driver:
        case "position":
            return np.asarray(float(condition.positions.get(key[0], state.start)))
        case "demand":
            return np.asarray(float(key in energized))
        case "ambient":
            return np.asarray(float(condition.ambient_c))
        case _:
            return np.full(size, state.start)
