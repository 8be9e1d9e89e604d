"""What a unit does in the course of a call: moments in order, each with its solved circuit."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np

from rungwise.circuit.netlist import Key
from rungwise.circuit.solution import Solution
from rungwise.parts import Does


@dataclass(frozen=True)
class Moment:
    """One thing that happens, and the circuit once it has.

    `time_s` counts from the call.  `part` is the part that does it, empty for a hand at work
    elsewhere.  `solution` is of one variant; `slip` and the other states are in it.  `does` is
    what a motor or a coil does from then on, None for all else; `amps_told` says whether the line
    amps stand in `what`.
    """

    time_s: float
    part: str
    what: str
    solution: Solution = field(repr=False, compare=False)
    does: Does | None = None
    amps_told: bool = False

    @property
    def states(self) -> dict[Key, float]:
        """Every state of the unit."""
        return {key: self.state(*key) for key in self.solution.plan.states}

    def state(self, block: str, name: str) -> float:
        """One state of one part."""
        return float(self.solution.state((block, name))[0])

    @property
    def amps(self) -> dict[str, float]:
        """Amps through every part that watches amps: motors, fuses, breakers (largest pole)."""
        found: dict[str, float] = {}
        for block, rule in self.solution.plan.rules:
            if rule.watches == "amps":
                amp = float(np.abs(self.solution.element_amp((block, rule.element))[0]))
                found[block] = max(amp, found.get(block, 0.0))
        return found

    @property
    def volts(self) -> dict[str, float]:
        """Volts across every part that watches volts: coils and delays."""
        plan = self.solution.plan
        return {
            block: float(
                np.abs(self.solution.link_volt(plan.link_by_key[(block, rule.element)])[0])
            )
            for block, rule in plan.rules
            if rule.watches == "volts"
        }


@dataclass(frozen=True)
class Timeline:
    """The moments of one variant under one call, in order, up to `horizon_s`."""

    moments: tuple[Moment, ...]
    horizon_s: float

    def __iter__(self) -> Iterator[Moment]:
        return iter(self.moments)

    def __len__(self) -> int:
        return len(self.moments)

    def at(self, time_s: float) -> Moment:
        """The latest moment not after `time_s`; the first one before all."""
        after = bisect_right(self.moments, time_s, key=lambda moment: moment.time_s)
        return self.moments[max(after - 1, 0)]

    def of(self, part: str) -> tuple[Moment, ...]:
        """What one part does."""
        return tuple(moment for moment in self.moments if moment.part == part)

    def told(self) -> tuple[str, ...]:
        """The story, a line a moment: minutes and seconds, and what happens."""
        return tuple(f"{_clock(moment.time_s)}  {moment.what}" for moment in self.moments)


def _clock(time_s: float) -> str:
    minutes, seconds = divmod(round(time_s, 2), 60.0)
    return f"{minutes:3.0f}:{seconds:05.2f}"
