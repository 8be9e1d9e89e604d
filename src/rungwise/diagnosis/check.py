"""A check: the card that a person and the inference see, and what reads it off the circuit."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from rungwise.diagnosis.fault_table import CheckCard
from rungwise.diagnosis.readers import Reader
from rungwise.diagnosis.visual_checks import Look
from rungwise.parts import Coil, Poles
from rungwise.unit import Part, Unit


@dataclass(frozen=True, slots=True)
class Check:
    """One check of a unit; exactly one of `reader` (numbers) and `look` (choices) is set.

    `off` are the terminals whose wires must come off for it.
    """

    card: CheckCard
    reader: Reader | None = None
    look: Look | None = None
    off: tuple[str, ...] = ()


def contactors_of(unit: Unit) -> Iterator[tuple[Part, Poles]]:
    """The contactors made for a compressor's line, each with its poles, in file order."""
    made_for_it = {part.name for part, coil in unit.having(Coil) if coil.duty == "definite purpose"}
    yield from ((part, poles) for part, poles in unit.having(Poles) if part.name in made_for_it)


def is_main_contactor(unit: Unit, part: Part) -> bool:
    """Whether people call it *the* contactor: the first in the line of a motor outdoors."""
    names = [each.name for each, _ in contactors_of(unit)]
    in_line = [name for name in names if name in unit.roles.contactors]
    return [part.name] == (in_line or names)[:1]


def coil_name(unit: Unit, part: Part) -> str:
    """*The* coil is the main contactor's; every other one has its part's name with it."""
    return "coil" if is_main_contactor(unit, part) else f"coil-{part.name}"
