"""Where the hands will be: the places of a work zone and the points that lie bare in it."""

from __future__ import annotations

from rungwise.errors import UnknownName
from rungwise.unit.unit import Unit

ZONES = {
    "outdoor": ("outdoor unit", ("outdoor",), ("disconnect",)),
    "indoor": ("indoor unit", ("indoor",), ()),
}
"""Zone: its title, the places it takes in, and the places of its disconnect."""


def zone_title(zone: str) -> str:
    """What a person calls the zone; raises UnknownName for one that does not exist."""
    return _zone(zone)[0]


def zone_points(unit: Unit, zone: str, *, inside_devices: bool = False) -> tuple[str, ...]:
    """Terminals (``part.terminal``) that lie bare when the zone is worked at.

    An isolating device keeps its own cover on and does not count, unless ``inside_devices``: then
    those in the zone and its disconnect do.  Raises UnknownName for a zone that does not exist.
    """
    _, places, beside = _zone(zone)
    with_devices = (*places, *beside)
    found: list[str] = []
    for part in unit.parts:
        kind = unit.kind_of(part.name)
        bare = (
            part.place in with_devices and inside_devices if kind.isolates else part.place in places
        )
        if bare:
            found += [f"{part.name}.{terminal}" for terminal in kind.terminals]
    return tuple(found)


def _zone(zone: str) -> tuple[str, tuple[str, ...], tuple[str, ...]]:
    if zone not in ZONES:
        raise UnknownName(what="There is no such work zone.", name=zone, known=ZONES)
    return ZONES[zone]
