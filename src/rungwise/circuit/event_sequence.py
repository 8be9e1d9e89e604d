"""A call in the course of time: what switches, starts, trips, cools and comes again, and when.

The circuit is quasi-static: between two events it is at rest, and each event is followed by a
solution.  Events wait in a heap ordered by (time, order, serial); after every solution each
rule of the unit says what it now asks for and when, and what it no longer asks for is dropped.

Heat of overloads, fuses and breakers adds up: a share of 1 opens them, and at a steady current it
gets there in the seconds of `rungwise.parts.rule.trip_seconds`.  Below the limit it
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
from rungwise.circuit.course import Courses
from rungwise.circuit.elimination import ComplexArray
from rungwise.circuit.netlist import Key, Plan
from rungwise.circuit.network import Network
from rungwise.circuit.operating_point import CHATTER_TURNS, solve
from rungwise.circuit.residual import proved
from rungwise.circuit.response import Response, amp_through
from rungwise.circuit.solution import Solution
from rungwise.circuit.timeline import Moment, Timeline
from rungwise.errors import NoSettling
from rungwise.parts import Control, Defrosts, Does, Feeds, FloatArray, Reverses, Rule, Side, Wish
from rungwise.wording import joined, mark, measured, say

CHATTER_WINDOW_S = 2.0
"""A coil that turns `CHATTER_TURNS` times within this time chatters."""

WARM_STEP_S = 60.0
WARM_STEP_K = 1.0
"""The load follows the temperatures in steps of this time, while they are further from rest."""

_TIRED = np.array([True])

ROUNDS = 60
"""Solutions in which the rotors that turn must come to rest with one another."""

MOST_EVENTS = 5000
"""More are a loop that no time gets out of, and not a call that goes on."""

_HAND = 0
_WARM, _WARMTH = 7, -1
"""Order of a step of the temperatures among events, and the place it takes among the rules."""

_WARM_WORDS = mark("has come to its working pressures")

_OFF, _HUMS, _RUNS, _BACK = (float(x) for x in (Does.OFF, Does.HUMS, Does.RUNS, Does.BACKWARDS))
_MOTOR_WORDS = {
    (_OFF, _RUNS): mark("starts and runs"),
    (_OFF, _BACK): mark("starts and runs backwards"),
    (_OFF, _HUMS): mark("hums and does not come to speed"),
    (_HUMS, _RUNS): mark("comes to speed"),
    (_HUMS, _BACK): mark("comes to speed, backwards"),
    (_HUMS, _OFF): mark("stops humming"),
    (_RUNS, _HUMS): mark("stalls and hums"),
    (_RUNS, _OFF): mark("stops"),
    (_RUNS, _BACK): mark("turns about and runs backwards"),
    (_BACK, _HUMS): mark("stalls and hums"),
    (_BACK, _OFF): mark("stops"),
    (_BACK, _RUNS): mark("turns about and runs"),
}


@dataclass(frozen=True)
class Change:
    """Something that a hand or the weather does `at_s` seconds after the call.

    `demand`, `positions` (1 closed, 0 open, by part), `ambient_c` and `defrosts` as in a
    `rungwise.circuit.condition.Condition`; what is None or not named stays as it was.
    """

    at_s: float
    demand: Call | None = None
    positions: Mapping[str, int] = field(default_factory=dict)
    ambient_c: float | None = None
    defrosts: bool | None = None

    def applied_to(self, condition: Condition) -> Condition:
        """The condition from then on."""
        return replace(
            condition,
            demand=self.demand or condition.demand,
            positions={**condition.positions, **self.positions},
            ambient_c=condition.ambient_c if self.ambient_c is None else self.ambient_c,
            defrosts=condition.defrosts if self.defrosts is None else self.defrosts,
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
    overload that is open then has just opened.  `values` overrides parameters by (block, name),
    scalars or arrays of shape [1]; `changes` are made at their times.  Raises UnknownName for a
    change of a part that is not there, NoSettling when events come without end.
    """
    placed = [] if condition.demand == "off" else [Change(0.0, demand=condition.demand)]
    made = [*placed, *changes]
    for change in made:
        for name in change.positions:
            plan.unit.part(name)
    run = _Run(plan, condition, values or {})
    return Timeline(tuple(run.moments(made, horizon_s)), horizon_s)


class _Event(NamedTuple):
    """An entry of the heap; `rule` is an index into the plan's rules, or into the changes."""

    time_s: float
    order: int
    serial: int
    rule: int
    target: float


class _Told(NamedTuple):
    """What there is to tell of an event: the part, in words, what it does then."""

    part: str
    what: str
    does: Does | None = None
    with_amps: bool = False


class _Run:
    """The unit at one moment: its batch of one, what is under way, and how hot things are."""

    def __init__(self, plan: Plan, condition: Condition, values: Mapping[Key, FloatArray]) -> None:
        self.plan = plan
        self.values = values
        self.condition = replace(condition, demand="off", horizon="settled")
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
        self.course = Courses(plan.coolings, self.batch, WARM_STEP_K)
        self.network = Network(self.batch)
        self.does: dict[int, float] = {}
        self.solve()

    def moments(self, changes: Sequence[Change], horizon_s: float) -> Iterator[Moment]:
        """Let everything happen up to the horizon, one moment after another."""
        self.changes = changes
        for at, change in enumerate(changes):
            self.push(change.at_s, _HAND, at, 0.0)
        yield Moment(0.0, "", mark("at rest, no call"), self.solution())
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
        for part, what, does, with_amps in told:
            amps = f", {self.line_amp(part):.1f} A" if with_amps else ""
            line = joined("", (what, amps))
            yield Moment(self.now_s, part, line, self.solution(), does, with_amps)
        self.ask()

    def told_by(self, event: _Event) -> list[_Told]:
        """Do what the event asks for; tell it, if there is something to tell."""
        if event.order == _HAND:
            return self.by_hand(event)
        if event.order == _WARM:
            del self.pending[_WARMTH]
            return self.warmed()
        return self.by_rule(event)

    def warmed(self) -> list[_Told]:
        """Each compressor, once the temperatures that load it have come to rest."""
        rested = self.course.come_to_rest()
        words = [(block, self.line(block, _WARM_WORDS)) for block in rested]
        return [_Told(block, what, with_amps=True) for block, what in words]

    def solution(self) -> Solution:
        """The circuit as it is, kept apart from what comes."""
        chatter = {key: np.array([True]) for key in self.held}
        batch = self.batch.take(np.array([0]))
        volts = proved(batch, self.volts, self.worst_amp)
        return Solution(self.plan, self.condition, batch, volts, chatter)

    # --- the heap ---------------------------------------------------------------------------

    def push(self, time_s: float, order: int, rule: int, target: float) -> _Event:
        """Put an event into the heap."""
        event = _Event(time_s, order, self.serial, rule, target)
        self.serial += 1
        heapq.heappush(self.heap, event)
        return event

    def next_event(self) -> _Event | None:
        """The next event that is still asked for."""
        while self.heap:
            event = heapq.heappop(self.heap)
            if event.order == _HAND or self.pending.get(event.rule) is event:
                return event
        return None

    def ask(self) -> None:
        """Ask every rule what it wants now, and drop what is no longer wanted."""
        for at, (block, rule) in enumerate(self.plan.rules):
            wish = rule.wish(self.seen.of(block), _Going(self, at))
            self.note(at, rule.order, self.due(at, wish))
        step = Wish(0.0, WARM_STEP_S, by_then=True) if self.course.moves else None
        self.note(_WARMTH, _WARM, self.due(_WARMTH, step))

    def due(self, at: int, wish: Wish | None) -> tuple[float, float] | None:
        """The state that a rule wants, and when it is due."""
        if wish is None:
            return None
        held, time_s = self.pending.get(at), self.now_s + wish.wait_s
        if wish.by_then and held is not None and held.target == wish.target:
            time_s = min(time_s, held.time_s)
        return wish.target, time_s

    def note(self, at: int, order: int, wish: tuple[float, float] | None) -> None:
        """Put a wish into the heap, in place of what was asked for before."""
        held = self.pending.get(at)
        if wish is None:
            self.pending.pop(at, None)
        elif held is None or (held.target, held.time_s) != wish:
            target, time_s = wish
            self.pending[at] = self.push(time_s, order, at, target)

    def line_amp(self, block: str) -> float:
        """Amps in a motor's line, of any other part 0."""
        rule = next((r for b, r in self.plan.rules if b == block and r.watches == "speed"), None)
        return 0.0 if rule is None else self.amp(block, rule)

    def amp(self, block: str, rule: Rule) -> float:
        """Amps through the element that a rule watches."""
        link = self.plan.link_by_key[(block, rule.element)]
        return float(amp_through(self.batch, self.volts, link)[0])

    # --- what events do ----------------------------------------------------------------------

    def by_hand(self, event: _Event) -> list[_Told]:
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

    def told_changes(self, change: Change) -> Iterator[_Told]:
        """The parts that a hand or the weather changes, and what then is said of them."""
        controls = {part.name: control for part, control in self.plan.unit.having(Control)}
        for name in self.plan.blocks:
            demand = controls[name].demands.get(change.demand or "") if name in controls else None
            if demand is not None:
                yield _Told(name, self.line(name, demand.told))
        for name, state in self.plan.states:
            what = self.plan.states[(name, state)]
            if what.driver == "position" and name in change.positions:
                words = what.on if change.positions[name] else what.off
                yield _Told(name, self.line(name, words))
        if change.defrosts:
            for part, _ in self.plan.unit.having(Defrosts):
                yield _Told(part.name, self.line(part.name, mark("set to defrost by hand")))
        if change.ambient_c is not None:
            heat = measured(f"{change.ambient_c:.0f}", "°C")
            yield _Told("", say("outdoor air at {heat}", heat=heat))

    def by_rule(self, event: _Event) -> list[_Told]:
        """Do what a rule asked for; tell it."""
        del self.pending[event.rule]
        block, rule = self.plan.rules[event.rule]
        if rule.glides:
            return [self.turn_motor(event.rule, event.target)]
        key = (block, rule.state)
        before, cause = self.contacts(block), self.cause(block, rule)
        self.batch.states[key][0] = event.target
        self.heat[event.rule] = 0.0
        if rule.pulls and self.chatters(key):
            return [_Told(block, self.line(block, mark("chatters")), Does.CHATTERS)]
        if not rule.pulls:
            self.release()
        state = self.plan.states[key]
        words = state.on if event.target else state.off
        if not words:
            return []
        # The coil of a valve moves the refrigerant and no contact.
        kind = self.plan.blocks[block].kind
        lone = kind.facet(Reverses) is not None or kind.facet(Feeds) is not None
        follow = rule.counts or lone or self.contacts(block) != before
        idle = "" if follow else mark(", but its contacts do not follow")
        told = joined("", (self.line(block, words), cause if event.target else "", idle))
        pulled = Does.PULLED if event.target else Does.OFF
        return [_Told(block, told, pulled if rule.pulls else None)]

    def cause(self, block: str, rule: Rule) -> str:
        """The amps on which a thermal element is about to open, for reading."""
        return (
            say(" at {amps} A", amps=f"{self.amp(block, rule):.1f}")
            if rule.watches == "amps"
            else ""
        )

    def turn_motor(self, at: int, goal: float) -> _Told:
        """Bring a rotor to the speed that it now comes to."""
        block, rule = self.plan.rules[at]
        self.batch.states[(block, rule.state)][0] = self.comes_to(block, rule)
        was, self.does[at] = self.does[at], goal
        words = self.line(block, _MOTOR_WORDS[(was, goal)])
        return _Told(block, words, Does(int(goal)), with_amps=True)

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
            solved = self.network.solve(self.batch, np.array([0]))
            self.volts: ComplexArray = solved.volts
            self.worst_amp: FloatArray = solved.worst_amp
            tired = dict.fromkeys(self.held, _TIRED)
            self.seen = Response(self.batch, solved, tired)
            if not self.rotors_follow():
                self.note_heating()
                self.course.aim(self.batch)
                return
        msg = "a rotor comes to no steady speed"
        raise NoSettling(msg, moving=sorted(self.plan.motors))

    def rotors_follow(self) -> bool:
        """Move every rotor on that goes on doing what it does; True where one moved."""
        moved = False
        for at, (block, rule) in enumerate(self.plan.rules):
            seen = self.seen.of(block)
            step = rule.at_once(seen) if rule.glides else None
            if step is None:
                continue
            slip = np.asarray(step.to)
            now = rule.does(seen, slip)
            goes_on = now == self.does.setdefault(at, now)
            if step.moves[0] and goes_on:
                self.batch.states[(block, rule.state)][0] = slip[0]
                moved = True
        return moved

    def comes_to(self, block: str, rule: Rule) -> float:
        """The state that a rotor comes to."""
        step = rule.at_once(self.seen.of(block))
        return self.state(block, rule.state) if step is None else float(np.ravel(step.to)[0])

    def note_heating(self) -> None:
        """How fast every thermal element now warms, in shares of its limit per second."""
        for at, (block, rule) in enumerate(self.plan.rules):
            gain = rule.heating_per_s(self.seen.of(block))
            if gain is not None:
                self.heating[at] = float(gain[0])

    def warm(self, seconds: float) -> None:
        """Let thermal elements warm or cool for a time, never below cold, and the coils too."""
        self.heat = np.maximum(self.heat + seconds * self.heating, 0.0)
        self.course.go_on(self.batch, seconds)

    def state(self, block: str, name: str) -> float:
        return float(self.batch.states[(block, name)][0])

    def line(self, block: str, does: str) -> str:
        """What a part does, after its title."""
        return joined(" ", (self.plan.blocks[block].title, does))


class _Going:
    """How the part of one rule stands in the run (`Going` of `rungwise.parts.rule`)."""

    def __init__(self, run: _Run, at: int) -> None:
        self._run = run
        self._at = at

    @property
    def does(self) -> float:
        return self._run.does[self._at]

    def hot_s(self) -> float | None:
        heating, heat = self._run.heating[self._at], self._run.heat[self._at]
        return float((1.0 - heat) / heating) if heating > 0 else None

    def pressure_s(self, side: Side, psi: float, *, rising: bool) -> float:
        block, _ = self._run.plan.rules[self._at]
        circuits = self._run.plan.circuits_of(block)
        return self._run.course.seconds_to(circuits, psi, side, rising=rising)
