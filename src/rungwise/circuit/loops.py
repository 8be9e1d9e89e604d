"""The compiled loops as Python calls them: arrays go over as their addresses and sizes.

Machine code takes an address on trust, and would read or write foreign memory where an array is of
another sort or size than it was made for, or where one that says places of another says a place
that is not there.  So each array is held against what its loop takes here, where its address is
taken; those of a plan, which are locked and serve all its rounds, once.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache, lru_cache
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from rungwise.circuit.kernel_arrays import (
    LANES,
    Base,
    Complexes,
    Found,
    Ints,
    Moving,
    Pattern,
    Ports,
    Reals,
    Scratch,
    Steps,
)
from rungwise.circuit.machine_code import Array, entry
from rungwise.errors import CircuitError

_STEPS = (
    "int nodes < nodes", "int nodes < slots", "int nodes+1 to links", "int links < nodes",
    "int links < slots", "int links < slots", "int links < slots", "int nodes+1 to couples",
    "int couples < slots",
)  # fmt: skip
_BASE = (
    "int slots < own or none", "complex slots", "complex own variants", "int chosen < variants",
)  # fmt: skip
_PORTS = ("int groups+1 to reach", "int reach < nodes")
_MOTORS = ("real 12 motors", "complex 6 motors", "real motors", "fill real motors")

TAKEN = {
    "solve_round": (
        *_STEPS, "int slots 2 < nodes or last none", "int groups 2 2 < nodes or none", *_PORTS,
        *_BASE, "int moved < slots", "complex moved chosen", "int sources < nodes",
        "complex sources chosen", "fill complex nodes+1 chosen", "fill complex groups 4 chosen",
        "fill real chosen",
    ),
    "see_ports": (
        *_STEPS, *_BASE, "int moved < slots", "complex moved chosen",
        "int groups ways 2 < nodes or none", *_PORTS, "fill complex groups chosen",
    ),
    "rest_speeds": _MOTORS,
    "torques_nm": _MOTORS,
}  # fmt: skip
"""Of each array of a loop the sort of its numbers and its sizes; what has one name is as long.

A loop fills an array with `fill`.  Places lie below the size behind `<`, and may be -1 for none
where that is said, of each row only the last where `last` is.  Starts rise from 0 `to` a size.
"""

OF_A_PLAN = {"solve_round": len(_STEPS) + 4, "see_ports": len(_STEPS)}
"""How many of the first arrays a plan makes once, for all rounds."""

KEPT = 64
"""Plans whose arrays are known to be right."""

SORTS = {
    "int": np.dtype(np.int64),
    "real": np.dtype(np.float64),
    "complex": np.dtype(np.complex128),
}


class _Taken(NamedTuple):
    """What stands in `TAKEN`, read; a size is a name and what comes to it."""

    row: str
    filled: bool
    sort: npt.DTypeLike
    sizes: tuple[tuple[str, int], ...]
    below: str
    none: str
    end: str


@cache
def _taken(loop: str) -> tuple[_Taken, ...]:
    return tuple(_read(row) for row in TAKEN[loop])


def _read(row: str) -> _Taken:
    rest, _, end = row.partition(" to ")
    rest, _, places = rest.partition(" < ")
    below, _, none = places.partition(" or ")
    *fill, sort = (word for word in rest.split() if word in {"fill", *SORTS})
    sizes = tuple(_size(size) for size in rest.split()[len(fill) + 1 :])
    return _Taken(row, bool(fill), SORTS[sort], sizes, below, none, end)


def _size(word: str) -> tuple[str, int]:
    name, _, more = word.partition("+")
    return ("", int(name)) if name.isdecimal() else (name, int(more or 0))


def solve_round(pattern: Pattern, base: Base, chosen: Ints, moving: Moving, found: Found) -> int:
    """Solve the `chosen` variants of a batch, into `found`.

    The step at which a node is tied to nothing, -1 where none is.
    """
    told = (*pattern.steps, pattern.between, *pattern.ports, *base, chosen, *moving, *found)
    return _called("solve_round", told, _scratch(base, pattern.steps))


def see_ports(
    steps: Steps, base: Base, chosen: Ints, moving: Moving, ports: Ports, found: Complexes
) -> int:
    """Volts across each port for 1 A through it, into `found` [ports, variants].

    As `solve_round`, the step of a loose node or -1.
    """
    told = (*steps, *base, chosen, moving.slot, moving.amount, *ports, found)
    return _called("see_ports", told, _scratch(base, steps))


def rest_speeds(numbers: Reals, phasors: Complexes, speed: Reals) -> Reals:
    """The signed speed that each rotor comes to from `speed`; of a `Drive`'s numbers."""
    found = np.empty(len(speed))
    _called("rest_speeds", (numbers, phasors, speed, found))
    return found


def torques_nm(numbers: Reals, phasors: Complexes, speed: Reals) -> Reals:
    """Torque in N·m of each drive at a signed speed."""
    found = np.empty(len(speed))
    _called("torques_nm", (numbers, phasors, speed, found))
    return found


def _called(name: str, arrays: Sequence[Array], scratch: Sequence[Array] = ()) -> int:
    # Held until the call is over: a copy that lies in a row would be gone while it is read.
    held = [*_guarded(name, arrays), *scratch]
    told = ((each.__array_interface__["data"][0], *each.shape, 0, 0, 0)[:4] for each in held)
    words = np.array([*told], dtype=np.int64)
    return int(entry(name)(words.__array_interface__["data"][0]))


def _guarded(name: str, arrays: Sequence[Array]) -> list[Array]:
    """The arrays row after row, once they are what the loop takes."""
    many = OF_A_PLAN.get(name, 0)
    plan, rest = arrays[:many], arrays[many:]
    locked = not any(each.flags.writeable for each in plan)
    known = _known(_Same(name, plan)) if locked else _held(name, plan)
    held = _Held(dict(known.sizes), dict(known.highest))
    for taken, array in zip(_taken(name)[many:], rest, strict=True):
        held.take(name, taken, array)
    held.close(name)
    return [np.ascontiguousarray(array) for array in arrays]


class _Same:
    """A plan's arrays, alike where they are the very same; kept, or others came to lie there."""

    def __init__(self, loop: str, arrays: Sequence[Array]) -> None:
        self.loop, self.arrays = loop, arrays
        self._key = (loop, *map(id, arrays))

    def __hash__(self) -> int:
        return hash(self._key)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and self._key == other._key


@lru_cache(maxsize=KEPT)
def _known(plan: _Same) -> _Held:
    return _held(plan.loop, plan.arrays)


def _held(name: str, plan: Sequence[Array]) -> _Held:
    held = _Held({"": 0}, {})
    for taken, array in zip(_taken(name), plan, strict=False):  # what is of the plan comes first
        held.take(name, taken, array)
    if plan:
        steps = Steps(*plan[: len(_STEPS)])
        # A step's pairs of neighbours are asked for by counting, not by where the next ones begin.
        if not np.array_equal(np.diff(steps.pairs_first), np.diff(steps.first) ** 2):
            raise CircuitError(f"the compiled loop {name} takes every pair of a step's neighbours")
    return held


class _Held(NamedTuple):
    """What is known of a call's arrays: the sizes by name, the highest place below each."""

    sizes: dict[str, int]
    highest: dict[str, int]

    def take(self, name: str, taken: _Taken, array: Array) -> None:
        """Raises CircuitError unless the array is what is taken."""
        if not (self._fits(taken, array) and self._leads(taken, array)):
            raise CircuitError(
                f"the compiled loop {name} takes {taken.row}; given was {array.dtype} "
                f"{array.shape}, strides {array.strides}, where {self.sizes}"
            )

    def _fits(self, taken: _Taken, array: Array) -> bool:
        if array.dtype != taken.sort or array.ndim != len(taken.sizes):
            return False
        for length, (word, more) in zip(array.shape, taken.sizes, strict=True):
            if self.sizes.setdefault(word, length - more) + more != length:
                return False
        # A copy of what is filled would be filled, and let go.
        return not taken.filled or (array.flags.c_contiguous and array.flags.writeable)

    def _leads(self, taken: _Taken, array: Array) -> bool:
        """Whether it leads to places that are there; how high it goes is kept for `close`."""
        if taken.end:
            rises = array[0] == 0 and (array[1:] >= array[:-1]).all()
            return bool(rises and self.sizes.setdefault(taken.end, int(array[-1])) == array[-1])
        if not taken.below or not array.size:
            return True
        if not taken.none:  # what is below 0 is far above every size, as a number without a sign
            self._goes(taken.below, array.view(np.uint64).max())
            return True
        self._goes(taken.below, array.max())
        whole = array[..., :-1] if taken.none == "last none" else array[..., :0]
        return bool(array.min() >= -1 and (whole >= 0).all())

    def _goes(self, below: str, to: int) -> None:
        self.highest[below] = max(self.highest.get(below, -1), int(to))

    def close(self, name: str) -> None:
        """Raises CircuitError where some array leads further than another reaches."""
        for below, most in self.highest.items():
            if most >= self.sizes[below]:
                raise CircuitError(
                    f"the compiled loop {name} takes places below {self.sizes[below]} {below}; "
                    f"given was {most}"
                )


def _scratch(base: Base, steps: Steps) -> Scratch:
    slots, nodes = len(base.row), len(steps.node)
    return Scratch(
        np.empty(LANES, dtype=np.int64),
        np.empty(slots, dtype=np.bool_),
        np.empty((slots, 2, LANES)),
        np.empty((1, slots), dtype=np.bool_),
        np.empty((1, slots, 2, LANES)),
        np.empty((1, nodes, 2, LANES)),
        np.zeros((nodes + 1, 2, LANES)),
        np.zeros((nodes + 1, 2, LANES)),
    )
