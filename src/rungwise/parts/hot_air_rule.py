"""How a limit over an element or a burner opens: heat without air."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rungwise.parts.element import Expr, FloatArray
from rungwise.parts.rule import Going, Rule, Seen, Wish

HEATS_AMP = 3.0
"""Amps through a limit above which its element heats; one in a control circuit carries less."""

OPENS_S = 45.0
COOLS_S = 240.0
"""Seconds until it opens without air, and until it closes again (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class HotAirRule(Rule):
    """State becomes 1 where less than `least_air` moves over heat.

    Heat: `element` carries its amps, or a furnace burns on.

    `least_air`: share of the full air. It closes again as it cools, and opens again.
    """

    least_air: Expr

    order = 6
    watches = "air"
    opens = "until cool"
    pulls = False

    def at_once(self, seen: Seen, /) -> None:
        """Heat takes its time."""

    def _grows_hot(self, seen: Seen) -> FloatArray:
        short = seen.indoor_air() < self.least_air(seen.values)
        heats = (seen.amp(self.element) > HEATS_AMP) | (seen.burns() > 0)
        return np.asarray(heats & short)

    def wait_s(self, seen: Seen, /) -> FloatArray:
        """Seconds until it opens."""
        waits = self._grows_hot(seen) & (seen.values[self.state] == 0)
        return np.where(waits, OPENS_S, np.inf)

    def wish(self, seen: Seen, _going: Going, /) -> Wish | None:
        """Open, or close again."""
        if np.ravel(seen.values[self.state])[0] > 0:
            return Wish(0.0, COOLS_S, by_then=True)
        return Wish(1.0, OPENS_S, by_then=True) if np.ravel(self._grows_hot(seen))[0] else None
