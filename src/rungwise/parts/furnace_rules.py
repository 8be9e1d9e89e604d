"""How a furnace board goes from step to step: what it waits for, how it tries again, when it locks.

At rest, which is all that the fixed point asks of, a board without a flame stands in a try for
ignition: igniter and gas valve have volts, which is when they are read.  The course of a call tells
the times, the tries and the lock.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from rungwise.parts.element import Expr, FloatArray, Lookup
from rungwise.parts.rule import COIL_S, BoolArray, Going, Rule, Seen, Step, Wish

Holds = Callable[[Seen], BoolArray]


@dataclass(frozen=True, slots=True)
class StageRule(Rule):
    """State is 1 while what the board sees `holds`: `on_s` after it came, until `off_s` after."""

    holds: Holds
    on_s: Expr
    off_s: Expr

    order = 4
    watches = "volts"
    opens = "never"
    pulls = False
    wears_out = True

    def at_once(self, seen: Seen, /) -> Step:
        """Be where the board wants it; one that turns for ever is left off."""
        wanted = self.holds(seen) & ~seen.tired(self.state)
        moves = np.asarray(wanted != (seen.values[self.state] > 0))
        return Step(moves, np.asarray(wanted, float))

    def wait_s(self, seen: Seen, /) -> None:
        """At rest its times are over."""

    def wish(self, seen: Seen, _going: Going, /) -> Wish | None:
        """Go on or off once its time is over."""
        wanted = bool(np.ravel(self.holds(seen))[0])
        if wanted == bool(np.ravel(seen.values[self.state])[0] > 0):
            return None
        wait = (self.on_s if wanted else self.off_s)(seen.values)
        return Wish(float(wanted), float(np.ravel(wait)[0]), by_then=True)


@dataclass(frozen=True, slots=True)
class NoticeRule(StageRule):
    """The same of what the board only remembers: no contact of its own goes with it."""

    counts = True


@dataclass(frozen=True, slots=True)
class ShutsRule(Rule):
    """State is 1 while the board has shut the gas because it saw no flame in time.

    `trying`: 1 where gas and igniter are on and no flame is proved.  It tries again after `rest_s`,
    but not where it is `locked`; it forgets that with the `volts` of the call, across `element`.
    At rest it stands in a try.
    """

    volts: float
    trying: Expr
    locked: Expr
    trial_s: Expr
    rest_s: Expr

    order = 5
    watches = "volts"
    opens = "never"
    pulls = False
    counts = True

    def at_once(self, seen: Seen, /) -> None:
        """A try takes its time."""

    def wait_s(self, seen: Seen, /) -> None:
        """At rest it stands in a try."""

    def wish(self, seen: Seen, _going: Going, /) -> Wish | None:
        """Shut the gas at the end of a try, or begin the next."""
        shut, locked, trying = (
            bool(np.ravel(each)[0] > 0)
            for each in (
                seen.values[self.state], self.locked(seen.values), self.trying(seen.values)
            )
        )  # fmt: skip
        if shut and np.ravel(seen.volt(self.element))[0] < self.volts:
            return Wish(0.0, COIL_S, by_then=True)
        if shut:
            return None if locked else Wish(0.0, float(self.rest_s(seen.values)), by_then=True)
        return Wish(1.0, float(self.trial_s(seen.values)), by_then=True) if trying else None


@dataclass(frozen=True, slots=True)
class LightTriesRule(Rule):
    """State counts half tries: one more each time that `shut` comes or goes; forgotten when the
    volts of the call are gone, and once a flame is `proved`.
    """

    shut: str
    proved: str
    volts: float

    order = 6
    watches = "volts"
    opens = "never"
    pulls = False
    counts = True

    def at_once(self, seen: Seen, /) -> Step:
        """Count one more, or forget them all."""
        tries = seen.values[self.state]
        called = seen.volt(self.element) >= self.volts
        forgets = (~called | (seen.values[self.proved] > 0)) & (tries > 0)
        counts = called & ~forgets & (np.mod(tries, 2) != (seen.values[self.shut] > 0))
        return Step(np.asarray(forgets | counts), np.where(forgets, 0.0, tries + 1.0))

    def wait_s(self, seen: Seen, /) -> None:
        """It counts at once."""

    def wish(self, seen: Seen, _going: Going, /) -> Wish | None:
        """What it does at once."""
        step = self.at_once(seen)
        if not np.ravel(step.moves)[0]:
            return None
        return Wish(float(np.ravel(step.to)[0]), COIL_S, by_then=True)


@dataclass(frozen=True, slots=True)
class FlameRule(Rule):
    """State is 1 while gas burns: lit where the valve `element` has `volts` and the `igniter`
    `glows` by its amps, and burning on while the valve stays open; never without `gas`.
    """

    igniter: str
    volts: Expr
    glows_a: Expr
    gas: Expr
    lights_s: float

    order = 4
    watches = "volts"
    opens = "never"
    pulls = False

    def _burns(self, seen: Seen) -> BoolArray:
        values = seen.values
        is_open = (seen.volt(self.element) >= self.volts(values)) & (self.gas(values) > 0)
        lit = (seen.amp(self.igniter) >= self.glows_a(values)) | (values[self.state] > 0)
        return np.asarray(is_open & lit)

    def at_once(self, seen: Seen, /) -> Step:
        """Light, or go out."""
        burns = self._burns(seen)
        return Step(np.asarray(burns != (seen.values[self.state] > 0)), np.asarray(burns, float))

    def acts_at_volt(self, values: Lookup, /) -> FloatArray:
        """Volts at which the valve opens."""
        return self.volts(values)

    def wait_s(self, seen: Seen, /) -> None:
        """Gas burns at once, as far as a solution at rest is concerned."""

    def wish(self, seen: Seen, _going: Going, /) -> Wish | None:
        """Light a moment later, go out at once."""
        burns = bool(np.ravel(self._burns(seen))[0])
        if burns == bool(np.ravel(seen.values[self.state])[0] > 0):
            return None
        return Wish(float(burns), self.lights_s if burns else COIL_S, by_then=True)
