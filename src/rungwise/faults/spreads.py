"""In what good specimens of a unit differ, and how a batch of specimens is laid out.

A spread is one thing that may be other than the plan's default: one parameter of one block,
with those that move with it.  In a specimen it stands at `z` standard deviations, and each of
its parameters at `default · exp(sd · z)`.  What a unit file tells lies closer than what it
leaves open.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from statistics import NormalDist

import numpy as np
import numpy.typing as npt

from rungwise.circuit import Key, Plan
from rungwise.parts import FloatArray, Parameter
from rungwise.unit import Block

NORMAL = NormalDist()

SPREAD_LIMIT = 2.5
"""Spreads are drawn normal, cut at this many standard deviations."""


@dataclass(frozen=True, slots=True)
class Spread:
    """One thing in which good specimens differ.

    name: `block.parameter`. keys: its parameters with their standard deviations (of the
    logarithm). learned: whether a call's readings narrow it. other, share: a value of another
    sort that its first parameter may have instead, and the chance of it. common: whether every
    part of the kind has it alike.
    """

    name: str
    keys: tuple[tuple[Key, float], ...]
    learned: bool
    other: float = 0.0
    share: float = 0.0
    common: bool = False

    @property
    def other_below(self) -> float:
        """Standard deviations below which a specimen has the value of the other sort."""
        return NORMAL.inv_cdf(self.share) if self.share > 0.0 else -math.inf

    @property
    def block(self) -> str:
        """The part or wire that it is of."""
        return self.keys[0][0][0]

    @property
    def parameter(self) -> str:
        """The first of its parameters."""
        return self.keys[0][0][1]


def spreads_of(plan: Plan) -> tuple[Spread, ...]:
    """Every spread of a unit's blocks, those that are learned first."""
    made: dict[tuple[str, str], Spread] = {}
    for block in plan.blocks.values():
        for each in _of_block(block):
            # What two parts of a kind have in common is one unknown, under the first one's name.
            place = (block.kind.name if each.common else block.name, each.parameter)
            first = made.get(place)
            made[place] = each if first is None else replace(first, keys=first.keys + each.keys)
    return tuple(sorted(made.values(), key=lambda each: not each.learned))


def _of_block(block: Block) -> Iterator[Spread]:
    spreading = {p.name: p for p in block.kind.parameters if _sd(block, p) > 0.0}
    for parameter in block.kind.parameters:
        if parameter.other_share and parameter.name not in block.values:
            key, name = (block.name, parameter.name), f"{block.name}.{parameter.name}"
            yield Spread(name, ((key, 0.0),), False, parameter.other, parameter.other_share)
    for parameter in spreading.values():
        if parameter.moves_with in spreading:
            continue
        moved = [p for p in spreading.values() if p.moves_with == parameter.name]
        keys = tuple(((block.name, p.name), _sd(block, p)) for p in (parameter, *moved))
        yield Spread(
            f"{block.name}.{parameter.name}", keys, parameter.learned, common=parameter.common
        )


def _sd(block: Block, parameter: Parameter) -> float:
    """Standard deviation of the logarithm of one parameter."""
    return 0.5 * parameter.spread(told=parameter.name in block.values)


@dataclass(frozen=True, slots=True, eq=False)
class Layout:
    """How the specimens of every suspect are laid out: the same for all, so that comparing
    suspects does not compare luck.

    z: float [R, spreads], where each spread stands, in standard deviations. rank: float [R],
    severity of the fault, 0 to 1. hot: float [R, 2], 1 where what heat and pressure had opened is
    found open still: as the technician comes, and when he has made the unit dead. beside: int [R],
    the specimen beside which each one is settled, from where that one came to; its own number
    where it is settled from rest.
    """

    z: FloatArray
    rank: FloatArray
    hot: FloatArray
    beside: npt.NDArray[np.intp]

    def __len__(self) -> int:
        return len(self.rank)

    @classmethod
    def drawn(cls, count: int, spreads: int, seed: int) -> Layout:
        """`count` specimens as they come.

        Each spread takes the middles of `count` equal shares of its distribution, in random
        order (a centred Latin hypercube: McKay, Beckman and Conover 1979), so that few specimens
        already reach from low supply volts to high ones.
        """
        rng = np.random.default_rng(seed)
        place = rng.permuted(np.tile(np.arange(count), (spreads, 1)), axis=1).T
        middle = np.array([NORMAL.inv_cdf((at + 0.5) / count) for at in range(count)])
        z = np.clip(middle, -SPREAD_LIMIT, SPREAD_LIMIT)[place]
        order = np.random.default_rng(seed + 1).permutation(count)
        # Neighboring severities are found one hot and one cooled, so that each sort has both.
        hot = np.stack([order % 2, order // 2 % 2], axis=1).astype(np.float64)
        return cls(z, (order + 0.5) / count, hot, np.arange(count))

    @classmethod
    def moved(
        cls, groups: list[list[int]], spreads: int, by: float, rank: float, *, hot: bool
    ) -> Layout:
        """The middling specimen, then one for each group of spreads that is moved `by`.

        The moved ones are settled beside the middling one: what they are for is how readings
        follow the unknowns as long as nothing flips.
        """
        z = np.zeros((1 + len(groups), spreads))
        for at, group in enumerate(groups, start=1):
            z[at, group] = by
        beside = np.zeros(len(z), dtype=np.intp)
        return cls(z, np.full(len(z), rank), np.full((len(z), 2), float(hot)), beside)

    def worse(self, by: float) -> Layout:
        """The same specimens with their fault a little worse, by so much of its whole range.

        Each is to be added behind this layout, and is settled beside the one that it was.
        """
        return replace(self, rank=self.rank + by, beside=self.beside - len(self))

    def __add__(self, other: Layout) -> Layout:
        """One after the other."""
        return Layout(
            np.concatenate([self.z, other.z]),
            np.concatenate([self.rank, other.rank]),
            np.concatenate([self.hot, other.hot]),
            np.concatenate([self.beside, len(self) + other.beside]),
        )
