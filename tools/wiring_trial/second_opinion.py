"""What ngspice makes of a wiring: the rewired unit printed as a netlist and solved once more.

The wires are really moved here, one plan for each wiring, so that the trick of many wirings in one
plan is checked too.  From our engine come the states that the situation settles to; ngspice's own
volts and amps then say whether those states are right: a fuse that melts, an overload that opens,
a rotor that turns or does not.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from rungwise.circuit import (
    START_SECONDS,
    Asked,
    Batch,
    PairLink,
    Plan,
    Situation,
    Solution,
    SpiceResult,
    machine_constants,
    machine_of,
    names_of,
    run_many,
    solve_together,
    spice_netlist,
    states_of,
    torque_nm,
    winding_amps,
)
from rungwise.parts import FloatArray
from rungwise.rewiring.observed import NEVER, prospective_values
from rungwise.rewiring.wirings import Wiring, rewired
from rungwise.unit import Unit

SHARE = 1e-3
FLOOR_VOLT = 1e-3
FLOOR_AMP = 1e-6
"""Agreement: 0.1%, or 1 mV, or 1 µA (what 1 mV drives through 1 kΩ)."""

BALANCE = 0.02
"""Share of the load's torque within which a turning rotor is in balance."""

STANDSTILL_SLIP = 1e-6


@dataclass(frozen=True)
class Opinion:
    """ngspice on one wiring in one situation.

    code: what the loads do, int [loads], from our own solution of the rewired unit. wrong: every
    disagreement in words; empty where ngspice agrees.
    """

    loads: tuple[str, ...]
    code: tuple[int, ...]
    harmed: frozenset[tuple[str, str]]
    wrong: tuple[str, ...]


def opinions(unit: Unit, cases: Sequence[tuple[Wiring, Situation]]) -> tuple[Opinion, ...]:
    """The opinion of ngspice on each wiring in its situation, all run in one process.

    Raises MissingProgram when ngspice is not installed.
    """
    solved = [_solved(unit, wiring, situation) for wiring, situation in cases]
    decks = [spice_netlist(each) for pair in solved for each in pair]
    found = run_many(decks)
    return tuple(
        _opinion(situation, settled, held, found[2 * at], found[2 * at + 1])
        for at, ((_, situation), (settled, held)) in enumerate(zip(cases, solved, strict=True))
    )


def _solved(unit: Unit, wiring: Wiring, situation: Situation) -> tuple[Solution, Solution]:
    """The situation as it settles, and with everything that could open held closed."""
    plan = Plan(rewired(unit, wiring))
    never = {**situation.values, **prospective_values(plan)}
    both = [Asked(situation.condition, values) for values in (situation.values, never)]
    settled, held = solve_together(plan, both)
    return settled, held


def _opinion(
    situation: Situation,
    settled: Solution,
    held: Solution,
    theirs: SpiceResult,
    theirs_held: SpiceResult,
) -> Opinion:
    told = states_of([situation], [settled])
    harmed = frozenset(
        (harm.part, harm.what) for at, harm in enumerate(told.harms) if told.harmed[0, at, 0]
    )
    wrong = (
        *_differences(settled, theirs),
        *_differences(held, theirs_held),
        *_openings(settled, held, theirs_held),
        *_rotors(settled, theirs),
    )
    return Opinion(told.loads, tuple(told.code[0, :, 0].tolist()), harmed, wrong)


def _differences(ours: Solution, theirs: SpiceResult) -> Iterator[str]:
    """Node volts and branch amps beyond the tolerance."""
    names = names_of(ours.plan)
    for at, name in enumerate(names.node):
        yield from _apart(f"volts of {name}", ours.volts[at, 0], theirs.volts[name], FLOOR_VOLT)
    for link in ours.plan.links:
        name = names.link[link.key]
        amp = theirs.amps.get(name, 0.0)  # what is open is not in the netlist
        yield from _apart(f"amps of {name}", ours.link_amp(link)[0], amp, FLOOR_AMP)
    for pair in ours.plan.pairs:
        for name, port in zip(names.ports[pair.key], ours.pair_amp(pair), strict=True):
            yield from _apart(f"amps of {name}", port[0], theirs.amps.get(name, 0.0), FLOOR_AMP)


def _apart(what: str, ours: complex, theirs: complex, floor: float) -> Iterator[str]:
    if abs(ours - theirs) > max(SHARE * abs(theirs), floor):
        yield f"{what}: {ours:.6g}, ngspice {theirs:.6g}"


def _openings(settled: Solution, held: Solution, theirs: SpiceResult) -> Iterator[str]:
    """Whether something opens exactly where ngspice sees a part carry more than it bears."""
    names = names_of(held.plan)
    over: set[str] = set()
    opened: set[str] = set()
    horizon_s = START_SECONDS if held.condition.horizon == "start" else np.inf
    for block, rule in held.plan.rules:
        if rule.watches == "amps":
            amp = NEVER * abs(theirs.amps.get(names.link[(block, rule.element)], 0.0))
            seconds = _number(rule.opens_after_s(np.asarray(amp), held.batch.view(block)))
            over |= {block} if np.isfinite(seconds) and seconds <= horizon_s else set()
            opened |= {block} if settled.state((block, rule.state))[0] else set()
    # What opens first may spare the others, and may let something else open that was not over.
    if bool(over) != bool(opened) or (opened and not opened & over):
        yield f"opened {sorted(opened)}, ngspice sees too much in {sorted(over)}"


def _rotors(settled: Solution, theirs: SpiceResult) -> Iterator[str]:
    """Whether ngspice's winding amps hold each rotor at the speed that it has settled to."""
    names = names_of(settled.plan)
    for pair in settled.plan.pairs:
        if pair.block not in settled.plan.motors:
            continue
        ports = tuple(np.array([theirs.amps.get(n, 0.0)]) for n in names.ports[pair.key])
        main, aux = winding_amps((ports[0], ports[1]), machine_of(pair).frame)
        batch, block = settled.batch, pair.block
        if _number(batch.number((block, "seized"))):
            continue
        slip, constants = batch.number((block, "slip")), machine_constants(batch, block)
        speed, turns = 1.0 - _number(slip), _number(torque_nm(constants, slip, main, aux))
        wanted = _load_nm(batch, pair, speed)
        if abs(speed) < STANDSTILL_SLIP:
            if abs(turns) > wanted * (1 + BALANCE):
                yield f"{block} stands at {turns:.3g} N·m, and {wanted:.3g} would turn it"
        elif abs(abs(turns) - wanted) > BALANCE * wanted or turns * speed < 0:
            yield f"{block} at speed {speed:.4f}: torque {turns:.4g}, load {wanted:.4g} N·m"


def _load_nm(batch: Batch, pair: PairLink, speed: float) -> float:
    """The torque that a motor's load asks for at a speed over the synchronous one: see `motion`."""
    block, view, machine = pair.block, batch.view(pair.block), machine_of(pair)
    standstill_nm, rated_nm = _number(machine.standstill_nm(view)), _number(machine.rated_nm(view))
    rpm = _number(batch.number((block, "rated_rpm")))
    synchronous = _number(np.asarray(machine_constants(batch, block).sync_rad_per_s))
    rated_speed = rpm * 2 * np.pi / 60 / synchronous
    return standstill_nm + (rated_nm - standstill_nm) * (speed / rated_speed) ** 2


def _number(values: FloatArray) -> float:
    return float(np.ravel(values)[0])
