"""What the unit is meant to do: itself, healthy, with the part that it was made with.

The part that hangs in it now may be an earlier mistake, so it is no yardstick.  Three things tell
what was meant: the arrangement, the nameplate's microfarads, and the circuit itself: a heater that
no situation ever feeds, and that another number of poles would feed, shows which contactor it was
wired for.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from rungwise.circuit.design_check import intended
from rungwise.circuit.situations import Situation, situations_of
from rungwise.parts import KINDS
from rungwise.parts.load import Does
from rungwise.replacement.circuits import Specimen, specimens
from rungwise.replacement.nets import Nets
from rungwise.unit.unit import Part, Unit

__all__ = ["CONTACTORS", "SECTIONS", "Meant", "Reference", "meant_unit"]

CONTACTORS = ("contactor_1p", "contactor_2p")
SECTIONS = {"dual_capacitor": {"herm_uf": "HERM", "fan_uf": "FAN"}, "run_capacitor": {"run_uf": ""}}


@dataclass(frozen=True)
class Reference:
    """The yardstick of a fit.

    found: the unit as it stands. meant: with the part that it was made with. situations: in which
    both are compared. notes: where the two differ, and how it was seen.
    """

    found: Specimen
    meant: Specimen
    situations: tuple[Situation, ...]
    notes: tuple[str, ...] = ()

    def stated(self, part: str, *keys: str) -> bool:
        """Whether the unit file gives these figures of the part that comes out.

        What it does not give is the kind's usual figure, and no ground to refuse anything.
        """
        return all(key in self.found.unit.part(part).values for key in keys)


@dataclass(frozen=True)
class Meant:
    """The unit as it was made, and how it was seen."""

    unit: Unit
    notes: tuple[str, ...] = ()


def meant_unit(unit: Unit, parts: Sequence[str]) -> Meant:
    """`unit` with `parts`, all of which it has, as they were when it was made."""
    notes: list[str] = []
    meant = unit
    for name in parts:
        part = _made_with(unit, unit.part(name))
        if part != unit.part(name):
            notes.append(_difference(unit.part(name), part))
            meant = _with_part(meant, part)
    for name in parts:
        if meant.part(name).kind in CONTACTORS and meant.parts_of_kind("crankcase_heater"):
            other = _wired_for(meant, name)
            if other is not None:
                meant, note = other
                notes.append(note)
    return Meant(meant, tuple(notes))


def _made_with(unit: Unit, part: Part) -> Part:
    """The part as the arrangement or the nameplate has it."""
    if part.kind in CONTACTORS and unit.arrangement:
        meant = intended(unit).part_by_name.get(part.name)
        return replace(part, kind=meant.kind) if meant and meant.kind in CONTACTORS else part
    if part.kind in SECTIONS:
        return _with_rated_sections(unit, part)
    return part


def _with_rated_sections(unit: Unit, part: Part) -> Part:
    """A run capacitor with the microfarads that its motors are made for."""
    nets, values = Nets(unit), dict(part.values)
    for key, terminal in SECTIONS[part.kind].items():
        for each in (terminal,) if terminal else ("1", "2"):
            motor = nets.motor_started_from(f"{part.name}.{each}")
            if motor is not None:
                wanted = motor.values.get("run_uf")
                usual = KINDS[part.kind].parameter(key).default
                if wanted is not None and wanted != values.get(key, usual):
                    values[key] = wanted
    return replace(part, values=values) if values != dict(part.values) else part


def _difference(found: Part, meant: Part) -> str:
    if found.kind != meant.kind:
        return (
            f"The unit was made with a {KINDS[meant.kind].title}; "
            f"a {KINDS[found.kind].title} is in it now."
        )
    return f"The {found.title} in it now has other microfarads than its motors are made for."


def _wired_for(unit: Unit, name: str) -> tuple[Unit, str] | None:
    """The unit with the other number of poles, where only that ever feeds one of its loads."""
    situations = situations_of(unit)
    part = unit.part(name)
    kind = next(each for each in CONTACTORS if each != part.kind)
    other = _with_part(unit, replace(part, kind=kind))
    dead = _never_on(unit, situations)
    revived = sorted(dead - _never_on(other, situations)) if dead else []
    if not revived:
        return None
    note = (
        f"The {unit.part(revived[0]).title} is wired for a {KINDS[kind].title}: with a "
        f"{KINDS[part.kind].title} it gets nothing in any situation."
    )
    return other, note


def _never_on(unit: Unit, situations: tuple[Situation, ...]) -> set[str]:
    """Loads that are off in every situation."""
    (specimen,) = specimens([unit])
    told = specimen.load_states(situations)
    off = (told.code[:, :, 0] == Does.OFF).all(axis=0)
    return {name for name, is_off in zip(told.loads, off, strict=True) if is_off}


def _with_part(unit: Unit, part: Part) -> Unit:
    parts = tuple(part if each.name == part.name else each for each in unit.parts)
    return replace(unit, parts=parts)
