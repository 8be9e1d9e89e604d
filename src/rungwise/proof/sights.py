"""What a proof has to have seen before it says that the unit does its work, and what it did not.

A short list that any technician would take: the start and the stop, volts under load, amps of both
motors, microfarads, the drop across the contacts, the heater's amps, the air split. Whatever was
repaired, a second fault left in is found by these and by nothing else.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass

from rungwise.unit.kinds import KINDS
from rungwise.unit.unit import Part, Unit

__all__ = ["AIR_SPLIT", "CHARGE", "INSULATION", "START_LOOKS", "Sight", "Unseen", "sights_of",
           "unseen_of"]  # fmt: skip

START_LOOKS = ("look-compressor", "look-fan", "look-blower", "look-idle")
"""What anyone sees and hears at the start and at the stop; no proof without them."""

CONTACTORS = ("contactor_1p", "contactor_2p")
SECTIONS = {"dual_capacitor": (("HERM", "C"), ("FAN", "C")), "run_capacitor": (("2", "1"),)}


@dataclass(frozen=True, slots=True)
class Sight:
    """One thing to have seen. checks: ids, any of which shows it. needed: no proof without it."""

    name: str
    checks: tuple[str, ...] = ()
    needed: bool = True


@dataclass(frozen=True, slots=True)
class Unseen:
    """A sight that was not had. why: "" where it is still to come, else why it cannot be had."""

    sight: Sight
    why: str = ""

    @property
    def withholds(self) -> bool:
        """Whether the proof waits for it."""
        return self.sight.needed and not self.why

    @property
    def text(self) -> str:
        """In words."""
        return f"{self.sight.name} ({self.why})" if self.why else self.sight.name


AIR_SPLIT = Sight("air split")
CHARGE = Sight("refrigerant charge", needed=False)
INSULATION = Sight("insulation to ground", needed=False)


def sights_of(unit: Unit, known: Collection[str]) -> tuple[Sight, ...]:
    """What the circuit of a unit has to show. known: ids of the checks that there are."""
    found = (Sight(each.name, tuple(it for it in each.checks if it in known), each.needed)
             for each in _sights(unit))  # fmt: skip
    return tuple(each for each in found if each.checks)


def unseen_of(
    sights: Collection[Sight], taken: Collection[str], out_of_reach: Collection[str] = ()
) -> tuple[Unseen, ...]:
    """Those of which no check was taken. out_of_reach: ids of checks that cannot be made."""
    left = [each for each in sights if not set(each.checks) & set(taken)]
    return tuple(
        Unseen(each, "could not be reached" if set(each.checks) <= set(out_of_reach) else "")
        for each in left
    )


def _sights(unit: Unit) -> Iterator[Sight]:
    titles = ("compressor's start", "fan's start", "blower's start", "stop")
    yield from (Sight(name, (look,)) for name, look in zip(titles, START_LOOKS, strict=True))
    for part in unit.parts_of_kind(*CONTACTORS):
        ends = ("L1-L2", "T1-T2")
        checks = tuple(f"volts-{part.name}-{each}" for each in ends)
        yield Sight(f"volts under load at the {part.title}", checks)
    for part in unit.parts:
        if part.place == "outdoor":
            yield from _outdoors(unit, part)
    insulation = tuple(f"insulation-{p.name}" for p in unit.parts if KINDS[p.kind].motor)
    yield Sight(INSULATION.name, insulation, needed=False)


def _outdoors(unit: Unit, part: Part) -> Iterator[Sight]:
    if KINDS[part.kind].motor:
        leads = tuple(f"amps-{wire.name}" for wire, _ in unit.wires_at(f"{part.name}.C")[:1])
        yield Sight(f"amps of the {part.title}", leads)
    for terminal, common in SECTIONS.get(part.kind, ()):
        name, section = part.name, f" {terminal}" if part.kind == "dual_capacitor" else ""
        checks = (f"loaduf-{name}-{terminal}", f"uf-{name}-{terminal}-{common}")
        yield Sight(f"microfarads of the {part.title}{section}", checks)
    if part.kind in CONTACTORS:
        yield Sight(f"drop across contact 1 of the {part.title}", (f"drop-{part.name}-L1-T1",))
    if part.kind == "contactor_2p":
        yield Sight(f"drop across contact 2 of the {part.title}", (f"drop-{part.name}-L2-T2",))
    if part.kind == "crankcase_heater":
        leads = tuple(f"idle-amps-{wire.name}" for wire, _ in unit.wires_at(f"{part.name}.1"))
        yield Sight(f"amps of the {part.title}, thermostat off", leads)
