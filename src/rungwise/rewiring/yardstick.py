"""What a unit is meant to do, to hold other wirings of it against."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cached_property

import numpy as np

from rungwise.circuit import MOMENT_OF_START, STARTING, Situation, situations_of
from rungwise.parts import Motor
from rungwise.rewiring.comparison import Comparison
from rungwise.rewiring.observed import Observed, observed
from rungwise.rewiring.wirings import Wiring, Wirings
from rungwise.unit import Unit

"""A call with every outdoor rotor still standing: what a hard-start kit is for shows only then."""


class Yardstick:
    """The unit as meant, solved once in every situation that it may be asked to live through."""

    def __init__(self, unit: Unit) -> None:
        self.unit = unit
        self.situations: tuple[Situation, ...] = (*situations_of(unit), *_starts(unit))

    @cached_property
    def meant(self) -> Observed:
        """What the unit itself does: a batch of one."""
        return observed(Wirings(self.unit, [{}]), self.situations, surge_in=())

    def compare(
        self,
        wirings: Sequence[Wiring],
        unit: Unit | None = None,
        surge_in: Sequence[int] | None = None,
    ) -> Comparison:
        """Other wirings in the same situations, held against what is meant.

        `unit`: the one that is wired so, where it has other parts or more wires.  `surge_in`:
        as in `observed`.
        """
        seen = observed(Wirings(unit or self.unit, wirings), self.situations, surge_in)
        return Comparison(self.meant, seen)


def _starts(unit: Unit) -> Iterator[Situation]:
    held = {
        (part.name, "seized"): np.asarray(1.0)
        for part, _ in unit.having(Motor)
        if part.place == "outdoor"
    }
    if held:
        yield Situation(MOMENT_OF_START, STARTING, held)
