"""What the variants of a batch of wirings do in every situation, and what each wire carries."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from rungwise.circuit import (
    STANDBY,
    Asked,
    Key,
    LoadStates,
    Plan,
    Situation,
    Solution,
    solve_together,
    states_of,
)
from rungwise.parts import FloatArray
from rungwise.rewiring.wirings import Wirings

MOST_AT_ONCE = 3000
"""Circuits in one batch: some 15 kB of numbers each."""

NEVER = 1e4
"""Times a rating at which nothing opens any more."""


@dataclass(frozen=True)
class Surge:
    """What a breaker, fuse or overload carries while nothing has opened yet.

    `amp` and `seconds` have the shape [variants]; the seconds until it opens from cold are
    infinite where it carries that for ever, and 0 where it opens at once.
    """

    amp: FloatArray
    seconds: FloatArray


@dataclass(frozen=True)
class Observed:
    """A batch of wirings in every situation.

    `wire_amp` has the shape [situations, wires, variants].  For the situations `surge_in`, in
    their order: `held` is what the loads do while nothing has opened yet, `surges` what each
    part that could open then carries.  `rest_volt` [nodes, variants]: volts to earth with the
    thermostat off, of each node by its name in `nodes`.
    """

    wirings: Wirings
    load_states: LoadStates
    wires: tuple[str, ...]
    wire_amp: FloatArray
    surge_in: tuple[int, ...]
    held: LoadStates | None
    surges: tuple[Mapping[str, Surge], ...]
    nodes: tuple[str, ...]
    rest_volt: FloatArray


def observed(
    wirings: Wirings, situations: Sequence[Situation], surge_in: Sequence[int] | None = None
) -> Observed:
    """Solve every wiring in every situation.

    `surge_in`: the situations in which currents before anything opens are worked out too; all
    by default.  Raises NoSettling where a network comes to no rest.
    """
    solved = _solved(wirings, [Asked(each.condition, each.values) for each in situations])
    wires = tuple(wire.name for wire in wirings.unit.wires)
    never = prospective_values(wirings.plan)
    asked = tuple(range(len(situations)) if surge_in is None else surge_in)
    chosen = [situations[at] for at in asked]
    held = _solved(wirings, [Asked(each.condition, {**each.values, **never}) for each in chosen])
    return Observed(
        wirings,
        states_of(situations, solved),
        wires,
        np.array([[_wire_amp(each, wirings.places[name]) for name in wires] for each in solved]),
        asked,
        states_of(chosen, held) if held else None,
        tuple(dict(surge_of(each)) for each in held),
        wirings.plan.nodes,
        _rest_volt(situations, solved),
    )


def _rest_volt(situations: Sequence[Situation], solved: Sequence[Solution]) -> FloatArray:
    """Volts of every node to earth with the thermostat off and all supplies there."""
    found = (
        solution
        for situation, solution in zip(situations, solved, strict=True)
        if situation.condition == STANDBY and not situation.values
    )
    return np.abs(next(found).volts[:-1])


def _solved(wirings: Wirings, asked: Sequence[Asked]) -> list[Solution]:
    """Every wiring under every condition, as many at once as memory allows."""
    at_once = max(1, MOST_AT_ONCE // wirings.size)
    starts = range(0, len(asked), at_once)
    return [
        solution
        for start in starts
        for solution in solve_together(
            wirings.plan, asked[start : start + at_once], wirings.values, wirings.size
        )
    ]


def prospective_values(plan: Plan) -> dict[Key, FloatArray]:
    """Values that keep every breaker, fuse and overload of a plan closed."""
    return {
        (block, rule.rating): np.asarray(NEVER * plan.defaults[(block, rule.rating)])
        for block, rule in plan.rules
        if rule.watches == "amps"
    }


def surge_of(solution: Solution) -> Iterator[tuple[str, Surge]]:
    """The surges of a solution with `prospective_values`, the worst pole of each part."""
    plan, size = solution.plan, (solution.batch.size,)
    found: dict[str, Surge] = {}
    for block, rule in plan.rules:
        if rule.watches == "amps":
            amp = np.broadcast_to(np.abs(solution.element_amp((block, rule.element))), size)
            seconds = rule.opens_after_s(NEVER * amp, solution.batch.view(block))
            held = found.get(block)
            if held is not None:
                amp, seconds = np.maximum(amp, held.amp), np.minimum(seconds, held.seconds)
            found[block] = Surge(amp, seconds)
    yield from found.items()


def _wire_amp(solution: Solution, places: Sequence[str]) -> FloatArray:
    """Amps of a wire, wherever it is: it is in one of its places only."""
    amps = [np.abs(solution.element_amp((name, "path"))) for name in places]
    return np.asarray(np.max(amps, axis=0))
