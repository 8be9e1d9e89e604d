"""The rule of a phase monitor: it closes on three even legs in order, after a while."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from rungwise.parts.element import Expr, FloatArray, Lookup
from rungwise.parts.rule import DelayRule, Rule, Seen, Step

FILTER_SHARE = math.sqrt(3) / 2
"""Volts that a filter gives over the leg-to-leg volts of its sequence (see `phase_monitor`)."""


DIP_SHARE = 0.88
"""Of its least volts: what is over it while motors start is over before a monitor that waits some
seconds on low volts has opened (common practice, no source)."""

DIP_UNEVEN = 0.065
"""Negative over positive sequence that a motor which stands on one weak leg brings about by its own
amps; no lost leg leaves so little (common practice, no source)."""

RIDES_OUT = 0.5
"""How many monitors wait some seconds on so little, and so see no start at all (common practice, no
source)."""


@dataclass(frozen=True, slots=True)
class PhaseRule(DelayRule):
    """State is 1 where the legs are good, again after `delay_s` where they were not.

    Good: the positive sequence, read across `element`, is `volts` or more and at most `most_volt`
    leg to leg, and the negative one, read across `negative`, at most `unbalance` of it.  A leg
    that is lost or low and two that are swapped all show in the negative sequence, so that one
    comparison finds them (C. L. Fortescue's components; the filter is a usual one, from memory).
    """

    negative: str
    most_volt: Expr
    unbalance: Expr
    rides_out: Expr

    falls_out = True

    def _ratio(self, seen: Seen) -> FloatArray:
        return self._good(seen, 1.0, self.unbalance(seen.values))

    def at_once(self, seen: Seen, /) -> Step:
        """Open where the legs are good no more, but not by the dip of a start."""
        waits = self.rides_out(seen.values)
        uneven = np.maximum(self.unbalance(seen.values), waits * DIP_UNEVEN)
        lost = (self._good(seen, DIP_SHARE, uneven) == 0) & (seen.values[self.state] > 0)
        return Step(np.asarray(lost), 0.0)

    def _good(self, seen: Seen, share: float, unbalance: FloatArray) -> FloatArray:
        """1 where the legs are good, their least volts counted as this share of the dial's."""
        forward, backward = (seen.volt(e) / FILTER_SHARE for e in (self.element, self.negative))
        values = seen.values
        within = (forward >= share * self.volts(values)) & (forward <= self.most_volt(values))
        even = backward <= unbalance * np.maximum(forward, 1e-9)
        return np.where(within & even, 1.0, 0.0)

    def acts_at_volt(self, values: Lookup, /) -> FloatArray:
        """Infinite: no volts alone close it."""
        return Rule.acts_at_volt(self, values)
