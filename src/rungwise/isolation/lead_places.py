"""Where the leads can go: one good terminal for each piece of metal in each place."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from rungwise.isolation.devices import IsolatingDevice
from rungwise.isolation.probes import Pair
from rungwise.isolation.variants import NO_EDITS, Edits
from rungwise.unit.element import EARTH
from rungwise.unit.unit import Unit, Wire

NOT_MEASURED_AT = ("panel", "room")
"""The panel's own covers stay on; behind a room thermostat there is only its 24 V circuit."""


@dataclass(frozen=True, slots=True)
class LeadPlace:
    """Two points for a meter's leads, the place, and how little they are liked (0 to 0.5)."""

    pair: Pair
    place: str
    dislike: float


def lead_places(unit: Unit, base: Edits, zone_points: Iterable[str]) -> tuple[LeadPlace, ...]:
    """Every test point to earth, and every two test points of one place.

    Points that wires join are one, since they read the same; the best liked stands for all.
    """
    chosen = _test_points(unit, base, frozenset(zone_points))
    to_earth = [LeadPlace((point, EARTH), place, d) for point, place, d in chosen]
    between = [
        LeadPlace((a, b), place, max(d, e) + 0.2)
        for at, (a, place, d) in enumerate(chosen)
        for b, other, e in chosen[at + 1 :]
        if place == other
    ]
    return (*to_earth, *between)


def supply_legs(
    unit: Unit, zone_points: Iterable[str], devices: Iterable[IsolatingDevice]
) -> tuple[str, ...]:
    """Test points of the zone that wires join straight to a pole of a device, as designed."""
    metal = _metal(unit, NO_EDITS)
    supply = {metal[terminal] for device in devices for terminal in device.terminals}
    inside = frozenset(zone_points)
    points = (point for point, _, _ in _test_points(unit, NO_EDITS, inside))
    return tuple(
        point
        for point in points
        if point in inside and metal[point] in supply and not unit.kind_of(part_of(point)).isolates
    )


def part_of(terminal: str) -> str:
    """The part's name in ``part.terminal``."""
    return terminal.rpartition(".")[0]


def _test_points(
    unit: Unit, base: Edits, zone: frozenset[str]
) -> tuple[tuple[str, str, float], ...]:
    """(terminal, place, dislike) of the best terminal of each piece of metal in each place."""
    metal = _metal(unit, base)
    best: dict[tuple[str, str], tuple[str, str, float]] = {}
    for part in unit.parts:
        if part.place in NOT_MEASURED_AT:
            continue
        for terminal in unit.kind_of(part.name).terminals:
            point = f"{part.name}.{terminal}"
            dislike = _dislike(unit, part.name, in_zone=point in zone)
            key = (metal[point], part.place)
            if key not in best or dislike < best[key][2]:
                best[key] = (point, part.place, dislike)
    return tuple(best.values())


def _dislike(unit: Unit, part: str, *, in_zone: bool) -> float:
    """The lugs of the contactor where the hands will be are best; elsewhere, a device's own."""
    kind = unit.kind_of(part)
    if in_zone and not kind.isolates:
        return 0.0 if kind.name.startswith("contactor") else 0.05
    return 0.1 if kind.isolates else 0.3


def _metal(unit: Unit, base: Edits) -> dict[str, str]:
    """For each terminal, one name for all terminals that whole wires join to it."""
    name = {terminal: terminal for terminal in unit.terminals()}
    for wire in unit.wires:
        if _whole(wire, base):
            kept, gone = name[wire.start], name[wire.end]
            name = {t: kept if n == gone else n for t, n in name.items()}
    return name


def _whole(wire: Wire, base: Edits) -> bool:
    usual = 1.0 if wire.carries == "alternate" else 0.0  # stands for a wrong place, not there
    broken = base.get((wire.name, "path_open"), usual)
    others = ("lifted_start", "lifted_end", "fault_ohm")
    return not broken and not any(base.get((wire.name, each), 0.0) for each in others)
