"""Rules of a time-delay board: it sees a call come and go, waits after a stop, counts trips.

The three look at the same circuit and act one after the other: a stop is counted and begins the
wait while the board still knows that the call was on, then it forgets the call.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rungwise.parts.element import Expr, FloatArray, Lookup
from rungwise.parts.rule import COIL_S, LOST_SHARE, BoolArray, Going, Rule, Seen, Step, Wish


@dataclass(frozen=True, slots=True)
class _Board(Rule):
    """What watches the `element` that a call reaches, on a board with a `supply` of its own.

    Either is there at `volts` or more, and gone below `LOST_SHARE` of them.
    """

    supply: str
    volts: Expr

    order = 4
    watches = "volts"
    opens = "never"
    pulls = False

    def _there(self, seen: Seen, element: str) -> BoolArray:
        return np.asarray(seen.volt(element) >= self.volts(seen.values))

    def _gone(self, seen: Seen, element: str) -> BoolArray:
        return np.asarray(seen.volt(element) < LOST_SHARE * self.volts(seen.values))

    def acts_at_volt(self, values: Lookup, /) -> FloatArray:
        """Volts at which it sees the call."""
        return self.volts(values)

    def wait_s(self, seen: Seen, /) -> FloatArray | None:
        """A look at the volts takes no time."""

    def wish(self, seen: Seen, _going: Going, /) -> Wish | None:
        """What it does at once."""
        step = self.at_once(seen)
        if step is None or not step.moves[0]:
            return None
        return Wish(float(np.ravel(step.to)[0]), COIL_S, by_then=True)


@dataclass(frozen=True, slots=True)
class CallSeenRule(_Board):
    """State is 1 while the board has passed a call on: it `passes` one, and the call is there."""

    passes: Expr

    order = 5
    counts = True

    def at_once(self, seen: Seen, /) -> Step:
        """See the call, or see it go."""
        was = seen.values[self.state] > 0
        starts = ~was & self._there(seen, self.element) & (self.passes(seen.values) > 0)
        stops = was & self._gone(seen, self.element)
        return Step(np.asarray(starts | stops), np.asarray(starts * 1.0))


@dataclass(frozen=True, slots=True)
class OffDelayRule(_Board):
    """State is 1 while the board may start, and 0 for `delay_s` after a stop or a power cut.

    A stop is a call that was `called` and has gone; without its supply it counts no time.
    """

    called: str
    delay_s: Expr

    wears_out = True
    awaited = True
    falls_out = True

    def at_once(self, seen: Seen, /) -> Step:
        """Begin to wait."""
        stopped = self._gone(seen, self.element) & (seen.values[self.called] > 0)
        lost = (stopped | self._gone(seen, self.supply)) & (seen.values[self.state] > 0)
        return Step(np.asarray(lost), 0.0)

    def wait_s(self, seen: Seen, /) -> FloatArray:
        """The rest of its time; what stops each time that it may start is left out."""
        counts = (seen.values[self.state] == 0) & self._there(seen, self.supply)
        counts &= ~seen.tired(self.state)
        return np.where(counts, self.delay_s(seen.values), np.inf)

    def wish(self, seen: Seen, going: Going, /) -> Wish | None:
        """Begin to wait, or have waited."""
        begins = _Board.wish(self, seen, going)
        wait = float(np.ravel(self.wait_s(seen))[0])
        return begins or (None if np.isinf(wait) else Wish(1.0, wait, by_then=True))


@dataclass(frozen=True, slots=True)
class TriesRule(_Board):
    """State counts the stops of one call: what a pressure switch opened while `asked` stays.

    It forgets them once the call or the supply goes.
    """

    called: str
    asked: str
    held_by: str = ""

    order = 3
    counts = True

    @property
    def found_open(self) -> str:
        """The fault handle of a board that is found locked; a new call starts it."""
        return self.held_by

    def at_once(self, seen: Seen, /) -> Step:
        """Count one more, or forget them all."""
        tries = seen.values[self.state]
        goes = (self._gone(seen, self.asked) | self._gone(seen, self.supply)) & (tries > 0)
        stopped = self._gone(seen, self.element) & (seen.values[self.called] > 0)
        counts = stopped & self._there(seen, self.asked) & self._there(seen, self.supply)
        return Step(np.asarray(goes | counts), np.where(goes, 0.0, tries + 1.0))
