"""A change of design that would let a two-pole contactor serve, told only if the solution agrees.

A crankcase heater across the open pole needs the bar.  Moved to the line side, behind a thermostat
of its own, it needs neither pole.  Whether it then keeps the oil warm whenever the compressor
stands still in the cold is a question to the circuit, and asked there.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from rungwise.circuit import COLD_STANDBY, Situation
from rungwise.parts import (
    KINDS,
    Against,
    Does,
    Heater,
    Motor,
    OpensOn,
    PartKind,
    Ratings,
    kind_having,
    terminal_of,
)
from rungwise.replacement.label import ratings_of
from rungwise.replacement.reason import fahrenheit
from rungwise.replacement.reference import Reference
from rungwise.replacement.seating import free_name
from rungwise.replacement.supply_circuit import heaters, line_side, poles_of
from rungwise.replacement.trials import Specimen, specimens
from rungwise.unit import Part, Unit, Wire
from rungwise.wording import measured, say

_AMPS = {Against.RUNNING_MOTORS: "FLA", Against.LOCKED_MOTORS: "LRA"}


@dataclass(frozen=True, slots=True)
class PossibleChange:
    """A change of the unit's design. heater_w: what the heater then gets in the cold."""

    text: str
    heater_w: float


def bar_restored(reference: Reference, fitted: Specimen, contactor: str) -> PossibleChange | None:
    """A two-pole contactor where one pole was meant, with a wire in place of the old bar.

    Told only where the circuit with the wire does in every situation what was meant.
    """
    meant = poles_of(reference.meant.unit, contactor).bar
    if meant is None or poles_of(fitted.unit, contactor).bar is not None:
        return None
    line, load = meant
    heavy = _lead(fitted.unit, f"{contactor}.{load}")
    ratings = ratings_of(fitted.unit, contactor)
    if heavy is None or ratings.lacking(*_AMPS):
        return None
    bar = replace(
        heavy,
        name=free_name("bar", fitted.unit.wire_by_name),
        start=f"{contactor}.{line}",
        end=f"{contactor}.{load}",
        length_m=0.1,
        joints=("plate", "plate"),
    )
    unit = replace(fitted.unit, wires=(*fitted.unit.wires, bar))
    (specimen,) = specimens([unit])
    situations = tuple(_in_the_cold(each) for each in reference.situations)
    if not _does_all(reference.meant, specimen, situations):
        return None
    heater = heaters(unit)[0]
    watt = _watt_when_off(specimen, heater.name, situations)
    amps = ", ".join(
        f"{fitted.number(contactor, key):g} A {name}"
        for against, name in _AMPS.items()
        if (key := ratings.parameter(against))
    )
    title = reference.meant.unit.part(contactor).title
    return PossibleChange(
        say(
            "The right part is a {title} ({amps}). Until it is there: a wire from {line} "
            "to {load}, {awg} AWG as the compressor's lead, is the bar of the old part. "
            "Solved so, every load does what was meant and the {title2} gets {watt} W "
            "with the thermostat off in the cold. {load} and the compressor's windings "
            "then stay live with the thermostat off, as they were before. Label inside "
            "the cover, with date and name: {line} AND {load} ARE WIRED TOGETHER. {load} "
            "AND COMPRESSOR ARE LIVE WITH THERMOSTAT OFF. OPEN THE DISCONNECT BEFORE "
            "SERVICE. Follow the maker and local codes; licensed practice where required.",
            title=title,
            amps=amps,
            line=line,
            load=load,
            awg=f"{heavy.awg:g}",
            title2=heater.title,
            watt=f"{watt:.0f}",
        ),
        watt,
    )


def _lead(unit: Unit, terminal: str) -> Wire | None:
    """The heaviest wire on a terminal: the compressor's lead."""
    wires = [wire for wire, _ in unit.wires_at(terminal)]
    return min(wires, key=lambda wire: wire.awg, default=None)


def _watt_when_off(specimen: Specimen, heater: str, cold: tuple[Situation, ...]) -> float:
    told = specimen.load_states(cold)
    at = next(i for i, each in enumerate(cold) if each.name == "thermostat off")
    return float(told.amount[at, told.loads.index(heater), 0])


def heater_to_the_line(
    reference: Reference, fitted: Specimen, contactor: str
) -> PossibleChange | None:
    """The heater moved to the line side behind a thermostat, if that does all that was meant.

    Meant is: every motor as before in every situation, and the heater on wherever it was on, each
    of them looked at in the cold, in which alone the oil needs it.
    """
    unit = fitted.unit
    outdoors, stat_kind = heaters(unit), _stat_kind()
    setting = (stat_kind.facet(Ratings) or Ratings(())).parameter(Against.SETTING)
    if len(outdoors) != 1 or unit.roles.opening_on("warmth") or setting is None:
        return None
    changed = _moved(unit, outdoors[0], contactor)
    if changed is None:
        return None
    (specimen,) = specimens([changed])
    cold = tuple(_in_the_cold(each) for each in reference.situations)
    if not _does_all(reference.meant, specimen, cold):
        return None
    watt = _watt_when_off(specimen, outdoors[0].name, cold)
    one, *more = (terminal_of(end) for end in line_side(unit, contactor)[:2])
    lines = say("{one} and {other}", one=one, other=more[0]) if more else one
    stat = measured(f"{fahrenheit(stat_kind.parameter(setting).default):.0f}", "°F")
    return PossibleChange(
        say(
            "Possible change: the {title} across {lines} on the line side, behind a "
            "thermostat of its own (closing below {stat}). Solved so, every motor "
            "does what it did and the heater gets {watt} W in the cold with any "
            "contactor, on a call too. This changes the unit's design: follow the maker "
            "and local codes, and have it done by whoever is licensed for it. Those "
            "wires stay live until the disconnect is open.",
            title=outdoors[0].title,
            lines=lines,
            stat=stat,
            watt=f"{watt:.0f}",
        ),
        watt,
    )


def _stat_kind() -> PartKind:
    """The thermostat that a heater is put behind."""
    return kind_having(OpensOn, lambda opens: opens.what == "warmth")


def _moved(unit: Unit, heater: Part, contactor: str) -> Unit | None:
    """The heater's two wires moved to L1 (behind a thermostat) and L2."""
    ends = [f"{heater.name}.{terminal}" for terminal in KINDS[heater.kind].terminals]
    on = [unit.wires_at(end) for end in ends]
    if any(len(wires) != 1 for wires in on):
        return None
    gone = {wires[0][0].name for wires in on}
    like, kind = on[0][0][0], _stat_kind()
    stat = free_name("heater_stat", unit.part_by_name)
    (first, second), lines = kind.terminals, line_side(unit, contactor)
    names = (free_name(f"heater_{n}", unit.wire_by_name) for n in ("to_stat", "feed", "return"))
    new = (
        _like(like, next(names), lines[0], f"{stat}.{first}"),
        _like(like, next(names), f"{stat}.{second}", ends[0]),
        _like(like, next(names), lines[1], ends[1]),
    )
    wires = tuple(wire for wire in unit.wires if wire.name not in gone)
    parts = (*unit.parts, Part(stat, kind.name, heater.place, circuit=heater.circuit))
    return replace(unit, parts=parts, wires=(*wires, *new))


def _like(wire: Wire, name: str, start: str, end: str) -> Wire:
    return replace(wire, name=name, start=start, end=end, joints=("push-on", "splice"))


def _in_the_cold(situation: Situation) -> Situation:
    condition = replace(situation.condition, ambient_c=COLD_STANDBY.ambient_c)
    return replace(situation, condition=condition)


def _does_all(meant: Specimen, changed: Specimen, cold: tuple[Situation, ...]) -> bool:
    before, after = meant.load_states(cold), changed.load_states(cold)
    if (after.harmed.any(axis=(0, 2)) & ~_known_harms(meant, changed, cold)).any():
        return False
    for name in before.loads:
        was = before.code[:, before.loads.index(name), 0]
        now = after.code[:, after.loads.index(name), 0]
        kind = KINDS[meant.unit.part(name).kind]
        if kind.facet(Motor) and (was != now).any():
            return False
        if kind.facet(Heater) and (now[was == Does.HEATS] != Does.HEATS).any():
            return False
    return True


def _known_harms(
    meant: Specimen, changed: Specimen, cold: tuple[Situation, ...]
) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    before, after = meant.load_states(cold), changed.load_states(cold)
    suffered = {h for at, h in enumerate(before.harms) if before.harmed[:, at, 0].any()}
    return np.array([harm in suffered for harm in after.harms], bool)
