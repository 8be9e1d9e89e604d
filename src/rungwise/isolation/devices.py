"""The isolating devices of a unit, and the ways they fail."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from rungwise.circuit.plan import Key
from rungwise.isolation.variants import Edits
from rungwise.unit.element import Branch
from rungwise.unit.kind import PartKind
from rungwise.unit.unit import Part, Unit


@dataclass(frozen=True, slots=True)
class Pole:
    """One pole: its stuck-closed handle, and its terminals on the source's and the load's side."""

    number: int
    stuck: Key
    line: str
    load: str


@dataclass(frozen=True, slots=True)
class Failure:
    """An isolating device that looks open while some of its poles stay closed.

    ``poles`` counts from 1; ``whole`` says that no pole opens, as when the wrong device was
    opened or it is bypassed.
    """

    device: str
    title: str
    poles: tuple[int, ...]
    whole: bool
    stuck: tuple[Key, ...]

    @property
    def edits(self) -> Edits:
        """The failure as edits of the circuit."""
        return dict.fromkeys(self.stuck, 1.0)


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

    def failures(self) -> tuple[Failure, ...]:
        """The device whole, then each pole alone where it has more than one."""
        whole = Failure(
            self.name,
            f"the {self.title} does not open",
            tuple(pole.number for pole in self.poles),
            whole=True,
            stuck=tuple(pole.stuck for pole in self.poles),
        )
        return (whole, *(self._one_pole(pole) for pole in self.poles if len(self.poles) > 1))

    def _one_pole(self, pole: Pole) -> Failure:
        title = f"pole {pole.number} of the {self.title} stays closed"
        return Failure(self.name, title, (pole.number,), whole=False, stuck=(pole.stuck,))


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
    """The terminal on the other side of the contact that ends at ``load``."""
    contacts = (e for e in kind.elements if isinstance(e, Branch) and e.closed is not None)
    return next(e.b if e.a == load else e.a for e in contacts if load in (e.a, e.b))


def openings(devices: Iterable[IsolatingDevice]) -> Edits:
    """All of ``devices`` opened, as edits of the circuit."""
    return {key: value for device in devices for key, value in device.opened.items()}
