"""What the unit is meant to do: itself, healthy, with the part that it was made with.

The part that hangs in it now may be an earlier mistake, so it is no yardstick.  Three things tell
what was meant: the arrangement, the nameplate's microfarads, and the circuit itself: a heater that
no situation ever feeds, and that another number of poles would feed, shows which contactor it was
wired for.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from rungwise.circuit import Situation, intended, situations_of
from rungwise.parts import KINDS, Capacitor, Does, Poles
from rungwise.replacement.candidate_kinds import CANDIDATE_KINDS
from rungwise.replacement.supply_circuit import contactors, heaters
from rungwise.replacement.trials import Specimen, specimens
from rungwise.unit import Part, Served, Unit
from rungwise.wording import say


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
            meant = with_part(meant, part)
    for name in parts:
        if meant.part(name) in contactors(meant) and heaters(meant):
            other = _wired_for(meant, name)
            if other is not None:
                meant, note = other
                notes.append(note)
    return Meant(meant, tuple(notes))


def _made_with(unit: Unit, part: Part) -> Part:
    """The part as the arrangement or the nameplate has it."""
    found = contactors(unit)
    if part in found and unit.arrangement:
        made = contactors(intended(unit))
        return replace(part, kind=made[found.index(part)].kind) if len(made) == len(found) else part
    return _with_rated_sections(unit, part)


def _with_rated_sections(unit: Unit, part: Part) -> Part:
    """A run capacitor with the microfarads that its motors are made for."""
    values = dict(part.values)
    for each in run_sections(unit):
        key = each.section.microfarads
        wanted = unit.part(each.motor).values.get("run_uf")
        if each.capacitor != part.name or wanted is None:
            continue
        if wanted != values.get(key, KINDS[part.kind].parameter(key).default):
            values[key] = wanted
    return replace(part, values=values) if values != dict(part.values) else part


def _difference(found: Part, meant: Part) -> str:
    if found.kind != meant.kind:
        return say(
            "The unit was made with a {title}; a {title2} is in it now.",
            title=KINDS[meant.kind].title,
            title2=KINDS[found.kind].title,
        )
    return say(
        "The {title} in it now has other microfarads than its motors are made for.",
        title=found.title,
    )


def _wired_for(unit: Unit, name: str) -> tuple[Unit, str] | None:
    """The unit with the other number of poles, where only that ever feeds one of its loads."""
    situations = situations_of(unit)
    part = unit.part(name)
    kind = _with_or_without_bar(unit, name)
    other = with_part(unit, replace(part, kind=kind))
    dead = _never_on(unit, situations)
    revived = dead - _never_on(other, situations) if dead else frozenset()
    first = next((each for each in unit.parts if each.name in revived), None)
    if first is None:
        return None
    note = say(
        "The {title} is wired for a {title2}: with a {title3} it gets nothing in any situation.",
        title=first.title,
        title2=KINDS[kind].title,
        title3=KINDS[part.kind].title,
    )
    return other, note


def _with_or_without_bar(unit: Unit, name: str) -> str:
    """The contactor with the fewest poles that has a bar where this one has none, or none."""
    family = CANDIDATE_KINDS[unit.part(name).kind].replaces
    told = {each: facet for each in family if (facet := KINDS[each].facet(Poles))}
    has_bar = told[unit.part(name).kind].bar is not None
    others = [each for each, poles in told.items() if (poles.bar is not None) != has_bar]
    return min(others, key=lambda each: (len(told[each].poles), each))


def run_sections(unit: Unit) -> tuple[Served, ...]:
    """The run sections in use, each with the motor whose start winding its wires reach."""
    return tuple(each for each in unit.roles.served if each.section.purpose == "run")


def is_run_capacitor(kind: str) -> bool:
    """Whether every section of such a part stays in while its motor runs."""
    capacitor = KINDS[kind].facet(Capacitor)
    return capacitor is not None and all(each.purpose == "run" for each in capacitor.sections)


def _never_on(unit: Unit, situations: tuple[Situation, ...]) -> set[str]:
    """Loads that are off in every situation."""
    (specimen,) = specimens([unit])
    told = specimen.load_states(situations)
    off = (told.code[:, :, 0] == Does.OFF).all(axis=0)
    return {name for name, is_off in zip(told.loads, off, strict=True) if is_off}


def with_part(unit: Unit, part: Part) -> Unit:
    """The unit with `part` in place of the part of its name."""
    parts = tuple(part if each.name == part.name else each for each in unit.parts)
    return replace(unit, parts=parts)
