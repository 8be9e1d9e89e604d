"""The arrays that compiled loops work on, told apart by name.

Variants go through the steps in blocks of `LANES`, and numbers lie as [rows, 2, LANES]: a row for
each slot or node, its real parts beside one another and then its imaginary ones.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

LANES = 16
"""Variants that go through the steps together: 400 slots of them are 100 kB."""

Ints = npt.NDArray[np.int64]
Held = npt.NDArray[np.bool_]
Reals = npt.NDArray[np.float64]
Complexes = npt.NDArray[np.complex128]


class Steps(NamedTuple):
    """The elimination order as flat arrays; see the module."""

    node: Ints
    earth: Ints
    first: Ints
    neighbour: Ints
    into: Ints
    out: Ints
    earth_into: Ints
    pairs_first: Ints
    pairs: Ints


class Eliminated(NamedTuple):
    """Numbers [blocks, slots or steps, 2, LANES] on their way through the elimination.

    Afterwards `work` holds a step's factors in its `into` slots and its row in its `out` slots,
    `inverse` one over the sum of each row. held [blocks, slots].
    """

    steps: Steps
    held: Held
    work: Reals
    inverse: Reals


class Base(NamedTuple):
    """What stays of a batch's network: the entry of each slot, alike in all variants or in a row.

    row [slots]: the row of `rows` [some, variants] with a slot, -1 where `alike` [slots] has it.
    """

    row: Ints
    alike: Complexes
    rows: Complexes


class Moving(NamedTuple):
    """What comes to the base in a round: amounts [some slots, chosen] in these slots.

    Also the amps [sources, chosen] that flow into the nodes `source`.
    """

    slot: Ints
    amount: Complexes
    source: Ints
    amp: Complexes


class Ports(NamedTuple):
    """Ports by their nodes, so many at a time: pair [groups, ports, 2], earth -1.

    The steps above group p are `reach[first[p] : first[p + 1]]`.
    """

    pair: Ints
    first: Ints
    reach: Ints


class Found(NamedTuple):
    """What a round fills in.

    volts [nodes + 1, chosen]. seen [pairs of ports, 4, chosen]: the volts across the two ports of
    each pair for 1 A through the first, then for 1 A through the second. worst_square [chosen]: of
    the most by which a node's amps do not balance, the square.
    """

    volts: Complexes
    seen: Complexes
    worst_square: Reals


class Pattern(NamedTuple):
    """The elimination order, the nodes between which each slot lies, and the ports asked for."""

    steps: Steps
    between: Ints
    ports: Ports


class Scratch(NamedTuple):
    """Room to work in, of one block of variants: entries, their elimination, amps and volts.

    some [LANES]: the block's variants. given_held [slots] and given [slots, 2, LANES]: the entries
    as they are. held [1, slots], work [1, slots, 2, LANES], inverse [1, nodes, 2, LANES]: as in
    `Eliminated`. amps, volts [nodes + 1, 2, LANES].
    """

    some: Ints
    given_held: Held
    given: Reals
    held: Held
    work: Reals
    inverse: Reals
    amps: Reals
    volts: Reals
