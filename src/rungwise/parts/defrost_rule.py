"""When a defrost board defrosts: minutes of running with a cold coil are counted, then it acts."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rungwise.parts.element import Expr, FloatArray
from rungwise.parts.rule import BoolArray, Going, Rule, Seen, Step, Wish

AT_ONCE_S = 0.5
"""A board's own relay follows its logic within this time (order of magnitude, no source)."""

FORGETS_PER_S = -1.0
"""What is counted is lost within a second once the coil is seen warm."""


@dataclass(frozen=True, slots=True)
class DefrostRule(Rule):
    """State is 1 while the board defrosts.

    `due`: the state that is 1 where a defrost is asked for (`Condition.defrosts`): the minutes
    are over, or somebody joins the test pins.  `needs`: elements of the board, each with the
    least and the most volts at which it counts as there: power, the call, last a cold coil.
    `able`: 0 where the board no longer can.  In the course of a call it counts by itself:
    `interval_s` of a call with a cold coil, kept while the compressor rests and lost once the coil
    is warm; it ends after `ends_s`, or when one of the needs is lost.
    """

    due: str
    needs: tuple[tuple[str, float, float], ...]
    able: Expr
    interval_s: Expr
    ends_s: Expr

    order = 4
    watches = "volts"
    opens = "never"
    pulls = False
    wears_out = True

    def _there(self, seen: Seen) -> list[BoolArray]:
        volts = ((seen.volt(element), least, most) for element, least, most in self.needs)
        return [np.asarray((volt >= least) & (volt <= most)) for volt, least, most in volts]

    def _may(self, seen: Seen) -> BoolArray:
        there = np.logical_and.reduce(self._there(seen))
        return np.asarray(there & (self.able(seen.values) > 0))

    def at_once(self, seen: Seen, /) -> Step:
        """Defrost where it is due and all that it needs is there; stop where it is not."""
        # One whose volts sag each time that it begins is left at rest.
        may = self._may(seen) & (seen.values[self.due] > 0) & ~seen.tired(self.state)
        wanted = np.broadcast_to(np.where(may, 1.0, 0.0), (seen.size,))
        return Step(wanted != seen.values[self.state], wanted)

    def wait_s(self, _seen: Seen, /) -> None:
        """At rest it goes by what is due."""

    def wish(self, seen: Seen, going: Going, /) -> Wish | None:
        """Begin once the minutes are over, end with what it needs, or once its time is over."""
        now, may = bool(seen.values[self.state][0] > 0), bool(np.ravel(self._may(seen))[0])
        if now and not may:
            return Wish(0.0, AT_ONCE_S, by_then=True)
        if not now and may and bool(np.ravel(seen.values[self.due])[0] > 0):
            return Wish(1.0, AT_ONCE_S, by_then=True)
        seconds = going.hot_s()
        return None if seconds is None or not may else Wish(float(not now), seconds, by_then=False)

    def heating_per_s(self, seen: Seen, /) -> FloatArray:
        """Share of the minutes, or of the defrost, that goes by in a second."""
        defrosts = seen.values[self.state] > 0
        counts = 1.0 / np.where(defrosts, self.ends_s(seen.values), self.interval_s(seen.values))
        cold = self._there(seen)[-1]
        pauses = np.where(cold, 0.0, FORGETS_PER_S)
        return np.broadcast_to(np.where(self._may(seen), counts, pauses), (seen.size,))
