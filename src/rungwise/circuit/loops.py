"""The compiled loops as Python calls them: arrays go over as their addresses and sizes.

Machine code takes an address on trust, and would read or write foreign memory where an array is of
another sort or size than it was made for.  So each array is held against what its loop takes here,
where its address is taken.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
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
    "int nodes", "int nodes", "int nodes+1", "int links", "int links", "int links", "int links",
    "int nodes+1", "int couples",
)  # fmt: skip
_BASE = ("int slots", "complex slots", "complex own variants", "int chosen < variants")
_MOTORS = ("real 12 motors", "complex 6 motors", "real motors", "fill real motors")

TAKEN = {
    "solve_round": (
        *_STEPS, "int slots 2", "int groups 2 2", "int groups+1", "int reach", *_BASE,
        "int moved < slots", "complex moved chosen", "int sources < nodes",
        "complex sources chosen", "fill complex nodes+1 chosen", "fill complex groups 4 chosen",
        "fill real chosen",
    ),
    "see_ports": (
        *_STEPS, *_BASE, "int moved < slots", "complex moved chosen", "int groups ways 2",
        "int groups+1", "int reach", "fill complex groups chosen",
    ),
    "rest_speeds": _MOTORS,
    "torques_nm": _MOTORS,
}  # fmt: skip
"""Of each array of a loop the sort of its numbers and its sizes; what has one name is as long.

A loop fills an array with `fill`; indices lie below the size behind `<`.
"""

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


@cache
def _taken(loop: str) -> tuple[_Taken, ...]:
    return tuple(_read(row) for row in TAKEN[loop])


def _read(row: str) -> _Taken:
    words, _, below = row.partition(" < ")
    *fill, sort = (word for word in words.split() if word in {"fill", *SORTS})
    sizes = words.split()[len(fill) + 1 :]
    return _Taken(row, bool(fill), SORTS[sort], tuple(_size(size) for size in sizes), below)


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
    sizes, lain = {"": 0}, []
    for taken, array in zip(_taken(name), arrays, strict=True):
        if not _fits(taken, array, sizes):
            raise CircuitError(
                f"the compiled loop {name} takes {taken.row}; given was {array.dtype} "
                f"{array.shape}, strides {array.strides}, where {sizes}"
            )
        lain.append(np.ascontiguousarray(array))
    return lain


def _fits(taken: _Taken, array: Array, sizes: dict[str, int]) -> bool:
    """Whether an array is what is taken; sizes that were not known yet are kept in `sizes`."""
    if array.dtype != taken.sort or array.ndim != len(taken.sizes):
        return False
    for length, (word, more) in zip(array.shape, taken.sizes, strict=True):
        if sizes.setdefault(word, length - more) + more != length:
            return False
    if taken.filled:  # a copy of it would be filled, and let go
        return array.flags.c_contiguous and array.flags.writeable
    if taken.below and array.size:
        return bool(array.min() >= 0 and array.max() < sizes[taken.below])
    return True


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
