"""A check: the card that a person and the inference see, and what reads it off the circuit."""

from __future__ import annotations

from dataclasses import dataclass

from rungwise.diagnosis.fault_table import CheckCard
from rungwise.diagnosis.readers import Reader
from rungwise.diagnosis.visual_checks import Look
from rungwise.parts import Coil
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


def coil_volts_id(unit: Unit, part: Part) -> str:
    """The check of the volts on a contactor's coil on a call; "" of what has no coil."""
    coil = unit.kind_of(part.name).facet(Coil)
    if coil is None:
        return ""
    main = part.name == unit.roles.main_contactor
    return "volts-coil" if main else "-".join(("volts", part.name, *coil.ends))


def coil_name(unit: Unit, part: Part) -> str:
    """*The* coil is the main contactor's; every other one has its part's name with it."""
    return "coil" if part.name == unit.roles.main_contactor else f"coil-{part.name}"
