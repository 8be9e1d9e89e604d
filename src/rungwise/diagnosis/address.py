"""Where a check is made, as values: what its reader holds, written on its card.

Nothing that needs to know which leads go where, around which wire the jaw is closed or in which
setting it is read takes it from a check's id, title or any other text.
"""

from __future__ import annotations

from dataclasses import replace

from rungwise.diagnosis.check import Check
from rungwise.diagnosis.fault_table import CheckCard
from rungwise.diagnosis.readers import (
    AmpReader,
    InsulationReader,
    LinkReader,
    LoadMicrofaradReader,
    MicrofaradReader,
    OhmReader,
    VoltReader,
)
from rungwise.parts import EARTH
from rungwise.unit import Unit

__all__ = ["addressed"]


def addressed(unit: Unit, check: Check) -> Check:
    """The check, its card telling the setting, the leads and the jaw of its reader."""
    return replace(check, card=_placed(unit, check))


def _placed(unit: Unit, check: Check) -> CheckCard:
    card = check.card
    match check.reader:
        case VoltReader(setting, a, b) | OhmReader(setting, a, b):
            card = replace(card, setting=setting, red=a, black=b)
        case AmpReader(setting, wire):
            card = replace(card, setting=setting, jaw=wire)
        case LoadMicrofaradReader(wire, a, b):
            card = replace(card, setting="calling", red=a, black=b, jaw=wire)
        case MicrofaradReader(a, b):
            card = replace(card, setting="apart", red=a, black=b)
        case InsulationReader(a):
            card = replace(card, setting="apart", red=a, black=EARTH)
        case LinkReader() as link:
            red, black = _loose_ends(unit, link)
            card = replace(card, setting="dead", red=red, black=black, link=link.element)
    return card


def _loose_ends(unit: Unit, link: LinkReader) -> tuple[str, str]:
    """A wire from end to end, a wire against the cabinet, or two conductors of a cable."""
    first, *rest = (unit.wire_by_name[name] for name in link.wires)
    if rest:
        return first.end, rest[0].end
    return (first.end, EARTH) if link.element == "rub" else (first.start, first.end)
