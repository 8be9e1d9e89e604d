"""How a pressure switch or control follows the pressure of its side of the refrigerant."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rungwise.parts.element import Expr, FloatArray, Lookup
from rungwise.parts.rule import Going, Rule, Seen, Side, Wish


@dataclass(frozen=True, slots=True)
class PressureRule(Rule):
    """State becomes 1 when the pressure on its side passes `opens_psi`.

    `side` is `high` (opens on rise) or `low` (opens on fall); it closes again at
    `closes_psi`.  Pressures are gauge psi of the one refrigerant that stands for all.
    `element` is its contact; `held_by` the fault handle of one that its pressure is found to have
    opened.
    """

    side: Side
    opens_psi: Expr
    closes_psi: Expr
    held_by: str = ""

    order = 6
    watches = "pressure"
    opens = "until cool"
    pulls = False

    @property
    def found_open(self) -> str:
        """The fault handle of one that is found open."""
        return self.held_by

    def at_once(self, seen: Seen, /) -> None:
        """Pressure takes its time."""

    def wait_s(self, seen: Seen, /) -> FloatArray | None:
        """Seconds of running until it opens."""
        wait = seen.pressed_s(self.side, self.opens_psi(seen.values))
        return None if wait is None else np.where(seen.values[self.state] == 0, wait, np.inf)

    def wish(self, seen: Seen, going: Going, /) -> Wish | None:
        """Open, or close again."""
        is_open = bool(seen.values[self.state][0] > 0)
        psi = (self.closes_psi if is_open else self.opens_psi)(seen.values)
        # A high side opens on rise and closes on fall; a low side the other way about.
        seconds = going.pressure_s(self.side, float(psi), rising=is_open == (self.side == "low"))
        return None if np.isinf(seconds) else Wish(float(not is_open), seconds, by_then=False)

    def keeps_within(self, values: Lookup, /) -> tuple[Side, FloatArray]:
        """Its own limit: beyond that it has opened."""
        return self.side, self.opens_psi(values)
