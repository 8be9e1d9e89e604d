"""How a part's states follow its circuit: each rule answers all that the solvers ask of it.

Fast rules act within cycles (a coil pulls in, a fuse melts on a short, a rotor runs up); slow
ones need heat or time (an overload, a breaker's thermal part, a delay, a pressure switch).  The
fixed point (`rungwise.circuit.operating_point`) asks a rule what it does at once, and how
long its slow event takes from a cold start; the course of a call
(`rungwise.circuit.event_sequence`) asks what it wants next and when.  Both are the same
physics, so it is written once, here, on what a rule can see of the solved circuit (`Seen`).

A new sort of rule is a new class here, which says all that `Rule` leaves open.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Iterable
from dataclasses import dataclass
from typing import ClassVar, Literal, NamedTuple, Protocol

import numpy as np
import numpy.typing as npt

from rungwise.errors import CircuitError
from rungwise.parts.element import Expr, FloatArray, Lookup

BoolArray = npt.NDArray[np.bool_]
Side = Literal["high", "low"]

COIL_S = 0.02
"""Time in which a coil moves its contacts (order of magnitude, common practice, no source)."""

MELT_S = 0.01
"""Time in which a fuse melts, or a breaker lets go, on a short (order of magnitude, no source)."""

LOST_SHARE = 0.5
"""A delay starts over below this share of the volts that it counts at (no source)."""

SLIP_TOLERANCE = 1e-5
"""A smaller change of slip is left out, so that volts and slip belong together; the volts move by
about this share too, millivolts at 240 V. A finer one costs rounds that show on no reading."""


class Step(NamedTuple):
    """What a rule does at once: in which variants its state moves, and what it becomes there."""

    moves: BoolArray
    to: FloatArray | float


class Wish(NamedTuple):
    """What a rule wants next: the state (of a motor, what it then `Does`), and in how long.

    Where `by_then`, it comes no later than that, and sooner where the same was wanted before: a
    timer that runs on.  Else the time is a forecast, which each new solution replaces.
    """

    target: float
    wait_s: float
    by_then: bool


class Seen(Protocol):
    """One part in the solved circuit, as its rule sees it: arrays over the variants."""

    @property
    def size(self) -> int:
        """How many variants."""

    @property
    def values(self) -> Lookup:
        """The part's parameters and states."""

    def volt(self, element: str) -> FloatArray:
        """RMS volts across an element of the part, 0 where it is open."""

    def amp(self, element: str) -> FloatArray:
        """RMS amps through an element of the part."""

    def residual_amp(self, elements: tuple[str, ...]) -> FloatArray:
        """RMS of the sum of the amps through several elements, each from its first terminal."""

    def slip(self, machine: str, free: BoolArray) -> FloatArray:
        """The slip that the rotor comes to; 1 where it is not free to turn."""

    def does(self, slip: FloatArray) -> npt.NDArray[np.int8]:
        """What the part's motor does at a slip: a code of `Does`."""

    def tired(self, state: str) -> BoolArray:
        """Where the state has turned so often that it is held open: it chatters."""

    def pressed_s(self, side: Side, psi: FloatArray) -> FloatArray | None:
        """Seconds of running from rest until a side passes `psi`; None: no compressor."""

    def indoor_air(self) -> FloatArray:
        """Share of its full air that moves indoors; 1 where no blower is known."""

    def fed(self) -> FloatArray:
        """1 where liquid refrigerant reaches the cold coil of the part's circuit."""

    def pumps(self) -> FloatArray:
        """1 where a compressor of the part's circuit runs."""

    def thaws(self) -> FloatArray:
        """1 where a heater melts the ice of the part's circuit."""

    def burns(self) -> FloatArray:
        """1 where a furnace burns on, its flame proved; a try to light heats nothing."""


class Going(Protocol):
    """How one rule's part stands in the course of a call."""

    @property
    def does(self) -> float:
        """What a rotor does by now: a code of `Does`."""

    def hot_s(self) -> float | None:
        """Seconds until its heat reaches the limit as the amps stand; None where it cools."""

    def pressure_s(self, side: Side, psi: float, *, rising: bool) -> float:
        """Seconds until the pressure of a side passes `psi`; infinite where it will not."""


@dataclass(frozen=True, slots=True)
class Rule(ABC):
    """State `state` of a part follows the element `element`, or what is told of the rule.

    Every sort of rule says: `order` in which events of one moment happen; what it `watches`;
    how it `opens` a circuit by itself ("for good" until a hand mends it, "until cool", or
    "never"); whether it `pulls`, that is, moves contacts by the pull of its volts, which may
    make it chatter.
    """

    state: str
    element: str

    order: ClassVar[int]
    watches: ClassVar[Literal["volts", "amps", "speed", "pressure", "air"]]
    opens: ClassVar[Literal["never", "for good", "until cool"]]
    pulls: ClassVar[bool]
    glides: ClassVar[bool] = False
    """Whether its state moves without steps, so that what it `does` is told in its place."""
    wears_out: ClassVar[bool] = False
    """Whether turns are counted, and many of them are chatter."""
    counts: ClassVar[bool] = False
    """Whether its state is remembered and moves no contact by itself."""
    awaited: ClassVar[bool] = False
    """Whether the first seconds of a call are those after its slow event."""
    falls_out: ClassVar[bool] = False
    """Whether its relay lets go without power, so that who finds the unit dead finds it open."""

    def __init_subclass__(cls) -> None:
        missing = [n for n in ("order", "watches", "opens", "pulls") if not hasattr(cls, n)]
        if missing:
            raise TypeError(f"{cls.__name__} does not say: {', '.join(missing)}")

    @property
    def found_open(self) -> str:
        """The fault handle by which it is found open, whatever opened it; "" where none is."""
        return ""

    @property
    def rating(self) -> str:
        """The parameter that its amps go with; "" where it watches no amps."""
        return ""

    @property
    def waits_for_speed(self) -> bool:
        """Whether it acts only once a rotor has come to speed."""
        return False

    @abstractmethod
    def at_once(self, seen: Seen, /) -> Step | None:
        """What it does within cycles; None for a rule that only ever acts with time."""

    @abstractmethod
    def wait_s(self, seen: Seen, /) -> FloatArray | None:
        """Seconds until its slow event from a cold start, infinite where it will not come.

        None for a rule that has no slow event.
        """

    @abstractmethod
    def wish(self, seen: Seen, going: Going, /) -> Wish | None:
        """What it wants next in the course of a call of one variant; None for nothing."""

    def heating_per_s(self, _seen: Seen, /) -> FloatArray | None:
        """Heat that it gains a second, over what opens it; None where heat is not its matter."""
        return None

    def opens_after_s(self, amp: FloatArray, _values: Lookup, /) -> FloatArray:
        """Seconds in which steady amps open it from cold; infinite where they do not."""
        return np.full(np.shape(amp), np.inf)

    def acts_at_volt(self, _values: Lookup, /) -> FloatArray:
        """Volts at which its state becomes 1; infinite where it watches no volts."""
        return np.asarray(np.inf)

    def keeps_within(self, _values: Lookup, /) -> tuple[Side, FloatArray] | None:
        """The side and the psi beyond which no pressure gets while it is closed."""
        return None

    def first_swing(self, state: FloatArray, chatters: BoolArray | None, /) -> FloatArray:
        """Its state at the first swing of a start, from that of the first seconds of a call.

        What chatters is caught while it is in.
        """
        return state if chatters is None else np.where(chatters, 1.0, state)

    def does(self, _seen: Seen, state: FloatArray, /) -> float:
        """What a part of one variant does in a state: the state itself, where it has steps."""
        return float(np.ravel(state)[0])


@dataclass(frozen=True, slots=True)
class CoilRule(Rule):
    """State is 1 once the element's volts reach `pull_in_volt`.

    It returns to 0 below `drop_out_volt`; between the two it keeps what it was.  `by_speed`:
    its volts rise with a rotor's speed, so that it is not in yet at the first swing of a start.
    """

    pull_in_volt: Expr
    drop_out_volt: Expr
    by_speed: bool = False

    order = 3
    watches = "volts"
    opens = "never"
    pulls = True
    wears_out = True

    @property
    def waits_for_speed(self) -> bool:
        """Whether its volts rise with a rotor's speed."""
        return self.by_speed

    def at_once(self, seen: Seen, /) -> Step:
        """Pull in, let go, or stay; one that has chattered is left open."""
        is_in = seen.values[self.state]
        # Two limits, not one: between them a plunger stays where it is, which is what keeps a
        # coil whose volts sag under its own load from turning for ever.
        level = np.where(is_in > 0, self.drop_out_volt(seen.values), self.pull_in_volt(seen.values))
        wanted = np.where(seen.tired(self.state), 0.0, (seen.volt(self.element) >= level) * 1.0)
        return Step(wanted != is_in, wanted)

    def acts_at_volt(self, values: Lookup, /) -> FloatArray:
        """Volts that pull it in."""
        return self.pull_in_volt(values)

    def wait_s(self, seen: Seen, /) -> None:
        """A coil acts at once or not at all."""

    def wish(self, seen: Seen, _going: Going, /) -> Wish | None:
        """Move its contacts."""
        return _soon(self.at_once(seen), COIL_S)

    def first_swing(self, state: FloatArray, chatters: BoolArray | None, /) -> FloatArray:
        """As `Rule.first_swing`; one that waits for a rotor's speed is out."""
        if self.by_speed:
            return np.zeros_like(state)
        return Rule.first_swing(self, state, chatters)


@dataclass(frozen=True, slots=True)
class _Thermal(Rule):
    """What opens by the heat of its amps: at `slow_amp` or more, in `trip_seconds`.

    `slow_amp` goes with the parameter `rated_by`.
    """

    slow_amp: Expr
    slow_s: float
    rated_by: str

    order = 0
    watches = "amps"
    opens: ClassVar[Literal["never", "for good", "until cool"]] = "until cool"
    pulls = False

    @property
    def rating(self) -> str:
        """The parameter that its amps go with."""
        return self.rated_by

    def _ratio(self, amp: FloatArray, values: Lookup) -> FloatArray:
        return np.asarray(amp / self.slow_amp(values))

    def wait_s(self, seen: Seen, /) -> FloatArray:
        """Seconds until it opens from cold."""
        seconds = trip_seconds(self._ratio(seen.amp(self.element), seen.values), self.slow_s)
        return np.where(seen.values[self.state] > 0, np.inf, seconds)

    def heating_per_s(self, seen: Seen, /) -> FloatArray:
        """(ratio² - 1)/slow_s, so that a steady current opens it in its `trip_seconds`.

        Below the limit it is negative: the same body loses its heat at the same law.
        """
        ratio = self._ratio(seen.amp(self.element), seen.values)
        return np.asarray((ratio**2 - 1.0) / self.slow_s)

    def opens_after_s(self, amp: FloatArray, values: Lookup, /) -> FloatArray:
        """Seconds in which steady amps open it from cold."""
        return trip_seconds(self._ratio(amp, values), self.slow_s)


def _hot(going: Going) -> Wish | None:
    """Open once the heat is there, if the amps stay as they are."""
    seconds = going.hot_s()
    return None if seconds is None else Wish(1.0, seconds, by_then=False)


@dataclass(frozen=True, slots=True)
class FuseRule(_Thermal):
    """State becomes 1 for good when the element's amps reach `fast_amp` at once.

    At `slow_amp` or more it does so with time, after `slow_s`·1/((I/slow)²-1) seconds.
    """

    fast_amp: Expr

    order = 1
    opens = "for good"

    def at_once(self, seen: Seen, /) -> Step:
        """Melt, or trip magnetically, where it is whole."""
        over = seen.amp(self.element) >= self.fast_amp(seen.values)
        melts = over & (seen.values[self.state] == 0)
        return Step(np.broadcast_to(melts, (seen.size,)), 1.0)

    def wish(self, seen: Seen, going: Going, /) -> Wish | None:
        """Melt on a short, or once it is hot."""
        if seen.values[self.state][0] > 0:
            return None
        return _soon(self.at_once(seen), MELT_S) or _hot(going)

    def opens_after_s(self, amp: FloatArray, values: Lookup, /) -> FloatArray:
        """As the slow part, and 0 where the amps open it at once."""
        slow = _Thermal.opens_after_s(self, amp, values)
        return np.where(amp >= self.fast_amp(values), 0.0, slow)


@dataclass(frozen=True, slots=True)
class OverloadRule(_Thermal):
    """A self-resetting thermal overload: opens like the slow part of a fuse, closes when cool.

    `held_by`: the fault handle of one that is found open.
    """

    reset_s: float
    held_by: str

    order = 2

    @property
    def found_open(self) -> str:
        """The fault handle of one that is found open."""
        return self.held_by

    def at_once(self, seen: Seen, /) -> None:
        """Heat takes its time."""

    def wish(self, seen: Seen, going: Going, /) -> Wish | None:
        """Close once it is cool, open once it is hot."""
        if seen.values[self.state][0] > 0:
            return Wish(0.0, self.reset_s, by_then=True)
        return _hot(going)


@dataclass(frozen=True, slots=True)
class MotorRule(Rule):
    """State (the slip) follows the torque balance of the machine element `machine`.

    `element` carries the motor's line amps.  `run_up_s`: time in which the rotor comes to
    speed or to rest.
    """

    machine: str
    seized: Expr
    run_up_s: float

    order = 5
    watches = "speed"
    opens = "never"
    pulls = False
    glides = True

    def at_once(self, seen: Seen, /) -> Step:
        """Come to the slip at which torque and load balance."""
        slip = seen.slip(self.machine, np.asarray(self.seized(seen.values) == 0))
        moves = np.abs(slip - seen.values[self.state]) > SLIP_TOLERANCE
        return Step(moves, slip)

    def wait_s(self, seen: Seen, /) -> None:
        """A rotor follows at once, as far as a solution at rest is concerned."""

    def wish(self, seen: Seen, going: Going, /) -> Wish | None:
        """Start, stall or stop, where that is something else than it does."""
        goal = self.does(seen, np.asarray(self.at_once(seen).to))
        return None if goal == going.does else Wish(goal, self.run_up_s, by_then=True)

    def first_swing(self, state: FloatArray, _chatters: BoolArray | None, /) -> FloatArray:
        """No rotor turns yet."""
        return np.ones_like(state)

    def does(self, seen: Seen, state: FloatArray, /) -> float:
        """A code of `Does`."""
        return float(np.ravel(seen.does(state))[0])


@dataclass(frozen=True, slots=True)
class DelayRule(Rule):
    """State becomes 1 when the element has had `volts` or more for `delay_s`."""

    volts: Expr
    delay_s: Expr

    order = 4
    watches = "volts"
    opens = "never"
    pulls = False
    wears_out = True
    awaited = True

    def acts_at_volt(self, values: Lookup, /) -> FloatArray:
        """Volts at which it counts."""
        return self.volts(values)

    def _ratio(self, seen: Seen) -> FloatArray:
        return np.asarray(seen.volt(self.element) / self.volts(seen.values))

    def at_once(self, seen: Seen, /) -> Step:
        """Start over where it has run out and has lost its volts."""
        lost = (self._ratio(seen) < LOST_SHARE) & (seen.values[self.state] > 0)
        return Step(np.asarray(lost), 0.0)

    def wait_s(self, seen: Seen, /) -> FloatArray:
        """Its time, where it has volts; one that loses them each time it runs out is left out."""
        counts = (self._ratio(seen) >= 1.0) & ~(seen.values[self.state] > 0)
        counts &= ~seen.tired(self.state)
        return np.where(counts, self.delay_s(seen.values), np.inf)

    def wish(self, seen: Seen, _going: Going, /) -> Wish | None:
        """Start over, or run out."""
        if seen.values[self.state][0] > 0:
            return _soon(self.at_once(seen), COIL_S)
        if self._ratio(seen)[0] < 1.0:
            return None
        return Wish(1.0, self.delay_s(seen.values).item(), by_then=True)


def _soon(step: Step, seconds: float) -> Wish | None:
    """A step of one variant as a wish."""
    return Wish(float(np.ravel(step.to)[0]), seconds, by_then=True) if step.moves[0] else None


def trip_seconds(ratio: FloatArray, slow_s: float) -> FloatArray:
    """Seconds for a thermal element to open at `ratio` times its limit: slow_s/(ratio² - 1).

    Infinite at or below the limit.  The I²t shape is the usual one of a bimetal that starts cold
    (textbook heat balance; the constant is common practice, no source).
    """
    over = np.maximum(ratio**2 - 1.0, 1e-12)
    return np.where(ratio > 1.0, slow_s / over, np.inf)


def refuse_unknown(part: str, rules: Iterable[object]) -> None:
    """Raise CircuitError for what stands among a part's rules and is none."""
    for rule in rules:
        if not isinstance(rule, Rule):
            sort = type(rule).__name__
            raise CircuitError(f"{part}: nothing is known of how a {sort} switches")
