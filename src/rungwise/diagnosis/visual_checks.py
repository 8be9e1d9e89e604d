"""What eyes, ears and nose find: states of the solved circuit, and marks that faults leave.

A look returns the chance of each of its choices, shape [particles, choices]. A mark is a sign
that the suspects carry by name (`Mode.signs`); what the circuit decides is read off the circuit.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy.special import ndtr

from rungwise.circuit import Batch, Solution
from rungwise.diagnosis.bench import Bench
from rungwise.diagnosis.mark_looks import Mark
from rungwise.faults import Suspect
from rungwise.parts import (
    HEARD_LOCKED_SHARE,
    KINDS,
    SEEN_TURNING_SLIP,
    Does,
    ElectronicMotor,
    Expr,
    FloatArray,
    Ignites,
    PhaseRule,
    electronic_does,
)

SLIP_OF_EYE = 0.01
"""Chance that a look at a plain fact is reported wrongly (common practice, no source)."""

HALF_PULL_SHARE = 0.75
HALF_PULLED = (0.02, 0.38, 0.6)
"""A coil with this share of its pull-in volts lifts the plunger at each peak: chances of in, out,
chatters (common practice, no source)."""

OPEN_HOT = 0.9
HOT_ANYWAY = 0.05
"""Chance that a shell is felt to be hot: with its overload open, and without (common practice, no
source)."""

HUMMING = (0.25, 0.01, 0.74)
"""A plunger that is in and hums is told as chattering by most: chances of in, out, chatters
(common practice, no source)."""

Look = Callable[[Bench, Sequence[Suspect]], FloatArray]


def chances_of(which: FloatArray, choices: int) -> FloatArray:
    """Rows of chances with the slip of the eye, from the number of the true choice."""
    rows: FloatArray = np.empty((len(which), choices))
    rows[:] = SLIP_OF_EYE / (choices - 1)
    rows[np.arange(len(which)), which.astype(int)] = 1.0 - SLIP_OF_EYE
    return rows


def turns(solution: Solution, part: str) -> FloatArray:
    """1 where the motor `part` is seen to turn."""
    kind = solution.plan.blocks[part].kind
    electronic = kind.facet(ElectronicMotor)
    if electronic is not None:
        does = electronic_does(electronic.turns(solution.batch.view(part)))
        return np.where(np.broadcast_to(does, (solution.batch.size,)) == Does.RUNS, 1.0, 0.0)
    slip = solution.state((part, "slip"))
    # A motor that turns the wrong way at full speed is taken for turning by an eye or an ear.
    turning = (slip < SEEN_TURNING_SLIP) | (slip > 2.0 - SEEN_TURNING_SLIP)
    return np.where(turning, 1.0, 0.0)


@dataclass(frozen=True, slots=True)
class MotorTurns:
    """Whether a fan or blower turns during the call: turning, not turning.

    Where it turns at first and has stopped later, one sees this as often as that.
    """

    part: str

    def __call__(self, bench: Bench, _: Sequence[Suspect]) -> FloatArray:
        """The chances of its choices."""
        early, late = (turns(each, self.part) for each in (bench.starting, bench.calling))
        return 0.5 * (chances_of(1.0 - early, 2) + chances_of(1.0 - late, 2))


@dataclass(frozen=True, slots=True)
class TurnsOnHeat:
    """Whether a blower turns on a call for heat: turning, not turning."""

    part: str

    def __call__(self, bench: Bench, _: Sequence[Suspect]) -> FloatArray:
        """The chances of its choices."""
        return chances_of(1.0 - turns(bench.heating, self.part), 2)


@dataclass(frozen=True, slots=True)
class StandsInDefrost:
    """Whether an outdoor fan stands in a forced defrost: stands, turns."""

    part: str

    def __call__(self, bench: Bench, _: Sequence[Suspect]) -> FloatArray:
        """The chances of its choices."""
        return chances_of(turns(bench.defrosting, self.part), 2)


WARM_SHARE, COLD_SHARE = 0.7, 0.05
"""Of the rated watts of all elements: what a hand at a register calls warm, and cold (common
practice, no source). 208 V in place of 240 V leaves three quarters, which is warm still."""

HANDS_DIFFER = 0.05
"""How far hands differ about `WARM_SHARE`, as a standard deviation (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class AirWarms:
    """How the air feels once all elements should be on: warm, lukewarm, cold.

    elements: (part, element, parameter of its rated watts).
    """

    elements: tuple[tuple[str, str, str], ...]

    def __call__(self, bench: Bench, _: Sequence[Suspect]) -> FloatArray:
        """The chances of its choices."""
        solution = bench.heating
        watt = sum(solution.element_watt((part, element)) for part, element, _ in self.elements)
        rated = sum(bench.plan.defaults[(part, name)] for part, _, name in self.elements)
        share = np.broadcast_to(watt / rated, (bench.size,))
        warm = ndtr((share - WARM_SHARE) / HANDS_DIFFER)
        cold = chances_of(np.where(share > COLD_SHARE, 1.0, 2.0), 3)
        sure = chances_of(np.zeros(bench.size), 3)
        return np.asarray(warm[:, None] * sure + (1.0 - warm[:, None]) * cold)


LIGHTING = (
    "nothing happens", "only the inducer runs", "the igniter glows, no flame",
    "it lights and goes out in seconds", "it burns on",
)  # fmt: skip
"""How far a furnace comes on a call for heat."""

WORKS_A = 0.1
"""Amps at which an inducer is heard and an igniter seen to glow: far below what either takes."""


@dataclass(frozen=True, slots=True)
class Lighting:
    """How far a furnace comes while it tries to light: one of `LIGHTING`."""

    part: str
    board: Ignites
    burners: tuple[tuple[str, Expr], ...]

    def __call__(self, bench: Bench, _: Sequence[Suspect]) -> FloatArray:
        """The chances of its choices."""
        solution = bench.heating
        draws, glows = (
            np.abs(solution.element_amp((self.part, each))) > WORKS_A
            for each in (self.board.draft, self.board.glow)
        )
        burns = sum(each(solution.batch.view(name)) for name, each in self.burners)
        proved = self.board.proved(solution.batch.view(self.part)) > 0
        which = np.where(
            proved, 4.0, np.where(np.asarray(burns) > 0, 3.0, np.where(glows, 2.0, draws * 1.0))
        )
        return chances_of(np.broadcast_to(which, (bench.size,)), 5)


@dataclass(frozen=True, slots=True)
class FlameWarms:
    """How the air feels three minutes after a call for heat: warm, cold."""

    part: str
    proved: Expr
    blowers: tuple[str, ...]

    def __call__(self, bench: Bench, _: Sequence[Suspect]) -> FloatArray:
        """The chances of its choices."""
        solution = bench.heating
        flame = self.proved(solution.batch.view(self.part)) > 0
        air = np.logical_and.reduce([turns(solution, each) > 0 for each in self.blowers])
        return chances_of(np.broadcast_to(np.where(flame & air, 0.0, 1.0), (bench.size,)), 2)


@dataclass(frozen=True, slots=True)
class Shifts:
    """Whether a running compressor goes into its high stage on a call for it: rises, stays."""

    part: str
    high: Expr

    def __call__(self, bench: Bench, _: Sequence[Suspect]) -> FloatArray:
        """The chances of its choices."""
        solution = bench.calling
        high = self.high(solution.batch.view(self.part)) * turns(solution, self.part)
        return chances_of(np.broadcast_to(1.0 - high, (bench.size,)), 2)


@dataclass(frozen=True, slots=True)
class CompressorSound:
    """running / runs, then trips / hums and trips / silent."""

    part: str

    def __call__(self, bench: Bench, _: Sequence[Suspect]) -> FloatArray:
        """The chances of its choices."""
        early, late = turns(bench.starting, self.part), turns(bench.calling, self.part)
        locked = bench.plan.defaults[(self.part, "locked_a")]
        amp = bench.starting.line_amp(self.part)
        hums = (early == 0) & (amp > HEARD_LOCKED_SHARE * locked)
        which = np.where(late > 0, 0.0, np.where(early > 0, 1.0, np.where(hums, 2.0, 3.0)))
        return chances_of(which, 4)


@dataclass(frozen=True, slots=True)
class PlungerPosition:
    """in / out / chatters, during the call; seen early in it as often as late."""

    part: str

    def __call__(self, bench: Bench, _: Sequence[Suspect]) -> FloatArray:
        """The chances of its choices."""
        return 0.5 * (self._seen(bench.starting) + self._seen(bench.calling))

    def _seen(self, solution: Solution) -> FloatArray:
        pulled_in = plunger_in(solution, self.part)
        chatters = solution.chatter.get((self.part, "attracted"))
        which = np.where(pulled_in > 0, 0.0, 1.0)
        if chatters is not None:
            which = np.where(chatters & (pulled_in == 0), 2.0, which)
        chances = chances_of(which, 3)
        hums = solution.state((self.part, "hums")) > 0
        chances[(which == 0.0) & hums] = HUMMING
        chances[(which == 1.0) & self._half_pulled(solution)] = HALF_PULLED
        return chances

    def _half_pulled(self, solution: Solution) -> npt.NDArray[np.bool_]:
        """Where the coil has volts that move the plunger and do not seat it."""
        part = solution.plan.unit.part(self.part)
        (rule,) = (r for r in KINDS[part.kind].rules if r.pulls)
        volt = np.abs(solution.link_volt(solution.plan.link_by_key[(self.part, rule.element)]))
        share = volt / rule.acts_at_volt(solution.batch.view(self.part))
        return np.asarray((share >= HALF_PULL_SHARE) & (share < 1.0))


@dataclass(frozen=True, slots=True)
class AllQuiet:
    """Whether all contactors sit still during a call: quiet, one buzzes or chatters."""

    parts: tuple[str, ...]

    def __call__(self, bench: Bench, suspects: Sequence[Suspect]) -> FloatArray:
        """The chances of its choices."""
        heard = [PlungerPosition(part)(bench, suspects)[:, 2] for part in self.parts]
        loud = 1.0 - np.prod([1.0 - each for each in heard], axis=0)
        return np.stack([1.0 - loud, loud], axis=1)


@dataclass(frozen=True, slots=True)
class AirCools:
    """How the air at a register feels on a call for cooling: cool, warm or like the room.

    elements: as of `AirWarms`. compressors: one that runs cools.
    """

    elements: tuple[tuple[str, str, str], ...]
    compressors: tuple[str, ...]

    def __call__(self, bench: Bench, _: Sequence[Suspect]) -> FloatArray:
        """The chances of its choices."""
        solution = bench.calling
        watt = sum(solution.element_watt((part, element)) for part, element, _ in self.elements)
        rated = sum(bench.plan.defaults[(part, name)] for part, _, name in self.elements)
        cools = np.max([turns(solution, each) for each in self.compressors], axis=0)
        warm = np.broadcast_to(watt / rated > COLD_SHARE, (bench.size,))
        return chances_of(np.where(warm, 1.0, 1.0 - cools), 2)


def plunger_in(solution: Solution, part: str) -> FloatArray:
    """1 where the contactor's plunger is in."""
    attracted = solution.state((part, "attracted"))
    blocked, welded = (solution.state((part, name)) for name in ("blocked", "welded"))
    return np.maximum(attracted * (1 - blocked), welded)


@dataclass(frozen=True, slots=True)
class Pulls:
    """Whether a coil draws on the call: draws, does not. sign: what its look is called by."""

    part: str
    state: str
    sign: str

    def __call__(self, bench: Bench, _: Sequence[Suspect]) -> FloatArray:
        """The chances of its choices."""
        return chances_of(1.0 - bench.calling.state((self.part, self.state)), 2)


@dataclass(frozen=True, slots=True)
class KeepsRunning:
    """Whether any of its motors still runs with the thermostat off: stops, keeps running."""

    parts: tuple[str, ...]

    def __call__(self, bench: Bench, _: Sequence[Suspect]) -> FloatArray:
        """The chances of its choices."""
        running = np.max([turns(bench.standby, part) for part in self.parts], axis=0)
        return chances_of(running, 2)


@dataclass(frozen=True, slots=True)
class DeviceOpen:
    """Whether a disconnect, switch or fuse is seen open: closed, open."""

    part: str
    names: tuple[str, ...]

    def __call__(self, bench: Bench, _: Sequence[Suspect]) -> FloatArray:
        """The chances of its choices."""
        return chances_of(_any_of(bench, self.part, self.names), 2)


TRIPPED_SEEN = (0.06, 0.06, 0.88)
"""A tripped handle stands between on and off, and some take it for one of them: chances of on,
off, tripped (common practice, no source)."""

OPEN_SEEN = (SLIP_OF_EYE, 0.4, 0.59)
"""The same where the model only knows that the breaker was found open, by trip or by hand."""


@dataclass(frozen=True, slots=True)
class BreakerHandle:
    """How the handle of a breaker stands: on, off, tripped.

    tripped, off: the states and fault handles that make it stand so. unclear: those that mean
    either.
    """

    part: str
    tripped: tuple[str, ...]
    off: tuple[str, ...] = ()
    unclear: tuple[str, ...] = ()

    def __call__(self, bench: Bench, _: Sequence[Suspect]) -> FloatArray:
        """The chances of its choices."""
        off = _any_of(bench, self.part, self.off) > 0
        chances = chances_of(np.where(off, 1.0, 0.0), 3)
        chances[_any_of(bench, self.part, self.unclear) > 0] = OPEN_SEEN
        chances[(_any_of(bench, self.part, self.tripped) > 0) & ~off] = TRIPPED_SEEN
        return chances


def _any_of(bench: Bench, part: str, names: Sequence[str]) -> FloatArray:
    """1 where one of the part's states or fault handles is set, once all has tripped that will."""
    batch: Batch = bench.calling.batch
    found = [np.broadcast_to(batch.number((part, name)), (bench.size,)) for name in names]
    return np.max(found, axis=0) if found else np.zeros(bench.size)


ALIVE_VOLT = 15.0
"""Volts R to C from which the electronics of a 24 V control work (common practice, no source)."""

LIT = (0.97, 0.03)
"""With volts there: chances of on, and of blank or out (batteries, a light that is covered)."""

SCREEN_DARK = (0.25, 0.75)
BOARD_DARK = (0.01, 0.99)
"""Without volts: some thermostats go on by battery, no board does (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Powered:
    """Whether a screen or a light that lives on 24 V is lit: on, not on.

    r, c: the terminals between which its volts stand. dark: chances without volts. sign: by
    which a suspect carries that it stays dark though the volts are there.
    """

    r: str
    c: str
    dark: tuple[float, float]
    sign: str

    def __call__(self, bench: Bench, suspects: Sequence[Suspect]) -> FloatArray:
        """The chances of its choices."""
        alive = np.abs(bench.calling.volt(self.r, self.c)) >= ALIVE_VOLT
        each = np.array([suspect.signs.get(self.sign, 0.0) for suspect in suspects])
        out = np.maximum(LIT[1], np.repeat(each, bench.size // len(suspects)))
        out = np.where(alive, out, np.maximum(out, self.dark[1]))
        return np.stack([1.0 - out, out], axis=1)


def _sequence_volts(solution: Solution, part: str, rule: PhaseRule) -> Iterator[FloatArray]:
    """Positive and negative sequence on a phase monitor's legs, V."""
    for element in (rule.element, rule.negative):
        yield np.abs(solution.link_volt(solution.plan.link_by_key[(part, element)]))


@dataclass(frozen=True, slots=True)
class PhaseLight:
    """What the light of a phase monitor tells of its legs: good, reversed, lost or uneven.

    It tells of the legs, and nothing of the contact behind it: a light that says good over a
    contact that stands open is a monitor that has failed.
    """

    part: str
    rule: PhaseRule

    def __call__(self, bench: Bench, _: Sequence[Suspect]) -> FloatArray:
        """The chances of its choices."""
        solution = bench.calling
        forward, backward = _sequence_volts(solution, self.part, self.rule)
        good = solution.state((self.part, self.rule.state)) > 0
        which = np.where(good, 0, np.where(backward > REVERSED_SHARE * forward, 1, 2))
        return chances_of(np.broadcast_to(which, (bench.size,)), 3)


@dataclass(frozen=True, slots=True)
class PhaseOrder:
    """What a rotation meter on a phase monitor's three legs tells: in order, reversed, neither."""

    part: str
    rule: PhaseRule

    def __call__(self, bench: Bench, _: Sequence[Suspect]) -> FloatArray:
        """The chances of its choices."""
        solution = bench.calling
        forward, backward = _sequence_volts(solution, self.part, self.rule)
        turned = np.where(backward > REVERSED_SHARE * forward, 1, 2)
        which = np.where(forward > REVERSED_SHARE * backward, 0, turned)
        return chances_of(np.broadcast_to(which, (bench.size,)), 3)


REVERSED_SHARE = 2.0
"""Of the positive sequence: with one leg lost both are alike, in the other order this is all."""


@dataclass(frozen=True, slots=True)
class TurnedByHand:
    """Whether a fan wheel turns freely by hand with the unit dead: free, stuck."""

    part: str
    sign: str = "stiff"

    def __call__(self, bench: Bench, suspects: Sequence[Suspect]) -> FloatArray:
        """The chances of its choices."""
        chances = chances_of(bench.calling.state((self.part, "seized")), 2)
        stiff = Mark(self.sign, frozenset({self.part}), SLIP_OF_EYE)(bench, suspects)[:, 1]
        stuck = np.maximum(chances[:, 1], stiff)
        return np.stack([1.0 - stuck, stuck], axis=1)


@dataclass(frozen=True, slots=True)
class HotShell:
    """Whether heat is felt off a motor's shell, the back of a hand near it: not hot, hot."""

    part: str
    sign: str = "hot_shell"

    def __call__(self, bench: Bench, suspects: Sequence[Suspect]) -> FloatArray:
        """The chances of its choices."""
        open_hot = _any_of(bench, self.part, ("tripped", "overload_held")) > 0
        carried = Mark(self.sign, frozenset({self.part}), HOT_ANYWAY)(bench, suspects)[:, 1]
        seen = np.where(open_hot, OPEN_HOT, carried)
        return np.stack([1.0 - seen, seen], axis=1)
