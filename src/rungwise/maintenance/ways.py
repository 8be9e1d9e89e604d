"""The ways in which the parts of a unit end, and how long they last before the shop knows better.

A part may end in several ways, each with a life of its own; the first to come ends it. Every
figure here is common practice with no source: the shop's own lives replace them.
"""

from __future__ import annotations

from dataclasses import dataclass
from fnmatch import fnmatchcase

__all__ = ["WAYS", "Way", "family_of", "way_of", "ways_of"]


@dataclass(frozen=True, slots=True)
class Way:
    """One way to end: which fault modes it covers, its start life, what foretells it.

    shape, scale_y: Weibull life in years. measure: the quantity that wears towards it, or "".
    """

    family: str
    name: str
    title: str
    modes: tuple[str, ...]
    shape: float
    scale_y: float
    measure: str = ""

    @property
    def key(self) -> str:
        """Such as `capacitor.weak`."""
        return f"{self.family}.{self.name}"


_FAMILIES = {
    "capacitor": ("*capacitor",),
    "contactor": ("contactor_*",),
    "compressor": ("compressor",),
    "fan motor": ("fan_motor",),
    "control": ("transformer", "lv_fuse", "delay", "relay", "potential_relay", "thermostat"),
    "switch": ("*_switch", "breaker_*", "disconnect_*"),
    "heater": ("crankcase_heater", "heater_thermostat"),
    "wiring": ("*",),
}

WAYS = (
    Way("capacitor", "weak", "capacitor weak", ("*weak",), 3.0, 14.0, "capacitance"),
    Way("capacitor", "sudden", "capacitor open or shorted", ("*",), 1.5, 30.0),
    Way("contactor", "contacts", "contacts worn or welded",
        ("*pitted", "pole*", "welded"), 2.5, 16.0, "contact_drop"),
    Way("contactor", "sudden", "coil or plunger", ("*",), 1.2, 40.0),
    Way("compressor", "insulation", "winding to earth",
        ("earthed", "turns_shorted"), 3.0, 30.0, "insulation"),
    Way("compressor", "sudden", "compressor seized or open", ("*",), 2.0, 35.0),
    Way("fan motor", "bearings", "bearings worn", ("seized",), 2.5, 20.0, "amps"),
    Way("fan motor", "sudden", "fan motor open or shorted", ("*",), 1.3, 45.0),
    Way("control", "sudden", "control part dead", ("*",), 1.1, 60.0),
    Way("switch", "sudden", "switch or breaker", ("*",), 1.1, 80.0),
    Way("heater", "sudden", "heater dead", ("*",), 1.3, 40.0),
    Way("wiring", "sudden", "joint or wire", ("*",), 1.1, 120.0),
)  # fmt: skip


def family_of(kind: str) -> str:
    """The family of a part kind, or of a family's own name; wiring for whatever is no part."""
    if kind in _FAMILIES:
        return kind
    return next(
        name
        for name, patterns in _FAMILIES.items()
        if any(fnmatchcase(kind, pattern) for pattern in patterns)
    )


def ways_of(kind: str) -> tuple[Way, ...]:
    """All ways in which a part of this kind may end."""
    family = family_of(kind)
    return tuple(way for way in WAYS if way.family == family)


def way_of(kind: str, mode: str) -> Way:
    """The way that a fault mode of this kind belongs to; the last of them takes the rest."""
    return next(
        way for way in ways_of(kind) if any(fnmatchcase(mode, pattern) for pattern in way.modes)
    )
