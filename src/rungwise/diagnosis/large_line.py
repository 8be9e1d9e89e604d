"""The large line between the two units: what hand and eye find of the gas that goes in it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

import numpy as np
import numpy.typing as npt

from rungwise.circuit import Solution
from rungwise.diagnosis.bench import Bench, Live
from rungwise.diagnosis.visual_checks import SLIP_OF_EYE, chances_of, turns
from rungwise.faults import Suspect
from rungwise.parts import FloatArray, Reverses

FROSTED, WARM = "frosted_line", "warm_line"
"""Signs of suspects that no pressure of the model tells."""

LINE_COLD, LINE_HOT, LINE_LIKE_AIR, LINE_FROSTED = "cold", "hot", "like the air", "frosted"
"""How the large line is found; hot where a valve sends the hot gas into it."""

FROSTS_C = -2.0
"""Evaporating temperature under which the large line grows white outdoors, as far as the liquid
reaches (common practice, no source)."""

FROST_SEEN, FROST_ANYWAY = 0.85, 0.02
LINE_WARM_ANYWAY = 0.02
"""Chance that frost is there to be seen where it grows, and where nothing makes it; and of a line
that feels warm on a good unit, on a hot day soon after the start (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class LargeLine:
    """What hand and eye find on the large line between the two units: one of `choices`.

    It is the suction line in cooling, cold with the gas that comes back, and the hot gas in
    heating, while the compressor runs. In cooling it frosts where the coil gets too little air,
    and stays warm where too little liquid comes (`warm_line`, a sign of suspects): the last of
    it boils off long before the end of the coil.

    valve: what turns the refrigerant round, "" in a unit that only cools. signs: what suspects
    carry of it.
    """

    valve: str
    compressor: str
    setting: Live
    choices: tuple[str, ...]
    signs: ClassVar[tuple[str, ...]] = (FROSTED, WARM)

    def __call__(self, bench: Bench, suspects: Sequence[Suspect]) -> FloatArray:
        """The chances of its choices."""
        solution = bench.live(self.setting)
        runs = turns(solution, self.compressor)
        which = np.where(runs > 0, np.where(self._heats(bench, solution), 1.0, 0.0), 2.0)
        at = np.array([(LINE_COLD, LINE_HOT, LINE_LIKE_AIR).index(each) for each in self._plain])
        chances = chances_of(np.searchsorted(at, which).astype(float), len(self.choices))
        if LINE_FROSTED in self.choices:
            cold = which == 0.0
            chances[cold] = self._cold(bench, solution, suspects)[cold]
        return chances

    @property
    def _plain(self) -> tuple[str, ...]:
        return tuple(each for each in self.choices if each != LINE_FROSTED)

    def _heats(self, bench: Bench, solution: Solution) -> npt.NDArray[np.bool_]:
        valve = bench.plan.blocks[self.valve].kind.facet(Reverses) if self.valve else None
        told = 0.0 if valve is None else valve.heats(solution.batch.view(self.valve))
        return np.asarray(told) > 0

    def _cold(self, bench: Bench, solution: Solution, suspects: Sequence[Suspect]) -> FloatArray:
        """The chances where the compressor draws its cold gas through the line."""
        evaporating = np.broadcast_to(
            solution.state((self.compressor, "evaporating_c")), (bench.size,)
        )
        frosts = np.where(evaporating < FROSTS_C, FROST_SEEN, FROST_ANYWAY)
        frosts = np.maximum(frosts, _carried(FROSTED, bench, suspects))
        warm = np.maximum(_carried(WARM, bench, suspects), LINE_WARM_ANYWAY)
        told: dict[str, FloatArray] = {
            LINE_LIKE_AIR: warm,
            LINE_FROSTED: (1.0 - warm) * frosts,
            LINE_HOT: np.full(bench.size, SLIP_OF_EYE),
        }
        rows: FloatArray = np.zeros((bench.size, len(self.choices)))
        for at, each in enumerate(self.choices[1:], start=1):
            rows[:, at] = told[each]
        rows[:, 0] = 1.0 - rows.sum(axis=1)
        return rows


def _carried(sign: str, bench: Bench, suspects: Sequence[Suspect]) -> FloatArray:
    """With what chance each particle's suspect leaves a sign on the unit; 0 where none does."""
    each = np.array([suspect.signs.get(sign, 0.0) for suspect in suspects])
    return np.repeat(each, bench.size // len(suspects))
