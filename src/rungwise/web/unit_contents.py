"""What is there on the unit of a call: a call may have begun on another one."""

from __future__ import annotations

from collections.abc import Mapping

from rungwise.errors import BadInput, UnknownName
from rungwise.faults import SuspectSet
from rungwise.records import UnitHas
from rungwise.services import RESULTS, unit_from_text
from rungwise.unit import Unit
from rungwise.web.leads import checks_held
from rungwise.wording import mark


@RESULTS.shelf("names on a unit").per_unit
def at_fault(unit: Unit) -> Mapping[str, str]:
    """Titles of all parts, wires and supplies that can be at fault, by their names."""
    faulty = {each.block for each in SuspectSet(unit).suspects}
    return {each.name: each.title for each in unit.blocks() if each.name in faulty}


def at_fault_in(text: str) -> Mapping[str, str] | None:
    """The same of a unit file's text; None where there is no unit that can be solved."""
    try:
        return at_fault(unit_from_text(text)) if text else None
    except BadInput:
        return None


def unit_has(text: str) -> UnitHas | None:
    """What there is on the unit of a unit file's text; None where there is none to be solved."""
    try:
        unit = unit_from_text(text) if text else None
    except BadInput:
        return None
    return _has(unit) if unit else None


@RESULTS.shelf("names on a unit").per_unit
def _has(unit: Unit) -> UnitHas:
    return UnitHas(at_fault(unit), checks_held(unit), unit.part_by_name)


def refused_suspicion(typed: str, known: Mapping[str, str] | None) -> str:
    """Why nobody can suspect this, "" for what can be at fault, and for nothing."""
    name = typed.strip()
    if not name or (known and name in known):
        return ""
    if known is None:
        return mark("Choose the unit of this call first, then the part that is suspected.")
    what = mark("The part that is suspected is not one that can be at fault in this unit.")
    return str(UnknownName(what=what, name=name, known=known))
