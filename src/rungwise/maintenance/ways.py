"""The ways in which the parts of a unit end, as their kinds tell them (`parts.trade.Wear`).

A part may end in several ways, each with a life of its own; the first to come ends it. What is no
part, a joint say, ends as wiring does.
"""

from __future__ import annotations

from rungwise.parts import (
    FAMILIES,
    KINDS,
    WIRING,
    Capacitor,
    Motor,
    Way,
    Wear,
    WearFamily,
    kind_having,
)

WAYS = tuple(way for family in FAMILIES for way in family.ways)
"""Every way of every family."""

NO_PART = Wear(WIRING)


def wear_of(kind: str) -> Wear:
    """How parts of a kind wear; "", which is no part, as wiring. Raises KeyError for no kind."""
    return (kind and KINDS[kind].facet(Wear)) or NO_PART


def family_of(kind: str) -> str:
    """The name of the family that a part kind wears and costs with."""
    return wear_of(kind).family.name


def ways_of(kind: str) -> tuple[Way, ...]:
    """All ways in which a part of this kind may end."""
    return wear_of(kind).family.ways


def way_of(kind: str, mode: str) -> Way:
    """The way that a fault mode of this kind belongs to; the last of them takes the rest."""
    return wear_of(kind).way(mode)


def rated_in(kind: str) -> str:
    """The unit of the figure that readings of such a part are held against."""
    return "µF" if KINDS[kind].facet(Capacitor) else "A"


def compressors() -> WearFamily:
    """The family of what drives refrigerant, which a failure elsewhere may take with it."""
    return wear_of(kind_having(Motor, lambda motor: motor.drives == "compressor").name).family
