"""The circuits between panel and units: breakers, disconnects, contactors, heaters, conductors.

What a part is here is read off what it does: how many legs it opens, what moves it, whether it
guards. Of conductors it is told which sizes somebody has read.
"""

from __future__ import annotations

from collections.abc import Iterable

from rungwise.parts import (
    Capacitor,
    Coil,
    ElectronicMotor,
    Heater,
    Motor,
    Overcurrent,
    Poles,
    Supply,
    part_of,
)
from rungwise.replacement.nec.ampacity import COPPER_A, SMALL_CONDUCTOR_A
from rungwise.replacement.nec.tables import size_up
from rungwise.unit import Part, Unit, Wire, arrangement
from rungwise.wording import say


def contactors(unit: Unit) -> tuple[Part, ...]:
    """The parts that a coil moves and that are made to switch a compressor's line."""
    return tuple(part for part, _ in unit.roles.made_as_contactors)


def start_relays(unit: Unit) -> tuple[Part, ...]:
    """The relays that take a start capacitor out."""
    return tuple(part for part, coil in unit.having(Coil) if coil.duty == "starting")


def start_capacitors(unit: Unit) -> tuple[Part, ...]:
    """The capacitors that are in for a start only."""
    told = unit.having(Capacitor)
    return tuple(p for p, can in told if all(each.purpose == "start" for each in can.sections))


def heaters(unit: Unit) -> tuple[Part, ...]:
    """The heaters that keep a crankcase warm."""
    return tuple(p for p, heater in unit.having(Heater) if heater.warms == "oil")


def outdoor_breakers(unit: Unit) -> tuple[Part, ...]:
    """The breakers on the way to the outdoor unit."""
    return _by_hand(unit, outdoors=True, trips=True)


def branch_breakers(unit: Unit) -> tuple[Part, ...]:
    """The breakers that feed nothing outdoors, such as an air handler's."""
    return _by_hand(unit, outdoors=False, trips=True)


def disconnects(unit: Unit) -> tuple[Part, ...]:
    """What opens the way to the outdoor unit by hand and does not trip."""
    return _by_hand(unit, outdoors=True, trips=False)


def branch_switches(unit: Unit) -> tuple[Part, ...]:
    """What opens by hand, does not trip, and feeds nothing outdoors."""
    return _by_hand(unit, outdoors=False, trips=False)


def _by_hand(unit: Unit, *, outdoors: bool, trips: bool) -> tuple[Part, ...]:
    return tuple(
        part
        for part, poles in unit.having(Poles)
        if poles.moved_by == "hand"
        and feeds_outdoors(unit, part.name) is outdoors
        and guards(unit, part, "trips") is trips
    )


def feeds_outdoors(unit: Unit, device: str) -> bool:
    """Whether the way from a hand's device leads to a contactor, or to a motor outdoors.

    Further devices that a hand opens are passed, from their line to their load side.
    """
    passed: set[str] = set()
    ahead = [device]
    while ahead:
        here = ahead.pop()
        passed.add(here)
        reached = {end for load in load_side(unit, here) for end in unit.wired_together(load)}
        names = {part_of(end) for end in reached}
        if any(_is_outdoor_load(unit, name) for name in names):
            return True
        ahead += [
            name
            for name in names
            if name not in passed and unit.kind_of(name).isolates
            and reached & {*line_side(unit, name)}
        ]  # fmt: skip
    return False


def on_the_outdoor_circuit(unit: Unit) -> frozenset[str]:
    """The parts outdoors, and what else hangs on the outdoor unit's breaker: a packaged blower.

    By wires and poles: no way leads through a load or a transformer.
    """
    breakers = [part.name for part in outdoor_breakers(unit)]
    ahead = {end for name in breakers for end in load_side(unit, name)}
    barred = {end for name in breakers for end in line_side(unit, name)}
    reached = {part_of(end) for end in _joined(unit, ahead, barred)}
    return frozenset(p.name for p in unit.parts if p.place == "outdoor" or p.name in reached)


def lies_on_neutral(unit: Unit, ends: Iterable[str]) -> bool:
    """Whether wires and poles join one of these terminals to the neutral of a supply."""
    neutrals = {f"{part.name}.{each.neutral}" for part, each in unit.having(Supply) if each.neutral}
    return not _joined(unit, neutrals, set()).isdisjoint(ends)


def _joined(unit: Unit, start: set[str], barred: set[str]) -> set[str]:
    """Every terminal that wires and poles join to `start`, no further than what is barred."""
    beside: dict[str, set[str]] = {}
    felt = ((part, guard.senses) for part, guard in unit.having(Overcurrent))
    for part, ends in (*((part, poles.ends) for part, poles in unit.having(Poles)), *felt):
        for line, load in ends:
            one, other = f"{part.name}.{line}", f"{part.name}.{load}"
            beside.setdefault(one, set()).add(other)
            beside.setdefault(other, set()).add(one)
    found, ahead = start | barred, list(start)
    while ahead:
        here = ahead.pop()
        near = (set(unit.wired_together(here)) | beside.get(here, set())) - found
        found |= near
        ahead += near
    return found - barred


def _is_outdoor_load(unit: Unit, name: str) -> bool:
    kind = unit.kind_of(name)
    turns = kind.facet(Motor) or kind.facet(ElectronicMotor)
    return kind.is_contactor or (turns is not None and unit.part(name).place == "outdoor")


def guards(unit: Unit, part: Part, how: str) -> bool:
    """Whether the part opens on too many amps in this way, `trips` or `melts`."""
    overcurrent = unit.kind_of(part.name).facet(Overcurrent)
    return overcurrent is not None and overcurrent.how == how


def opens_at(unit: Unit, part: str) -> str:
    """The parameter of the amps at which a part guards; raises LookupError where it does not."""
    overcurrent = unit.kind_of(part).facet(Overcurrent)
    if overcurrent is None:
        raise LookupError(say("{part} guards nothing", part=part))
    return overcurrent.rating


def poles_of(unit: Unit, part: str) -> Poles:
    """What the part switches; raises LookupError for one that switches nothing."""
    poles = unit.kind_of(part).facet(Poles)
    if poles is None:
        raise LookupError(say("{part} switches nothing", part=part))
    return poles


def line_side(unit: Unit, part: str) -> tuple[str, ...]:
    """The line terminals of a part that switches, `part.terminal`, its bar's among them."""
    poles = poles_of(unit, part)
    ends = [pole.line for pole in poles.poles] + ([poles.bar[0]] if poles.bar else [])
    return tuple(f"{part}.{end}" for end in ends)


def load_side(unit: Unit, part: str) -> tuple[str, ...]:
    """The load terminals of a part that switches, `part.terminal`, its bar's among them."""
    poles = poles_of(unit, part)
    ends = [pole.load for pole in poles.poles] + ([poles.bar[1]] if poles.bar else [])
    return tuple(f"{part}.{end}" for end in ends)


def outdoor_run(unit: Unit) -> tuple[Wire, ...]:
    """The conductors of the outdoor circuit from its breaker to the contactor."""
    sources = {part.name for part in outdoor_breakers(unit)}
    ends = {part.name for part in (*disconnects(unit), *contactors(unit))}
    legs = {leg.terminal for _, supply in unit.having(Supply) for leg in supply.legs}
    return tuple(
        wire
        for wire in unit.wires
        if wire.carries in legs and _parts_of(wire) & ends and _parts_of(wire) & (sources | ends)
    )


def behind(unit: Unit, breaker: str) -> tuple[Wire, ...]:
    """The conductors that leave a breaker for another place, and where it has one pole, neutral.

    What stays within its cabinet is the maker's wiring, guarded as the maker tested it.
    """
    ends = set(load_side(unit, breaker))
    if len(ends) == 1:
        ends |= {f"{part.name}.{supply.neutral}" for part, supply in unit.having(Supply)}
    here = unit.part(breaker).place
    return tuple(
        wire
        for wire in unit.wires
        if ends & {wire.start, wire.end}
        and {unit.part(part_of(end)).place for end in (wire.start, wire.end)} != {here}
    )


def as_in_the_arrangement(unit: Unit, wires: Iterable[Wire]) -> set[str]:
    """The conductors whose size nobody has written down: the arrangement's own."""
    if not unit.arrangement:
        return set()
    usual = arrangement(unit.arrangement).wire_by_name
    return {w.name for w in wires if w.name in usual and usual[w.name].awg == w.awg}


def carries_at_most_a(awg: float) -> float | None:
    """Amps of the copper conductor at 75 °C, its best case here; None for a size not kept."""
    row = COPPER_A.get(int(awg))
    return float(row[1]) if row else None


def device_at_most_a(awg: float) -> float | None:
    """The largest overcurrent device for the conductor: NEC 240.4(B) and (D); None if not kept."""
    small = SMALL_CONDUCTOR_A.get(int(awg))
    if small is not None:
        return float(small)
    carries = carries_at_most_a(awg)
    return None if carries is None else float(size_up(carries) or carries)


def _parts_of(wire: Wire) -> set[str]:
    return {part_of(end) for end in (wire.start, wire.end)}
