"""A call in the course of time: what switches, starts, trips, cools and comes again, and when.

The circuit is quasi-static: between two events it is at rest, and each event is followed by a
solution.  Events wait in a heap ordered by (time, priority, serial); after every solution each
rule of the unit says what it now asks for and when, and what it no longer asks for is dropped.

Heat of overloads, fuses and breakers adds up: a share of 1 opens them, and at a steady current it
gets there in the seconds of :func:`rungwise.circuit.response.trip_seconds`.  Below the limit it
falls again at the same law.

Temperatures of the two coils move by first order to where the rotors' speeds take them, and back
to the air's once the compressor stands; they load it and move the pressure switches.

Left out: a rotor's way through the speeds between (a start relay picks up once the motor is at
speed, not on the way), the pressure that a compressor stopped a moment ago starts against, and
what chatter does to contacts.
"""

from __future__ import annotations

import heapq
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import NamedTuple

import numpy as np

from rungwise.circuit.batch import Batch
from rungwise.circuit.condition import Call, Condition
from rungwise.circuit.course import Course
from rungwise.circuit.elimination import ComplexArray, Factors
from rungwise.circuit.netlist import Key, Plan
from rungwise.circuit.network import Network
from rungwise.circuit.operating_point import CHATTER_TURNS, SPEED_TOLERANCE, solve
from rungwise.circuit.residual import proved
from rungwise.circuit.response import (
    amp_through,
    coil_wanted,
    delay_starts_over,
    delay_volt_ratio,
    heat_ratio,
    melts_at_once,
    slip_wanted,
)
from rungwise.circuit.solution import Solution
from rungwise.circuit.timeline import Moment, Timeline
from rungwise.errors import NoSettling
from rungwise.parts.element import FloatArray
from rungwise.parts.rule import (
    CoilRule,
    DelayRule,
    FuseRule,
    MotorRule,
    OverloadRule,
    PressureRule,
    Rule,
)

COIL_S = 0.02
"""Time in which a coil moves its contacts (order of magnitude, common practice, no source)."""

MELT_S = 0.01
"""Time in which a fuse melts, or a breaker lets go, on a short (order of magnitude, no source)."""

RUN_UP_S = {"compressor": 0.4, "fan": 2.0}
"""Time in which a rotor comes to speed or to rest (order of magnitude, common practice)."""

CHATTER_WINDOW_S = 2.0
"""A coil that turns ``CHATTER_TURNS`` times within this time chatters."""

RUNNING_SPEED = 0.5
"""Share of synchronous speed from which a motor counts as running."""

HUM_SHARE = 0.5
"""A motor that does not run hums where it draws this share of its rated amps."""

WARM_STEP_S = 60.0
WARM_STEP_K = 1.0
"""The load follows the temperatures in steps of this time, while they are further from rest."""

ROUNDS = 60
MOST_EVENTS = 5000

_HAND = 0
_ROTOR = 5
_PRIORITY: dict[type[Rule], int] = {
    FuseRule: 1, OverloadRule: 2, CoilRule: 3, DelayRule: 4, MotorRule: _ROTOR,
    PressureRule: 6,
}  # fmt: skip
_WARM, _WARMTH = 7, -1
"""Priority of a step of the temperatures, and the place it takes among the rules."""

_WARM_WORDS = "has come to its working pressures"

_OFF, _HUMS, _RUNS = 0.0, 1.0, 2.0
_MOTOR_WORDS = {
    (_OFF, _RUNS): "starts and runs",
    (_OFF, _HUMS): "hums and does not come to speed",
    (_HUMS, _RUNS): "comes to speed",
    (_RUNS, _HUMS): "stalls and hums",
    (_RUNS, _OFF): "stops",
    (_HUMS, _OFF): "stops humming",
}
_CALL_WORDS: dict[Call, str] = {
    "cool": "is set to call for cooling",
    "fan": "is set to run the fan only",
    "off": "no longer calls",
}


@dataclass(frozen=True)
class Change:
    """Something that a hand or the weather does ``at_s`` seconds after the call.

    ``call``, ``positions`` (1 closed, 0 open, by part) and ``ambient_c`` as in a
    :class:`~rungwise.circuit.condition.Condition`; what is None or not named stays as it was.
    """

    at_s: float
    call: Call | None = None
    positions: Mapping[str, int] = field(default_factory=dict)
    ambient_c: float | None = None

    def applied_to(self, condition: Condition) -> Condition:
        """The condition from then on."""
        return replace(
            condition,
            call=self.call or condition.call,
            positions={**condition.positions, **self.positions},
            ambient_c=condition.ambient_c if self.ambient_c is None else self.ambient_c,
        )


def sequence(
    plan: Plan,
    condition: Condition,
    values: Mapping[Key, FloatArray] | None = None,
    *,
    horizon_s: float = 3600.0,
    changes: Iterable[Change] = (),
) -> Timeline:
    """The timeline of one variant from the moment that the condition's call is placed.

    Before time 0 the unit rests without a call, its devices where the condition has them; an
    overload that is open then has just opened.  ``values`` overrides parameters by (block, name),
    scalars or arrays of shape [1]; ``changes`` are made at their times.  Raises UnknownName for a
    change of a part that is not there, NoSettling when events come without end.
    """
    placed = [] if condition.call == "off" else [Change(0.0, call=condition.call)]
    made = [*placed, *changes]
    for change in made:
        for name in change.positions:
            plan.unit.part(name)
    run = _Run(plan, condition, values or {})
    return Timeline(tuple(run.moments(made, horizon_s)), horizon_s)


class _Event(NamedTuple):
    """An entry of the heap; ``rule`` is an index into the plan's rules, or into the changes."""

    time_s: float
    priority: int
    serial: int
    rule: int
    target: float


class _Run:
    """The unit at one moment: its batch of one, what is under way, and how hot things are."""

    def __init__(self, plan: Plan, condition: Condition, values: Mapping[Key, FloatArray]) -> None:
        self.plan = plan
        self.values = values
        self.condition = replace(condition, call="off", horizon="settled")
        self.now_s = 0.0
        self.serial = 0
        self.heap: list[_Event] = []
        self.pending: dict[int, _Event] = {}
        self.heat = np.zeros(len(plan.rules))
        self.heating = np.zeros(len(plan.rules))
        self.turned_s: dict[Key, list[float]] = defaultdict(list)
        self.held: set[Key] = set()
        self.changes: Sequence[Change] = ()
        self.batch = solve(plan, self.condition, values).batch
        self.course = Course(plan.cooling, self.batch)
        self.network = Network(self.batch)
        self.motor: dict[str, float] = {}
        self.solve()

    def moments(self, changes: Sequence[Change], horizon_s: float) -> Iterator[Moment]:
        """Let everything happen up to the horizon, one moment after another."""
        self.changes = changes
        for at, change in enumerate(changes):
            self.push(change.at_s, _HAND, at, 0.0)
        yield Moment(0.0, "", "at rest, no call", self.solution())
        self.ask()
        for _ in range(MOST_EVENTS):
            event = self.next_event()
            if event is None or event.time_s > horizon_s:
                return
            yield from self.happen(event)
        msg = "the call goes on switching without end"
        raise NoSettling(msg, moving=sorted({self.plan.rules[at][0] for at in self.pending}))

    def happen(self, event: _Event) -> Iterator[Moment]:
        """Let one event take place, solve, and ask every rule again."""
        self.warm(event.time_s - self.now_s)
        self.now_s = event.time_s
        told = self.told_by(event)
        self.solve()
        for part, what in told:
            amps = f", {self.line_amp(part):.1f} A" if event.priority in (_ROTOR, _WARM) else ""
            yield Moment(self.now_s, part, what + amps, self.solution())
        self.ask()

    def told_by(self, event: _Event) -> list[tuple[str, str]]:
        """Do what the event asks for; tell it, if there is something to tell."""
        if event.priority == _HAND:
            return self.by_hand(event)
        if event.priority == _WARM:
            del self.pending[_WARMTH]
            return self.warmed()
        return self.by_rule(event)

    def warmed(self) -> list[tuple[str, str]]:
        """The compressor, once the temperatures that load it have come to rest."""
        if self.course.left_k >= WARM_STEP_K:
            return []
        return [(block, f"{self.title(block)} {_WARM_WORDS}") for block in self.course.blocks]

    def solution(self) -> Solution:
        """The circuit as it is, kept apart from what comes."""
        chatter = {key: np.array([True]) for key in self.held}
        batch = self.batch.take(np.array([0]))
        return Solution(
            self.plan, self.condition, batch, proved(self.network, batch, self.volts), chatter
        )

    # --- the heap ---------------------------------------------------------------------------

    def push(self, time_s: float, priority: int, rule: int, target: float) -> _Event:
        """Put an event into the heap."""
        event = _Event(time_s, priority, self.serial, rule, target)
        self.serial += 1
        heapq.heappush(self.heap, event)
        return event

    def next_event(self) -> _Event | None:
        """The next event that is still asked for."""
        while self.heap:
            event = heapq.heappop(self.heap)
            if event.priority == _HAND or self.pending.get(event.rule) is event:
                return event
        return None

    def ask(self) -> None:
        """Ask every rule what it wants now, and drop what is no longer wanted."""
        for at, (block, rule) in enumerate(self.plan.rules):
            self.note(at, _PRIORITY[type(rule)], self.wish(at, block, rule))
        self.note(_WARMTH, _WARM, self.warmth_wish())

    def note(self, at: int, priority: int, wish: tuple[float, float] | None) -> None:
        """Put a wish into the heap, in place of what was asked for before."""
        held = self.pending.get(at)
        if wish is None:
            self.pending.pop(at, None)
        elif held is None or (held.target, held.time_s) != wish:
            target, time_s = wish
            self.pending[at] = self.push(time_s, priority, at, target)

    # --- what the rules ask for: a target state and the time it comes, or nothing ------------

    def wish(self, at: int, block: str, rule: Rule) -> tuple[float, float] | None:
        """What one rule asks for."""
        if isinstance(rule, CoilRule):
            return self.coil_wish(at, block, rule)
        if isinstance(rule, FuseRule):
            return self.fuse_wish(at, block, rule)
        if isinstance(rule, OverloadRule):
            return self.overload_wish(at, block, rule)
        if isinstance(rule, DelayRule):
            return self.delay_wish(at, block, rule)
        if isinstance(rule, PressureRule):
            return self.pressure_wish(block, rule)
        return self.motor_wish(at, block, rule)

    def after(self, at: int, target: float, wait_s: float) -> tuple[float, float]:
        """The target after a wait, or when it is due if it is already under way."""
        held = self.pending.get(at)
        under_way = held is not None and held.target == target
        return target, held.time_s if held is not None and under_way else self.now_s + wait_s

    def coil_wish(self, at: int, block: str, rule: CoilRule) -> tuple[float, float] | None:
        wanted = float(coil_wanted(self.batch, self.volts, block, rule)[0])
        if (block, rule.state) in self.held or wanted == self.state(block, rule.state):
            return None
        return self.after(at, wanted, COIL_S)

    def fuse_wish(self, at: int, block: str, rule: FuseRule) -> tuple[float, float] | None:
        if self.state(block, rule.state) > 0:
            return None
        if melts_at_once(self.batch, self.volts, block, rule)[0]:
            return 1.0, min(self.after(at, 1.0, MELT_S)[1], self.now_s + MELT_S)
        return self.hot(at)

    def overload_wish(self, at: int, block: str, rule: OverloadRule) -> tuple[float, float] | None:
        if self.state(block, rule.state) > 0:
            return self.after(at, 0.0, rule.reset_s)
        return self.hot(at)

    def hot(self, at: int) -> tuple[float, float] | None:
        """When the heat of a thermal element reaches its limit."""
        if self.heating[at] <= 0:
            return None
        return 1.0, self.now_s + (1.0 - self.heat[at]) / self.heating[at]

    def delay_wish(self, at: int, block: str, rule: DelayRule) -> tuple[float, float] | None:
        if self.state(block, rule.state) > 0:
            over = delay_starts_over(self.batch, self.volts, block, rule)[0]
            return self.after(at, 0.0, COIL_S) if over else None
        if delay_volt_ratio(self.batch, self.volts, block, rule)[0] < 1.0:
            return None
        return self.after(at, 1.0, rule.delay_s(self.batch.view(block)).item())

    def pressure_wish(self, block: str, rule: PressureRule) -> tuple[float, float] | None:
        opened = self.state(block, rule.state) > 0
        view = self.batch.view(block)
        psi = rule.closes_psi(view) if opened else rule.opens_psi(view)
        rising = opened == (rule.side == "low")
        wait_s = self.course.seconds_to(float(psi), rule.side, rising=rising)
        return None if np.isinf(wait_s) else (float(not opened), self.now_s + wait_s)

    def warmth_wish(self) -> tuple[float, float] | None:
        """When the load next follows the temperatures."""
        if not self.course.loads or self.course.left_k < WARM_STEP_K:
            return None
        return self.after(_WARMTH, 0.0, WARM_STEP_S)

    def motor_wish(self, at: int, block: str, rule: MotorRule) -> tuple[float, float] | None:
        goal = self.motor_goal(block, self.slip_wanted(block, rule))
        if goal == self.motor[block]:
            return None
        return self.after(at, goal, RUN_UP_S[self.plan.blocks[block].kind.motor])

    def motor_goal(self, block: str, slip: float) -> float:
        """Whether the motor runs, hums or is off, once its rotor has come to ``slip``."""
        if abs(1.0 - slip) >= RUNNING_SPEED:
            return _RUNS
        rated_a = self.batch.view(block)["rated_a"].item()
        return _HUMS if self.line_amp(block) >= HUM_SHARE * rated_a else _OFF

    def line_amp(self, block: str) -> float:
        """Amps in a motor's common lead, which its overload watches."""
        watched = next(
            rule.element
            for owner, rule in self.plan.rules
            if owner == block and isinstance(rule, OverloadRule)
        )
        link = self.plan.link_by_key[(block, watched)]
        return float(amp_through(self.batch, self.volts, link)[0])

    # --- what events do ----------------------------------------------------------------------

    def by_hand(self, event: _Event) -> list[tuple[str, str]]:
        """Make a change from outside; tell what was done."""
        change = self.changes[event.rule]
        told = list(self.told_changes(change))
        self.condition = change.applied_to(self.condition)
        batch = Batch.under(self.plan, self.condition, 1, self.values)
        batch.go_on_from(self.batch)
        self.batch = batch
        self.network = Network(batch)
        self.release()
        return told

    def told_changes(self, change: Change) -> Iterator[tuple[str, str]]:
        """The parts that a hand or the weather changes, and what then is said of them."""
        for name, state in self.plan.states:
            what = self.plan.states[(name, state)]
            if what.driver == "call_cool" and change.call is not None:
                yield name, f"{self.title(name)} {_CALL_WORDS[change.call]}"
            if what.driver == "position" and name in change.positions:
                yield name, f"{self.title(name)} {what.on if change.positions[name] else what.off}"
        if change.ambient_c is not None:
            yield "", f"outdoor air at {change.ambient_c:.0f} °C"

    def by_rule(self, event: _Event) -> list[tuple[str, str]]:
        """Do what a rule asked for; tell it."""
        del self.pending[event.rule]
        block, rule = self.plan.rules[event.rule]
        if isinstance(rule, MotorRule):
            return [self.turn_motor(block, rule, event.target)]
        key = (block, rule.state)
        before, cause = self.contacts(block), self.cause(block, rule)
        self.batch.states[key][0] = event.target
        self.heat[event.rule] = 0.0
        if isinstance(rule, CoilRule) and self.chatters(key):
            return [(block, f"{self.title(block)} chatters")]
        if not isinstance(rule, CoilRule):
            self.release()
        state = self.plan.states[key]
        idle = "" if self.contacts(block) != before else ", but its contacts do not follow"
        words = state.on if event.target else state.off
        return [(block, f"{self.title(block)} {words}{cause if event.target else ''}{idle}")]

    def cause(self, block: str, rule: Rule) -> str:
        """The amps on which a thermal element is about to open, for reading."""
        if not isinstance(rule, FuseRule | OverloadRule):
            return ""
        link = self.plan.link_by_key[(block, rule.element)]
        return f" at {float(amp_through(self.batch, self.volts, link)[0]):.1f} A"

    def turn_motor(self, block: str, rule: MotorRule, goal: float) -> tuple[str, str]:
        """Bring a rotor to the speed that it now comes to."""
        self.batch.states[(block, rule.state)][0] = self.slip_wanted(block, rule)
        was, self.motor[block] = self.motor[block], goal
        return block, f"{self.title(block)} {_MOTOR_WORDS[(was, goal)]}"

    def contacts(self, block: str) -> list[float]:
        """Which of a part's elements conduct."""
        view = self.batch.view(block)
        closed = (x.element.closed for x in self.plan.links if x.block == block)
        return [expr(view).item() for expr in closed if expr is not None]

    def chatters(self, key: Key) -> bool:
        """Whether a coil has just turned once too often; then it is held open."""
        recent = [t for t in self.turned_s[key] if t > self.now_s - CHATTER_WINDOW_S]
        self.turned_s[key] = [*recent, self.now_s]
        if len(self.turned_s[key]) < CHATTER_TURNS:
            return False
        self.held.add(key)
        self.batch.states[key][0] = 0.0
        return True

    def release(self) -> None:
        """Let chattering coils try again, because something else has changed."""
        self.held.clear()
        self.turned_s.clear()

    # --- the circuit between events ----------------------------------------------------------

    def solve(self) -> None:
        """Solve, and let rotors that turn follow small changes of volts and load."""
        for _ in range(ROUNDS):
            volts, factors = self.network.solve(self.batch, np.array([0]))
            self.volts: ComplexArray = volts
            self.factors: Factors = factors
            if not self.rotors_follow():
                self.note_heating()
                self.course.aim(self.batch)
                return
        msg = "a rotor comes to no steady speed"
        raise NoSettling(msg, moving=sorted(self.motor))

    def rotors_follow(self) -> bool:
        """Move every rotor on that stays in its mode; True where one moved."""
        moved = False
        for block, rule in self.plan.rules:
            if not isinstance(rule, MotorRule):
                continue
            slip = self.slip_wanted(block, rule)
            mode = self.motor.setdefault(block, self.motor_goal(block, slip))
            far = abs(slip - self.state(block, rule.state)) > SPEED_TOLERANCE
            if far and self.motor_goal(block, slip) == mode:
                self.batch.states[(block, rule.state)][0] = slip
                moved = True
        return moved

    def slip_wanted(self, block: str, rule: MotorRule) -> float:
        return float(slip_wanted(self.batch, self.volts, self.factors, block, rule)[0])

    def note_heating(self) -> None:
        """How fast every thermal element now warms, in shares of its limit per second."""
        for at, (block, rule) in enumerate(self.plan.rules):
            if isinstance(rule, FuseRule | OverloadRule):
                ratio = float(heat_ratio(self.batch, self.volts, block, rule)[0])
                self.heating[at] = (ratio**2 - 1.0) / rule.slow_s

    def warm(self, seconds: float) -> None:
        """Let thermal elements warm or cool for a time, never below cold, and the coils too."""
        self.heat = np.maximum(self.heat + seconds * self.heating, 0.0)
        self.course.go_on(self.batch, seconds)

    def state(self, block: str, name: str) -> float:
        return float(self.batch.states[(block, name)][0])

    def title(self, block: str) -> str:
        return self.plan.blocks[block].title
