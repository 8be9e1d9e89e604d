"""Rules of what is told to run by any of several signals, and sees which of them is there."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rungwise.parts.element import Expr, FloatArray, Lookup
from rungwise.parts.rule import COIL_S, LOST_SHARE, DelayRule, Going, Rule, Seen, Step, Wish


@dataclass(frozen=True, slots=True)
class AnySignalRule(DelayRule):
    """State becomes 1 when the element, or one of `others`, has had `volts` for `delay_s`."""

    others: tuple[str, ...] = ()

    def _ratio(self, seen: Seen) -> FloatArray:
        most = seen.volt(self.element)
        for other in self.others:
            most = np.maximum(most, seen.volt(other))
        return np.asarray(most / self.volts(seen.values))


@dataclass(frozen=True, slots=True)
class SignalRule(Rule):
    """State is 1 while the element has `volts`; it moves no contact, and is only remembered."""

    volts: Expr

    order = 4
    watches = "volts"
    opens = "never"
    pulls = False
    counts = True

    def at_once(self, seen: Seen, /) -> Step:
        """See the signal, or see it go."""
        is_there = seen.values[self.state] > 0
        level = np.where(is_there, LOST_SHARE, 1.0) * self.volts(seen.values)
        wanted = np.asarray(seen.volt(self.element) >= level)
        return Step(np.asarray(wanted != is_there), np.asarray(wanted, np.float64))

    def acts_at_volt(self, values: Lookup, /) -> FloatArray:
        """Volts at which it sees the signal."""
        return self.volts(values)

    def wait_s(self, seen: Seen, /) -> None:
        """A look at the volts takes no time."""

    def wish(self, seen: Seen, _going: Going, /) -> Wish | None:
        """See it a moment later."""
        step = self.at_once(seen)
        target = float(np.ravel(step.to)[0])
        return Wish(target, COIL_S, by_then=True) if step.moves[0] else None
