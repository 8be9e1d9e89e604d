"""One chunk of particles in every setting that checks are made in, solved once each.

Settings: *inrush* (the first swing of a start, every rotor still at rest), *starting* (the first
seconds of a call), *restart* (the same once what heat and pressure opened has closed again),
*calling* (all has tripped that will), *standby* (thermostat off), *heating* (the fullest call for
heat, once all has come that will), *defrosting* (a defrost forced on a cold coil), *dead* (every
isolating device open, nothing taken off) and *apart* (dead, every wire off, so that each part is
measured by itself), *cooled* (apart, once its shell is cold, when every overload that will close
has closed) and *chilled* (apart, with ice on whatever closes by cold).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cached_property
from typing import Literal

import numpy as np

from rungwise.circuit import (
    CALLING,
    DEFROSTING,
    HEATING,
    STANDBY,
    STARTING,
    Batch,
    Condition,
    Key,
    Leads,
    Network,
    Plan,
    Solution,
    proved,
)
from rungwise.diagnosis.course import Course
from rungwise.parts import FloatArray
from rungwise.unit import Unit

Live = Literal["inrush", "starting", "restart", "calling", "standby", "heating", "defrosting"]
Setting = Literal[Live, "dead", "apart", "cooled", "chilled"]

Leading = tuple[Setting, Literal["ac", "dc"], str, str]
"""A setting, the current that a meter sends or finds, and where its two leads are."""

CONDITIONS: dict[Live, Condition] = {
    "inrush": STARTING,
    "starting": STARTING,
    "restart": STARTING,
    "calling": CALLING,
    "standby": STANDBY,
    "heating": HEATING,
    "defrosting": DEFROSTING,
}


LEFT_AS_THEY_ARE = set(CONDITIONS) - {"restart"}
"""Settings in which no wire is off and no overload is told to have closed again."""


def dead_condition(unit: Unit) -> Condition:
    """Thermostat off and every device that a hand can open, open."""
    isolating = [part.name for part in unit.parts if unit.kind_of(part.name).isolates]
    return Condition("dead", "off", dict.fromkeys(isolating, 0))


class Bench:
    """The settings of `size` particles; each is solved when a check first asks for it.

    The unit has tried to cool before anybody comes.  `hot` says on which particles what heat or
    pressure opened then is found open still; it takes tens of minutes to close again, and nobody
    knows how long ago it was.  `hot_when_dead` says the same of the moment when the unit has
    been made dead, a quarter of an hour later (`hot` where it is not told).  What melted or
    tripped is found so on every particle.
    """

    def __init__(
        self,
        plan: Plan,
        values: Mapping[Key, FloatArray],
        size: int,
        hot: FloatArray,
        hot_when_dead: FloatArray | None = None,
        course: Course | None = None,
    ) -> None:
        self.plan = plan
        self.values = values
        self.size = size
        self.hot_when_dead = hot if hot_when_dead is None else hot_when_dead
        self.hot = hot
        self.course = course or Course(plan, values, size, hot)
        self._expected: dict[tuple[str, str], list[tuple[str, str]]] = {}

    def part(self, rows: slice) -> Bench:
        """The bench of some of the particles, its calls taken from this one's.

        Settling is done for many particles at once, since few of them settle late; what a meter
        finds is worked out on a few at a time, since it takes much memory.
        """
        course = self.course.part(rows)
        dead = self.hot_when_dead[rows]
        return Bench(self.plan, course.values, course.size, course.hot, dead, course)

    @cached_property
    def inrush(self) -> Solution:
        """The first swing of a start: all has closed that will, and no rotor turns yet.

        It needs no settling of its own: contacts stand as they do in the first seconds, but a coil
        that chatters is caught while it is in, and a start relay has not opened yet.
        """
        batch = self.starting.batch.take(np.arange(self.size))
        for block, rule in self.plan.rules:
            key = (block, rule.state)
            chatters = self.starting.chatter.get(key)
            batch.states[key] = rule.first_swing(batch.states[key], chatters)
        solved = Network(batch, self.course.standing).solve(batch, np.arange(self.size))
        volts = proved(batch, solved.volts, solved.worst_amp)
        return Solution(self.plan, STARTING, batch, volts, {})

    @property
    def starting(self) -> Solution:
        """The first seconds of a call, from what the last call has left open."""
        return self.course.starting

    @property
    def calling(self) -> Solution:
        """The call once everything has tripped that will."""
        return self.course.calling

    @property
    def standby(self) -> Solution:
        """The thermostat turned off after the call."""
        return self.course.standby

    @property
    def heating(self) -> Solution:
        """The fullest call for heat after that, in a unit that can be asked for it."""
        return self.course.heating

    @property
    def defrosting(self) -> Solution:
        """A defrost forced on a call for heat, in a unit that melts its ice."""
        return self.course.defrosting

    @property
    def restart(self) -> Solution:
        """The first seconds of a call once all that heat and pressure opened has closed again."""
        return self.course.restart

    def live(self, setting: Live) -> Solution:
        """The solution of a live setting."""
        solution: Solution = getattr(self, setting)
        return solution

    @cached_property
    def dead_batch(self) -> Batch:
        """The unit made dead, with what has blown or is still too hot left open."""
        batch = Batch.under(self.plan, dead_condition(self.plan.unit), self.size, self.values)
        for block, rule in self.plan.rules:
            key = (block, rule.state)
            if rule.opens == "for good":
                batch.states[key] = self.calling.batch.states[key].copy()
            elif rule.opens == "until cool":
                batch.states[key] = self.calling.batch.states[key] * self.hot_when_dead
            elif rule.falls_out:
                batch.states[key] = np.zeros(self.size)
        return batch

    @cached_property
    def apart_batch(self) -> Batch:
        """The unit dead with every wire off its terminals, at both ends."""
        lifted = {
            (wire.name, f"lifted_{end}"): np.asarray(1.0)
            for wire in self.plan.unit.wires
            for end in ("start", "end")
        }
        dead = self.dead_batch
        return Batch(self.plan, self.size, {**dead.values, **lifted}, dead.states)

    @cached_property
    def cooled_batch(self) -> Batch:
        """Each part by itself once it has cooled: overloads closed again."""
        apart = self.apart_batch
        values, states = dict(apart.values), dict(apart.states)
        for block, rule in self.plan.rules:
            if rule.found_open:
                states[(block, rule.state)] = np.zeros(self.size)
                values[(block, rule.found_open)] = np.asarray(0.0)
        return Batch(self.plan, self.size, values, states)

    @cached_property
    def chilled_batch(self) -> Batch:
        """Each part by itself, its temperature brought to freezing."""
        apart = self.apart_batch
        cold = {
            key: np.asarray(0.0)
            for key, state in self.plan.states.items()
            if state.driver == "ambient"
        }
        return Batch(self.plan, self.size, apart.values, {**apart.states, **cold})

    @cached_property
    def _leads(self) -> dict[str, Leads]:
        return {}

    def leads(self, setting: Setting, mode: Literal["ac", "dc"]) -> Leads:
        """The network that a meter finds in a setting, for alternating or direct current."""
        name = f"{setting} {mode}"
        if name not in self._leads:
            pairs = self._expected.get((setting, mode), ())
            shared = mode == "ac" and setting in LEFT_AS_THEY_ARE
            standing = self.course.standing if shared else None
            self._leads[name] = Leads(self.batch(setting), mode, pairs, standing)
        return self._leads[name]

    def expect(self, places: Iterable[Leading]) -> None:
        """Where leads will be laid: told before the first, all of them are worked out in one go."""
        for setting, mode, *pair in places:
            self._expected.setdefault((setting, mode), []).append((pair[0], pair[1]))

    def batch(self, setting: Setting) -> Batch:
        """Parameters and states of the particles in a setting."""
        match setting:
            case "dead":
                return self.dead_batch
            case "apart":
                return self.apart_batch
            case "chilled":
                return self.chilled_batch
            case "cooled":
                return self.cooled_batch
            case _:
                return self.live(setting).batch
