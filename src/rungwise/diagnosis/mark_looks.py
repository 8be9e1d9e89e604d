"""Marks that faults leave: signs that suspects carry by name (`Mode.signs`), looked for by eye."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from rungwise.diagnosis.bench import Bench
from rungwise.faults import Suspect
from rungwise.parts import FloatArray

NO_FAULT_MARK = 0.03
"""Chance of a mark that has nothing to do with the fault."""


@dataclass(frozen=True, slots=True)
class Mark:
    """Whether a look shows a mark: not there, there.

    sign: by which suspects carry it. blocks: those on which it is looked for; None where it is
    looked for on the whole unit. usual: its chance where no fault makes it.
    """

    sign: str
    blocks: frozenset[str] | None
    usual: float = NO_FAULT_MARK

    def __call__(self, bench: Bench, suspects: Sequence[Suspect]) -> FloatArray:
        """The chances of its choices."""
        each = np.array([self._chance(suspect) for suspect in suspects])
        seen = np.repeat(each, bench.size // len(suspects))
        return np.stack([1.0 - seen, seen], axis=1)

    def _chance(self, suspect: Suspect) -> float:
        touched = {suspect.block, *(edit.key[0] for edit in suspect.edits)}
        here = self.blocks is None or bool(touched & self.blocks)
        return max(self.usual, suspect.signs.get(self.sign, 0.0) if here else 0.0)


@dataclass(frozen=True, slots=True)
class WhichSpot:
    """Which wire or part shows a mark: none, or one of them.

    signs: by which its suspects carry the mark, of each. shares: how much of each can be seen
    there, as of a wire's joints. place: where, "" for everywhere.
    """

    signs: Mapping[str, str]
    shares: Mapping[str, float]
    place: str = ""

    def __call__(self, bench: Bench, suspects: Sequence[Suspect]) -> FloatArray:
        """The chances of its choices."""
        each = np.array([self._chances(suspect) for suspect in suspects])
        return np.repeat(each, bench.size // len(suspects), axis=0)

    def _chances(self, suspect: Suspect) -> FloatArray:
        touched = {suspect.block, *(edit.key[0] for edit in suspect.edits)}
        seen = np.array(
            [
                suspect.signs.get(self.signs[spot], 0.0) * share * (spot in touched)
                for spot, share in self.shares.items()
            ]
        )
        seen /= max(seen.sum(), 1.0)
        seen += (1.0 - seen.sum()) * NO_FAULT_MARK / len(seen)
        return np.append(1.0 - seen.sum(), seen)
