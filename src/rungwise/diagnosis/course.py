"""The calls of a batch of particles: the one before anybody came, the next one, and its end.

Each part of it is settled when it is first asked for.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import cached_property

import numpy as np

from rungwise.circuit import (
    CALLING,
    STANDBY,
    STARTING,
    Batch,
    BoolArray,
    Condition,
    IndexArray,
    Key,
    Plan,
    Settling,
    Solution,
    Standing,
    Taken,
    call_for_heat,
    can_defrost,
    forced_defrost,
    joined,
    solve,
    spliced,
)
from rungwise.parts import FloatArray


class Course:
    """What `size` particles do on a call and after it; `hot` as in a bench.

    `beside` says of each particle from which one's last call its own goes on (`Layout`); each
    comes from rest where it is not told.
    """

    def __init__(
        self,
        plan: Plan,
        values: Mapping[Key, FloatArray],
        size: int,
        hot: FloatArray,
        beside: IndexArray | None = None,
    ) -> None:
        self.plan = plan
        self.values = values
        self.size = size
        self.hot = hot
        self.beside = np.arange(size) if beside is None else beside

    @cached_property
    def standing(self) -> Standing:
        """What no condition changes of the particles' networks."""
        return Standing.of(self.plan, self.values, self.size)

    def part(self, rows: slice) -> Course:
        """Some of the particles, as they were settled here."""
        size = len(range(*rows.indices(self.size)))
        made = Course(self.plan, Taken(self.values, rows), size, self.hot[rows])
        vars(made)["standing"] = self.standing.take(rows)
        for setting in self._settings:
            vars(made)[setting] = getattr(self, setting).take(rows)
        return made

    @cached_property
    def starting(self) -> Solution:
        """The first seconds of a call, from what the last call has left open."""
        first, (rows, again) = self._last_call[0], self._call_again
        return first if again is None else spliced(first, again[0], rows)

    @cached_property
    def calling(self) -> Solution:
        """The call once everything has tripped that will."""
        last, (rows, again) = self._last_call[1], self._call_again
        return last if again is None else spliced(last, again[1], rows)

    @cached_property
    def restart(self) -> Solution:
        """The first seconds of a call once all that heat and pressure opened has closed again."""
        first = self._last_call[0]
        held = [key for key in self._overloads if np.any(self.values.get(key, 0.0))]
        if not held:
            return first
        closed = {**self.values, **dict.fromkeys(held, np.asarray(0.0))}
        rows = np.flatnonzero(np.any([self.values[key] > 0 for key in held], axis=0))
        again = solve(self.plan, STARTING, Taken(closed, rows), rows.size)
        found = spliced(first, again, rows)
        return replace(found, batch=found.batch.with_values(closed))

    @property
    def _overloads(self) -> list[Key]:
        """The handles by which an overload is found open, whatever opened it."""
        rules = self.plan.rules
        return [(block, rule.found_open) for block, rule in rules if rule.found_open]

    @cached_property
    def _last_call(self) -> tuple[Solution, Solution]:
        """Start and end of the call before anybody came, from a unit at rest."""
        first = self._settled(STARTING)
        return first, self._settled(CALLING, first)

    def _settled(self, condition: Condition, earlier: Solution | None = None) -> Solution:
        """A condition after an earlier one, those beside another from where that one came to."""
        alone = self._alone(earlier)
        if alone.all():
            return solve(self.plan, condition, self.values, self.size, earlier, self.standing)
        lead, rest = np.flatnonzero(alone), np.flatnonzero(~alone)
        led = self._solved(condition, lead, None if earlier is None else earlier.batch.take(lead))
        from_there = led.batch.take(np.searchsorted(lead, self.beside[rest]))
        return joined(self.values, ((lead, led), (rest, self._solved(condition, rest, from_there))))

    def _solved(self, condition: Condition, rows: IndexArray, earlier: Batch | None) -> Solution:
        """A condition of some of the particles by themselves, from where an earlier one ended."""
        values, standing = Taken(self.values, rows), self.standing.take(rows)
        settling = Settling(self.plan, condition, values, rows.size, standing=standing)
        if earlier is not None:
            settling.batch.go_on_from(earlier)
        return settling.run()

    def _alone(self, earlier: Solution | None) -> BoolArray:
        """Which go on by themselves: those beside none, or that stood otherwise than that one."""
        alone: BoolArray = self.beside == np.arange(self.size)
        if earlier is None:
            return alone
        for block, rule in self.plan.rules:
            if not rule.glides:
                stands = earlier.state((block, rule.state))
                alone |= stands != stands[self.beside]
        return alone

    @cached_property
    def _call_again(self) -> tuple[IndexArray, tuple[Solution, Solution] | None]:
        """Start and end of a call where the last one has left something open: which, and both."""
        left = self._left_by(self._last_call[1])
        rows = np.flatnonzero(np.any([state > 0 for state in left.values()], axis=0))
        if not rows.size:
            return rows, None
        values = Taken(self.values, rows)
        batch = Batch.under(self.plan, STARTING, rows.size, values)
        batch.states.update({key: state[rows] for key, state in left.items()})
        standing = self.standing.take(rows)
        first = Settling(self.plan, STARTING, values, rows.size, batch, standing).run()
        return rows, (first, self._solved(CALLING, rows, first.batch))

    def _left_by(self, last: Solution) -> dict[Key, FloatArray]:
        """States that the last call has left open, each of shape [size]."""
        left = {}
        for block, rule in self.plan.rules:
            if rule.opens != "never":
                found = 1.0 if rule.opens == "for good" else self.hot
                left[(block, rule.state)] = last.state((block, rule.state)) * found
        return left

    @cached_property
    def standby(self) -> Solution:
        """The thermostat turned off after the call.

        A unit that its suction starts does not wait for a thermostat: once what stopped it has
        closed again it runs, and the box is pumped down.
        """
        by_suction = any(
            rule.watches == "pressure" and rule.opens == "never" for _, rule in self.plan.rules
        )
        end = self.calling
        return self._settled(STANDBY, self._a_while_after(end) if by_suction else end)

    def _a_while_after(self, end: Solution) -> Solution:
        """The same with what heat or pressure has opened closed again where one comes later."""
        closed = {
            (block, rule.state): end.state((block, rule.state)) * self.hot
            for block, rule in self.plan.rules
            if rule.opens == "until cool"
        }
        states = {**end.batch.states, **closed}
        return replace(end, batch=Batch(self.plan, self.size, end.batch.values, states))

    @cached_property
    def heating(self) -> Solution:
        """The fullest call for heat after that; raises LookupError where there is none."""
        if self._heat is None:
            raise LookupError("this unit cannot be asked for heat")
        return self._settled(self._heat, self._a_while_after(self.standby))

    @cached_property
    def defrosting(self) -> Solution:
        """A defrost forced on a call; raises LookupError where nothing defrosts."""
        forced = forced_defrost(self.plan.unit)
        if forced is None:
            raise LookupError("nothing in this unit melts ice")
        return self._settled(forced, self.standby)

    @cached_property
    def _heat(self) -> Condition | None:
        return call_for_heat(self.plan.unit.demands)

    @property
    def _settings(self) -> tuple[str, ...]:
        heat = () if self._heat is None else ("heating",)
        melts = ("defrosting",) if can_defrost(self.plan.unit) else ()
        return ("restart", "starting", "calling", "standby", *heat, *melts)
