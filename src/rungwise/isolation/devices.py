"""The isolating devices of a unit, pole by pole."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from rungwise.circuit import Key
from rungwise.isolation.variants import Edits
from rungwise.parts import Branch, PartKind
from rungwise.unit import Part, Unit


@dataclass(frozen=True, slots=True)
class Pole:
    """One pole: its stuck-closed handle, and its terminals on the source's and the load's side."""

    number: int
    stuck: Key
    line: str
    load: str


@dataclass(frozen=True, slots=True)
class IsolatingDevice:
    """A breaker, disconnect or service switch that a hand opens and a lock keeps open."""

    name: str
    title: str
    place: str
    poles: tuple[Pole, ...]

    @property
    def opened(self) -> Edits:
        """The device opened, as edits of the circuit."""
        return {(self.name, "held_open"): 1.0}

    @property
    def terminals(self) -> tuple[str, ...]:
        """Its own terminals, line before load, pole by pole."""
        return tuple(terminal for pole in self.poles for terminal in (pole.line, pole.load))


def isolating_devices(unit: Unit) -> tuple[IsolatingDevice, ...]:
    """Every isolating device of the unit, in file order."""
    kinds = ((part, unit.kind_of(part.name)) for part in unit.parts)
    return tuple(_device(part, kind) for part, kind in kinds if kind.isolates)


def _device(part: Part, kind: PartKind) -> IsolatingDevice:
    poles = tuple(
        Pole(
            number, (part.name, stuck), f"{part.name}.{_across(kind, load)}", f"{part.name}.{load}"
        )
        for number, (stuck, load) in enumerate(kind.isolates, start=1)
    )
    return IsolatingDevice(part.name, part.title, part.place, poles)


def _across(kind: PartKind, load: str) -> str:
    """The terminal on the other side of the contact that ends at `load`."""
    contacts = (e for e in kind.elements if isinstance(e, Branch) and e.closed is not None)
    return next(e.b if e.a == load else e.a for e in contacts if load in (e.a, e.b))


def openings(devices: Iterable[IsolatingDevice]) -> Edits:
    """All of `devices` opened, as edits of the circuit."""
    return {key: value for device in devices for key, value in device.opened.items()}
