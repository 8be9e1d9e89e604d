"""The temperatures of one unit's two coils in the course of time."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import numpy as np

from rungwise.circuit.batch import Batch
from rungwise.circuit.cooling import Cooling
from rungwise.parts import (
    COIL_CEILING_C,
    COIL_FLOOR_C,
    HIGH_SIDE_S,
    LOW_SIDE_S,
    saturation_c,
    seconds_to,
)

_CONSTANT_S = {"high": HIGH_SIDE_S, "low": LOW_SIDE_S}
_STATE = {"high": "condensing_c", "low": "evaporating_c"}


class Course:
    """Where the temperatures of one refrigerant circuit are, and where they are going."""

    def __init__(self, cooling: Cooling, batch: Batch) -> None:
        self._cooling = cooling
        self._rest_c: dict[str, float] = {}
        self.loads = False
        """Whether the compressor runs, so that the temperatures load it."""
        self.aim(batch)
        self._now_c = self._air_c(batch)
        self._put(batch)

    @property
    def compressor(self) -> str:
        """The compressor of this circuit."""
        return self._cooling.compressor

    @property
    def left_k(self) -> float:
        """The greater distance of the two from where they are going, K."""
        return max((abs(c - self._rest_c[side]) for side, c in self._now_c.items()), default=0.0)

    def aim(self, batch: Batch) -> None:
        """Note where the temperatures are going with the rotors as they turn now."""
        steady = self._cooling.steady(batch)
        self.loads = bool(steady.running[0])
        self._rest_c = self._air_c(batch)
        if self.loads:
            high, low = float(steady.condensing_c[0]), float(steady.evaporating_c[0])
            self._rest_c = {"high": high, "low": low}

    def _air_c(self, batch: Batch) -> dict[str, float]:
        """Air at the two coils, to which they go back."""
        high, low = (float(np.ravel(each)[0]) for each in self._cooling.resting(batch))
        return {"high": high, "low": low}

    def go_on(self, batch: Batch, seconds: float) -> None:
        """Let a time pass: first order, each side at its own pace."""
        for side, rest_c in self._rest_c.items():
            left = np.exp(-seconds / _CONSTANT_S[side])
            moved_c = rest_c + (self._now_c[side] - rest_c) * float(left)
            self._now_c[side] = min(max(moved_c, COIL_FLOOR_C), COIL_CEILING_C)
        self._put(batch)

    def seconds_to(self, psi: float, side: Literal["high", "low"], *, rising: bool) -> float:
        """Seconds until a side's pressure passes `psi` on its way; 0 if it has, inf if never."""
        limit_c = float(saturation_c(np.asarray(psi)))
        now_c, rest_c = self._now_c[side], self._rest_c[side]
        if (now_c >= limit_c) if rising else (now_c <= limit_c):
            return 0.0
        if (rest_c <= limit_c) if rising else (rest_c >= limit_c):
            return float("inf")
        limit, now, rest = (np.asarray(each) for each in (limit_c, now_c, rest_c))
        return float(seconds_to(limit, now, rest, _CONSTANT_S[side]))

    def _put(self, batch: Batch) -> None:
        for side, name in _STATE.items():
            batch.states[(self.compressor, name)][0] = self._now_c[side]


class Courses:
    """The temperatures of every refrigerant circuit of a batch of one; none, and nothing moves.

    step_k: nearer to rest than this a circuit counts as at rest.
    """

    def __init__(self, coolings: Sequence[Cooling], batch: Batch, step_k: float) -> None:
        self._courses = tuple(Course(each, batch) for each in coolings)
        self._step_k = step_k
        self._told = self._resting()

    @property
    def moves(self) -> bool:
        """Whether any circuit that runs is still on its way."""
        return any(each.loads and each.left_k >= self._step_k for each in self._courses)

    def aim(self, batch: Batch) -> None:
        """Note where the temperatures are going with the rotors as they turn now."""
        for each in self._courses:
            each.aim(batch)
        self._told &= self._resting()

    def go_on(self, batch: Batch, seconds: float) -> None:
        """Let a time pass."""
        for each in self._courses:
            each.go_on(batch, seconds)

    def come_to_rest(self) -> tuple[str, ...]:
        """The compressors that have come to their working pressures since this was last asked."""
        now = self._resting()
        found = [each.compressor for each in self._courses
                 if each.loads and each.compressor in now - self._told]  # fmt: skip
        self._told = now
        return tuple(found)

    def seconds_to(
        self, at: Sequence[int], psi: float, side: Literal["high", "low"], *, rising: bool
    ) -> float:
        """Seconds until the first of the circuits `at` passes a pressure; inf if none does."""
        waits = (self._courses[each].seconds_to(psi, side, rising=rising) for each in at)
        return min(waits, default=float("inf"))

    def _resting(self) -> frozenset[str]:
        return frozenset(each.compressor for each in self._courses if each.left_k < self._step_k)
