"""The temperatures of one unit's two coils in the course of time."""

from __future__ import annotations

from typing import Literal

import numpy as np

from rungwise.circuit.batch import Batch
from rungwise.circuit.cooling import Cooling
from rungwise.parts import refrigeration as heat

__all__ = ["Course"]

_CONSTANT_S = {"high": heat.HIGH_SIDE_S, "low": heat.LOW_SIDE_S}
_STATE = {"high": "condensing_c", "low": "evaporating_c"}


class Course:
    """Where the temperatures of a batch of one are, and where they are going.

    `cooling` None: a unit without a compressor, in which nothing of this moves.
    """

    def __init__(self, cooling: Cooling | None, batch: Batch) -> None:
        self._cooling = cooling
        self._now_c: dict[str, float] = {}
        self._rest_c: dict[str, float] = {}
        self.loads = False
        """Whether the compressor runs, so that the temperatures load it."""
        if cooling is not None:
            self.aim(batch)
            self._now_c = self._air_c(batch)
            self._put(batch, cooling.compressor)

    @property
    def blocks(self) -> tuple[str, ...]:
        """The compressor, if there is one."""
        return () if self._cooling is None else (self._cooling.compressor,)

    @property
    def left_k(self) -> float:
        """The greater distance of the two from where they are going, K."""
        return max((abs(c - self._rest_c[side]) for side, c in self._now_c.items()), default=0.0)

    def aim(self, batch: Batch) -> None:
        """Note where the temperatures are going with the rotors as they turn now."""
        if self._cooling is None:
            return
        steady = self._cooling.steady(batch)
        self.loads = bool(steady.running[0])
        self._rest_c = self._air_c(batch)
        if self.loads:
            high, low = float(steady.condensing_c[0]), float(steady.evaporating_c[0])
            self._rest_c = {"high": high, "low": low}

    def _air_c(self, batch: Batch) -> dict[str, float]:
        """Air at the two coils, to which they go back."""
        if self._cooling is None:
            return {}
        high, low = (float(np.ravel(each)[0]) for each in self._cooling.resting(batch))
        return {"high": high, "low": low}

    def go_on(self, batch: Batch, seconds: float) -> None:
        """Let a time pass: first order, each side at its own pace."""
        if self._cooling is None:
            return
        for side, rest_c in self._rest_c.items():
            left = np.exp(-seconds / _CONSTANT_S[side])
            moved_c = rest_c + (self._now_c[side] - rest_c) * float(left)
            self._now_c[side] = min(max(moved_c, heat.FLOOR_C), heat.CEILING_C)
        self._put(batch, self._cooling.compressor)

    def seconds_to(self, psi: float, side: Literal["high", "low"], *, rising: bool) -> float:
        """Seconds until a side's pressure passes `psi` on its way; 0 if it has, inf if never."""
        if self._cooling is None:
            return float("inf")
        limit_c = float(heat.saturation_c(np.asarray(psi)))
        now_c, rest_c = self._now_c[side], self._rest_c[side]
        if (now_c >= limit_c) if rising else (now_c <= limit_c):
            return 0.0
        if (rest_c <= limit_c) if rising else (rest_c >= limit_c):
            return float("inf")
        limit, now, rest = (np.asarray(each) for each in (limit_c, now_c, rest_c))
        return float(heat.seconds_to(limit, now, rest, _CONSTANT_S[side]))

    def _put(self, batch: Batch, compressor: str) -> None:
        for side, name in _STATE.items():
            batch.states[(compressor, name)][0] = self._now_c[side]
