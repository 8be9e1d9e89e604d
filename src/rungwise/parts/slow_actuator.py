"""The rule of a slow thermal actuator: a heater and a bimetal that takes its time both ways."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rungwise.parts.element import Expr
from rungwise.parts.rule import LOST_SHARE, DelayRule, Going, Seen, Wish


@dataclass(frozen=True, slots=True)
class SlowActuatorRule(DelayRule):
    """State becomes 1 when the element has had `volts` for `delay_s`, and 0 `off_s` after it lost
    them.

    At rest, which is all that the fixed point asks of, it is where its volts have brought it; the
    course of a call tells when.  It cools while its contacts still carry, so that what is switched
    on first may go off last.
    """

    off_s: Expr

    def wish(self, seen: Seen, _going: Going, /) -> Wish | None:
        """Close once it is hot, open once it has cooled."""
        share = float(np.ravel(self._ratio(seen))[0])
        if seen.values[self.state][0] > 0:
            off_s = float(np.ravel(self.off_s(seen.values))[0])
            return Wish(0.0, off_s, by_then=True) if share < LOST_SHARE else None
        if share < 1.0:
            return None
        return Wish(1.0, float(np.ravel(self.delay_s(seen.values))[0]), by_then=True)
