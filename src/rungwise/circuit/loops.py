"""The compiled loops as Python calls them: arrays go over as their addresses and sizes."""

from __future__ import annotations

import numpy as np

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

__all__ = ["rest_speeds", "see_ports", "solve_round", "torques_nm"]


def solve_round(pattern: Pattern, base: Base, chosen: Ints, moving: Moving, found: Found) -> int:
    """Solve the `chosen` variants of a batch, into `found`.

    The step at which a node is tied to nothing, -1 where none is.
    """
    told = (*pattern.steps, pattern.between, *pattern.ports, *base, chosen, *moving, *found)
    return _called("solve_round", (*told, *_scratch(base, pattern.steps)))


def see_ports(
    steps: Steps, base: Base, chosen: Ints, moving: Moving, ports: Ports, found: Complexes
) -> int:
    """Volts across each port for 1 A through it, into `found` [ports, variants].

    As `solve_round`, the step of a loose node or -1.
    """
    told = (*steps, *base, chosen, moving.slot, moving.amount, *ports, found)
    return _called("see_ports", (*told, *_scratch(base, steps)))


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


def _called(name: str, arrays: tuple[Array, ...]) -> int:
    # Held until the call is over: a copy that lies in a row would be gone while it is read.
    held = [np.ascontiguousarray(each) if each.ndim else each for each in arrays]
    words = np.zeros((len(held), 4), dtype=np.int64)
    for row, each in zip(words, held, strict=True):
        row[0] = each.__array_interface__["data"][0]
        row[1 : 1 + min(each.ndim, 3)] = each.shape[:3]
    return int(entry(name)(words.__array_interface__["data"][0]))


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
