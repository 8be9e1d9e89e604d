"""What the capacitors of a work zone may still hold once the unit is dead, and how to bleed it."""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass

import numpy as np

from rungwise.circuit import CALLING, STARTING, Plan, solve
from rungwise.isolation.at_rest import AtRest, Section, capacitor_sections
from rungwise.isolation.discharge import (
    RESISTORS,
    TOUCH_VOLT,
    Bleed,
    bleed,
    decay_s,
    stored_joule,
)
from rungwise.isolation.variants import NO_EDITS, Edits, batch_values
from rungwise.parts import Coil, FloatArray, Poles, Supply
from rungwise.wording import joined, mark, say

HIGH_LEG_SHARE = 127.0 / 120.0
"""Highest volts of a leg in service over its usual ones: 127 of 120 V, ANSI C84.1 range B (from
memory)."""

WORST_CONDITIONS = (STARTING, CALLING)

UNTOLD_VOLT = 440.0
"""Rated volts of a capacitor of which the unit does not tell any: the highest usual ones, of run
and of start capacitors (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class StoredCharge:
    """One capacitor section at the most that it may hold: `peak_v`.

    That is the peak of what it is made for, √2 times `rated_v`, whatever the solution says, and
    of the most it ever runs at where that is more.  `rated_v` is `UNTOLD_VOLT` where the unit
    does not tell it (`told`).  `running_v` is RMS, the highest of all conditions at the high
    supply; `highest_when` says which.  `beside` names sections that stand in parallel to it
    at rest, whose charge goes with its own: `capacitance_uf` is its own, `together_uf` that of
    all.  `own_bleed_ohm` is a
    resistor fixed across it, if any, and `own_bleed_s` the time in which that alone brings it
    to 50 V.  `path_ohm` is what the rest of the circuit puts across it as found (windings,
    resistors): it usually empties by that at once, which must not be relied on.
    """

    part: str
    title: str
    place: str
    section: str
    terminals: tuple[str, str]
    capacitance_uf: float
    together_uf: float
    beside: tuple[str, ...]
    running_v: float
    rated_v: float
    told: bool
    highest_when: str
    peak_v: float
    stored_j: float
    own_bleed_ohm: float | None
    own_bleed_s: float | None
    path_ohm: float
    bleed: Bleed


@dataclass(frozen=True, slots=True)
class _Running:
    """The highest running volts of a section, RMS, and when they occur."""

    volt: float
    when: str


def stored_charges(plan: Plan, parts: Collection[str]) -> tuple[StoredCharge, ...]:
    """The charge that each capacitor section of these parts may hold, worst case."""
    sections = capacitor_sections(plan)
    running = _highest_running(plan, sections)
    rest = AtRest(plan, sections)
    return tuple(
        _charge(rest, at, running)
        for at, section in enumerate(sections)
        if section.part.name in parts
    )


def _charge(rest: AtRest, at: int, running: Sequence[_Running]) -> StoredCharge:
    section, group = rest.sections[at], rest.beside(at)
    own_uf = rest.capacitance_uf[at]
    rated = [rest.sections[k] for k in group]
    most_v = max(*(running[k].volt for k in group), *(_rated_v(rest, each) for each in rated))
    peak_v = math.sqrt(2.0) * most_v
    together_uf = sum(rest.capacitance_uf[k] for k in group)
    own_ohm = rest.own_bleed_ohm(section)
    return StoredCharge(
        section.part.name,
        section.part.title,
        section.part.place,
        section.link.element.name,
        section.terminals,
        own_uf,
        together_uf,
        tuple(rest.sections[k].title for k in group if k != at),
        running[at].volt,
        _rated_v(rest, section),
        "volt" in section.part.values,
        running[at].when,
        peak_v,
        stored_joule(own_uf, peak_v),
        own_ohm,
        None if own_ohm is None else decay_s(own_ohm, own_uf, peak_v, TOUCH_VOLT),
        rest.path_ohm(section),
        _bleed_by_usual_resistor(together_uf, peak_v),
    )


def _rated_v(rest: AtRest, section: Section) -> float:
    """Volts of the can, or the highest usual ones where nobody has told them."""
    return rest.rated_v(section) if "volt" in section.part.values else UNTOLD_VOLT


def _bleed_by_usual_resistor(capacitance_uf: float, peak_v: float) -> Bleed:
    """Through the first of the usual resistors that bears it, or else the strongest."""
    tried = [bleed(capacitance_uf, peak_v, resistor) for resistor in RESISTORS]
    return next((one for one in tried if one.resistor_bears_it), tried[-1])


def _highest_running(plan: Plan, sections: Sequence[Section]) -> list[_Running]:
    """The highest RMS volts of each section over conditions, at the high supply."""
    cases = _worst_cases(plan)
    values = batch_values(plan, NO_EDITS, [edits for _, edits in cases])
    solutions = [solve(plan, condition, values, len(cases)) for condition in WORST_CONDITIONS]
    whens = [joined("", (mark(c.name), words)) for c in WORST_CONDITIONS for words, _ in cases]
    return [
        _highest(np.concatenate([np.abs(s.link_volt(section.link)) for s in solutions]), whens)
        for section in sections
    ]


def _highest(volts: FloatArray, whens: Sequence[str]) -> _Running:
    """The highest volts, told by the first case that comes within 1% of them."""
    top = float(volts.max())
    return _Running(top, whens[int(np.argmax(volts >= 0.99 * top))])


def _worst_cases(plan: Plan) -> list[tuple[str, Edits]]:
    """High supply, with each start relay working or stuck in."""
    usual = {
        part.name: plan.unit.kind_of(part.name).parameter("leg_volt").default
        for part, _ in plan.unit.having(Supply)
    }
    high = {(name, "leg_volt"): HIGH_LEG_SHARE * volt for name, volt in usual.items()}
    starting = {part.name for part, coil in plan.unit.having(Coil) if coil.duty == "starting"}
    stuck = [
        (
            say(", {relay} stuck in", relay=relay.title),
            {(relay.name, pole.stuck_handle): 1.0 for pole in poles.poles},
        )
        for relay, poles in plan.unit.having(Poles)
        if relay.name in starting
    ]
    starts: list[tuple[str, Edits]] = [("", NO_EDITS), *stuck]
    return [(words, {**high, **edits}) for words, edits in starts]
