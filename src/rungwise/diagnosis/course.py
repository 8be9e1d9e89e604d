"""The calls of a batch of particles: the one before anybody came, the next one, and its end.

Each part of it is settled when it is first asked for.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
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
        # What was settled anew is laid in here and not in all at once: that copies their volts.
        called = {"restart": self._restart, "starting": self._starting, "calling": self._calling}
        vars(made).update({setting: each.part(rows) for setting, each in called.items()})
        return made

    @cached_property
    def starting(self) -> Solution:
        """The first seconds of a call, from what the last call has left open."""
        return self._starting.whole

    @cached_property
    def calling(self) -> Solution:
        """The call once everything has tripped that will."""
        return self._calling.whole

    @cached_property
    def restart(self) -> Solution:
        """The first seconds of a call once all that heat and pressure opened has closed again."""
        return self._restart.whole

    @property
    def _starting(self) -> _Mended:
        rows, again = self._call_again
        return _Mended(self._last_call[0], rows, None if again is None else again[0])

    @property
    def _calling(self) -> _Mended:
        rows, again = self._call_again
        return _Mended(self._last_call[1], rows, None if again is None else again[1])

    @cached_property
    def _restart(self) -> _Mended:
        first = self._last_call[0]
        held = [key for key in self._overloads if np.any(self.values.get(key, 0.0))]
        if not held:
            return _Mended(first, np.arange(0), None)
        closed = {**self.values, **dict.fromkeys(held, np.asarray(0.0))}
        rows = np.flatnonzero(np.any([self.values[key] > 0 for key in held], axis=0))
        again = solve(self.plan, STARTING, Taken(closed, rows), rows.size)
        return _Mended(replace(first, batch=first.batch.with_values(closed)), rows, again)

    @property
    def _overloads(self) -> list[Key]:
        """The handles by which an overload is found open, whatever opened it."""
        rules = self.plan.rules
        return [(block, rule.found_open) for block, rule in rules if rule.found_open]

    @cached_property
    def _last_call(self) -> tuple[Solution, Solution]:
        """Start and end of the call before anybody came, from a unit at rest."""
        first = self._settled(STARTING)
        return first, self._settled(CALLING, first.batch)

    def _settled(self, condition: Condition, earlier: Batch | None = None) -> Solution:
        """A condition after an earlier one, those beside another from where that one came to."""
        settling = Settling(self.plan, condition, self.values, self.size, standing=self.standing)
        if earlier is not None:
            settling.batch.go_on_from(earlier)
        alone = self._alone(earlier)
        lead, rest = np.flatnonzero(alone), np.flatnonzero(~alone)
        settling.settle(lead)
        settling.stand_as(rest, self.beside[rest])
        settling.settle(rest)
        return settling.solution()

    def _alone(self, earlier: Batch | None) -> BoolArray:
        """Which go on by themselves: those beside none, or that stood otherwise than that one."""
        alone: BoolArray = self.beside == np.arange(self.size)
        if earlier is None:
            return alone
        for block, rule in self.plan.rules:
            if not rule.glides:
                stands = np.broadcast_to(earlier.number((block, rule.state)), (self.size,))
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
        calling = Settling(self.plan, CALLING, values, rows.size, standing=standing)
        calling.batch.go_on_from(first.batch)
        return rows, (first, calling.run())

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
        end = self._calling.batch
        return self._settled(STANDBY, self._a_while_after(end) if by_suction else end)

    def _a_while_after(self, end: Batch) -> Batch:
        """The same with what heat or pressure has opened closed again where one comes later."""
        closed = {
            (block, rule.state): end.number((block, rule.state)) * self.hot
            for block, rule in self.plan.rules
            if rule.opens == "until cool"
        }
        return Batch(self.plan, self.size, end.values, {**end.states, **closed})

    @cached_property
    def heating(self) -> Solution:
        """The fullest call for heat after that; raises LookupError where there is none."""
        if self._heat is None:
            raise LookupError("this unit cannot be asked for heat")
        return self._settled(self._heat, self._a_while_after(self.standby.batch))

    @cached_property
    def defrosting(self) -> Solution:
        """A defrost forced on a call; raises LookupError where nothing defrosts."""
        forced = forced_defrost(self.plan.unit)
        if forced is None:
            raise LookupError("nothing in this unit melts ice")
        return self._settled(forced, self.standby.batch)

    @cached_property
    def _heat(self) -> Condition | None:
        return call_for_heat(self.plan.unit.demands)

    @property
    def _settings(self) -> tuple[str, ...]:
        """What comes after the call."""
        heat = () if self._heat is None else ("heating",)
        melts = ("defrosting",) if can_defrost(self.plan.unit) else ()
        return ("standby", *heat, *melts)


@dataclass(frozen=True, slots=True)
class _Mended:
    """A solution of which some variants (`rows`, rising) were settled anew."""

    before: Solution
    rows: IndexArray
    anew: Solution | None

    @property
    def whole(self) -> Solution:
        """Both together."""
        return self.before if self.anew is None else spliced(self.before, self.anew, self.rows)

    @property
    def batch(self) -> Batch:
        """The states of both together."""
        held = self.before.batch
        return held if self.anew is None else held.with_rows(self.rows, self.anew.batch)

    def part(self, some: slice) -> Solution:
        """Some of the variants, of both together."""
        start, stop, _ = some.indices(self.before.batch.size)
        low, high = np.searchsorted(self.rows, [start, stop])
        before = self.before.take(some)
        if self.anew is None or low == high:
            return before
        return spliced(before, self.anew.take(slice(low, high)), self.rows[low:high] - start)
