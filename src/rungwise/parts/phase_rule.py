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

    def _ratio(self, seen: Seen) -> FloatArray:
        return self._good(seen, 1.0)

    def at_once(self, seen: Seen, /) -> Step:
        """Open where the legs are good no more, but not by the dip of a start."""
        lost = (self._good(seen, DIP_SHARE) == 0) & (seen.values[self.state] > 0)
        return Step(np.asarray(lost), 0.0)

    def _good(self, seen: Seen, share: float) -> FloatArray:
        """1 where the legs are good, their least volts counted as this share of the dial's."""
        forward, backward = (seen.volt(e) / FILTER_SHARE for e in (self.element, self.negative))
        values = seen.values
        within = (forward >= share * self.volts(values)) & (forward <= self.most_volt(values))
        even = backward <= self.unbalance(values) * np.maximum(forward, 1e-9)
        return np.where(within & even, 1.0, 0.0)

    def acts_at_volt(self, values: Lookup, /) -> FloatArray:
        """Infinite: no volts alone close it."""
        return Rule.acts_at_volt(self, values)
