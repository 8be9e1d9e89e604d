"""Which demands would start what is worked on, if something still fed it.

Trying to start a unit proves something only where it is asked for what would run: a heat pump's
valve, strip heat and what an outdoor thermostat passes on stay still on a call for cooling.  Read
from the solved circuit with everything on.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from functools import reduce

import numpy as np

from rungwise.circuit import CALLING, STANDBY, Condition, Plan, Solution, asked_for, loads_of, solve
from rungwise.errors import CircuitError
from rungwise.isolation.wording import list_words
from rungwise.parts import EARTH, Control, Defrosts, Does, part_of
from rungwise.wording import mark, say

WAKES_V = 12.0
"""A terminal wakes where its volts to ground rise by half of a 24 V call's."""

_WORDS = {
    "cool": mark("COOL, well below the room"),
    "cool1": mark("COOL, a degree below the room, so that the first stage alone calls"),
    "heat": mark("HEAT, well above the room"),
    "heat2": mark("HEAT, far above the room, until both stages call"),
    "heat+aux": mark("HEAT, far above the room, until the auxiliary heat calls too"),
    "heat2+aux": mark("HEAT, far above the room, until the auxiliary heat calls too"),
    "emergency heat": mark("EMERGENCY HEAT, well above the room"),
}
"""How a hand asks for each demand beside the fan's."""

_WITH_BOTH = {**_WORDS, "cool": mark("COOL, far below the room, until both stages call")}


def demands_that_start(plan: Plan, points: Collection[str]) -> tuple[str, ...]:
    """The fewest of the unit's demands that start all at these terminals that any demand starts.

    points: terminals at the place of work.
    """
    wakes = {name: frozenset(_wakes(plan, name, points)) for name in _asked(plan)}
    left, found = frozenset().union(*wakes.values()), []
    while left:
        best = max(wakes, key=lambda name: len(wakes[name] & left))
        found.append(best)
        left -= wakes[best]
    return tuple(name for name in wakes if name in found) or tuple(wakes)[:1]


def asking_words(plan: Plan, points: Collection[str]) -> str:
    """How each of them is asked for, one after the other, a thermostat's fan with the first.

    The thermostat of a box hangs in it, and has neither modes nor an app.
    """
    boxed = boxes(plan)
    if boxed:
        clocks = [p.title for p, _ in plan.unit.having(Defrosts)]
        named = list_words(boxed, "and")
        told = say("with somebody in the box: {boxed} as cold as it goes", boxed=named)
        turned = mark("{told}; then the {clock} turned by hand through a defrost")
        return say(turned, told=told, clock=clocks[0]) if clocks else told
    asked = [name for name in demands_that_start(plan, points) if name in _WORDS]
    both = "cool1" in plan.unit.demands
    words = [_WITH_BOTH[name] if both else _WORDS[name] for name in asked or ("cool",)]
    if "fan" in plan.unit.demands:
        words[0] = say("{asked}, fan ON", asked=words[0])
    asked_for = reduce(lambda one, more: say("{one}; then {more}", one=one, more=more), words)
    return say("with somebody at the thermostat or its app: {asked}", asked=asked_for)


def boxes(plan: Plan) -> tuple[str, ...]:
    """The thermostats that hang in a box and not in a room, by title."""
    return tuple(p.title for p, _ in plan.unit.having(Control) if p.place == "indoor")


def fans_run_on(plan: Plan) -> bool:
    """Whether an indoor fan runs without any call, as those of a cooler do."""
    solution, blowers = _solved(plan, STANDBY), plan.unit.roles.indoor_blowers
    if solution is None:
        return False
    return any(it.part in blowers and it.does is not Does.OFF for it in loads_of(solution))


def blower_runs(plan: Plan, opened: Collection[str]) -> bool:
    """Whether a blower still runs on a call with these devices open: it has another supply."""
    solution = _solved(plan, CALLING.opened(*opened))
    blowers = plan.unit.roles.indoor_blowers
    if solution is None:
        return bool(blowers)
    return any(it.part in blowers and it.does is not Does.OFF for it in loads_of(solution))


def _asked(plan: Plan) -> list[str]:
    """The demands that ask for something beside the fan, cooling first."""
    return [name for name in plan.unit.demands if name not in ("off", "fan")]


def _wakes(plan: Plan, demand: str, points: Collection[str]) -> Iterator[str]:
    """Terminals that a demand brings to life, and the motors and heaters that it starts there."""
    called, rest = (_solved(plan, each) for each in (asked_for(demand), STANDBY))
    if called is None or rest is None:
        return
    parts = {part_of(end) for end in points}
    for state in loads_of(called):
        if state.part in parts and state.does is not Does.OFF:
            yield state.part
    for end in points:
        now, before = (float(np.abs(each.volt(end, EARTH))[0]) for each in (called, rest))
        if now - before > WAKES_V:
            yield end


def _solved(plan: Plan, condition: Condition) -> Solution | None:
    try:
        return solve(plan, condition)
    except CircuitError:
        return None  # the description is then refused by its own check
