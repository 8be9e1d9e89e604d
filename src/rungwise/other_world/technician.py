"""Whoever visits a house: what he finds is his own, once and for all, and some he cannot take."""

from __future__ import annotations

import zlib
from collections import Counter

import numpy as np

from rungwise.other_world.asks import Ask, Look
from rungwise.other_world.looks import Eyes
from rungwise.other_world.meters import Hands
from rungwise.other_world.visit import Visit

CANNOT = 0.04
"""Chance that a check cannot be taken here: out of reach, a screw that spins, no such meter."""


class OtherTechnician:
    """The same seed and the same question give the same answer, whatever else was asked before.

    Asked once more, it is taken once more: a slip is then seldom made again.

    cannot: chance that a check other than what the customer tells cannot be taken.
    """

    def __init__(self, visit: Visit, seed: int, cannot: float = CANNOT) -> None:
        self._hands = Hands(visit, seed)
        self._eyes = Eyes(visit)
        self._seed = seed
        self._times: Counter[str] = Counter()
        self._cannot = cannot

    def take(self, name: str, ask: Ask, *, told: bool = False) -> float | str | None:
        """A reading (inf over range), a choice, or None where it cannot be taken.

        name: of the check, for its own luck. told: the customer tells it, nobody goes there.
        """
        place = zlib.crc32(name.encode())
        if np.random.default_rng([self._seed, place]).random() < self._cannot and not told:
            return None
        rng = np.random.default_rng([self._seed, place, self._times[name]])
        self._times[name] += 1
        if isinstance(ask, Look):
            return self._eyes.see(ask, rng)
        return self._hands.read(ask, rng)
