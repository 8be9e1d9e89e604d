"""The compiled loops that are kept as machine code, each as it is called from outside.

An entry gets one array of whole numbers: of each array that it works on the address and up to
three sizes, in the order in which `loops` lays them down.  So the machine code asks nothing of
Python, and is called without loading what compiled it.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
from numba import carray, types  # type: ignore[attr-defined]  # it gives carray all the same

from rungwise.circuit.elimination_kernel import INNER, see_ports, solve_round
from rungwise.circuit.kernel_arrays import (
    LANES,
    Base,
    Complexes,
    Found,
    Held,
    Ints,
    Moving,
    Pattern,
    Ports,
    Reals,
    Scratch,
    Steps,
)
from rungwise.circuit.lanes import compiled
from rungwise.circuit.motion_kernel import rest, torque

ADDRESS: Any = types.CPointer
SIGNATURE = types.int64(ADDRESS(types.int64))


@compiled
def _pointer(_context: Any, address: Any, sort: Any) -> Any:
    """An address as that of numbers of a sort."""
    to = ADDRESS(sort.instance_type)

    def code(context: Any, builder: Any, _signature: Any, args: Any) -> Any:
        return builder.inttoptr(args[0], context.get_value_type(to))

    return to(address, sort), code


@INNER
def _ints(w: Ints, k: int) -> Ints:
    return carray(_pointer(w[4 * k], np.int64), (w[4 * k + 1],))


@INNER
def _pairs(w: Ints, k: int) -> Ints:
    return carray(_pointer(w[4 * k], np.int64), (w[4 * k + 1], w[4 * k + 2]))


@INNER
def _groups(w: Ints, k: int) -> Ints:
    return carray(_pointer(w[4 * k], np.int64), (w[4 * k + 1], w[4 * k + 2], w[4 * k + 3]))


@INNER
def _flags(w: Ints, k: int) -> Held:
    return carray(_pointer(w[4 * k], np.bool_), (w[4 * k + 1],))


@INNER
def _reals(w: Ints, k: int) -> Reals:
    return carray(_pointer(w[4 * k], np.float64), (w[4 * k + 1],))


@INNER
def _real_rows(w: Ints, k: int) -> Reals:
    return carray(_pointer(w[4 * k], np.float64), (w[4 * k + 1], w[4 * k + 2]))


@INNER
def _complexes(w: Ints, k: int) -> Complexes:
    return carray(_pointer(w[4 * k], np.complex128), (w[4 * k + 1],))


@INNER
def _complex_rows(w: Ints, k: int) -> Complexes:
    return carray(_pointer(w[4 * k], np.complex128), (w[4 * k + 1], w[4 * k + 2]))


@INNER
def _complex_groups(w: Ints, k: int) -> Complexes:
    sizes = (w[4 * k + 1], w[4 * k + 2], w[4 * k + 3])
    return carray(_pointer(w[4 * k], np.complex128), sizes)


@INNER
def _steps(w: Ints) -> Steps:
    return Steps(
        _ints(w, 0), _ints(w, 1), _ints(w, 2), _ints(w, 3), _ints(w, 4),
        _ints(w, 5), _ints(w, 6), _ints(w, 7), _ints(w, 8),
    )  # fmt: skip


@INNER
def _scratch(w: Ints, k: int, slots: int, nodes: int) -> Scratch:
    return Scratch(
        _ints(w, k),
        _flags(w, k + 1),
        carray(_pointer(w[4 * k + 8], np.float64), (slots, 2, LANES)),
        carray(_pointer(w[4 * k + 12], np.bool_), (1, slots)),
        carray(_pointer(w[4 * k + 16], np.float64), (1, slots, 2, LANES)),
        carray(_pointer(w[4 * k + 20], np.float64), (1, nodes, 2, LANES)),
        carray(_pointer(w[4 * k + 24], np.float64), (nodes + 1, 2, LANES)),
        carray(_pointer(w[4 * k + 28], np.float64), (nodes + 1, 2, LANES)),
    )


def _solve_round(w: Ints) -> int:
    steps = _steps(w)
    pattern = Pattern(steps, _pairs(w, 9), Ports(_groups(w, 10), _ints(w, 11), _ints(w, 12)))
    base = Base(_ints(w, 13), _complexes(w, 14), _complex_rows(w, 15))
    moving = Moving(_ints(w, 17), _complex_rows(w, 18), _ints(w, 19), _complex_rows(w, 20))
    found = Found(_complex_rows(w, 21), _complex_groups(w, 22), _reals(w, 23))
    scratch = _scratch(w, 24, len(base.row), len(steps.node))
    return int(solve_round(pattern, base, _ints(w, 16), moving, found, scratch))


def _see_ports(w: Ints) -> int:
    steps = _steps(w)
    base = Base(_ints(w, 9), _complexes(w, 10), _complex_rows(w, 11))
    moving = Moving(_ints(w, 13), _complex_rows(w, 14), _ints(w, 13), _complex_rows(w, 14))
    ports = Ports(_groups(w, 15), _ints(w, 16), _ints(w, 17))
    found, scratch = _complex_rows(w, 18), _scratch(w, 19, len(base.row), len(steps.node))
    return int(see_ports(steps, base, _ints(w, 12), moving, ports, found, scratch))


def _rest_speeds(w: Ints) -> int:
    numbers, phasors = _real_rows(w, 0), _complex_rows(w, 1)
    speed, found = _reals(w, 2), _reals(w, 3)
    for v in range(len(speed)):
        found[v] = rest(numbers[:, v], phasors[:, v], speed[v])
    return 0


def _torques_nm(w: Ints) -> int:
    numbers, phasors = _real_rows(w, 0), _complex_rows(w, 1)
    speed, found = _reals(w, 2), _reals(w, 3)
    for v in range(len(speed)):
        found[v] = torque(numbers[:, v], phasors[:, v], speed[v])
    return 0


ENTRIES: dict[str, Callable[[Ints], int]] = {
    "solve_round": _solve_round,
    "see_ports": _see_ports,
    "rest_speeds": _rest_speeds,
    "torques_nm": _torques_nm,
}
"""By the name that `loops` calls them."""
