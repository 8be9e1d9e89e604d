"""With what the work of a repair begins: lock out, gauges, a switch of somebody's, or a report."""

from __future__ import annotations

from typing import Literal

from rungwise.faults.suspect import RepairStep, repair_steps
from rungwise.unit import Unit

FirstWork = Literal["lock out", "gauges", "test", "report"]

_UNTOUCHED: dict[str, FirstWork] = {
    "gauge": "gauges",
    "look_elsewhere": "gauges",
    "switch_on": "test",
    "close": "test",
    "set": "test",
    "let_cool": "test",
    "thaw": "report",
    "call_utility": "report",
    "raise_supply": "report",
}
"""Works that open no cover: what is next where a repair begins with one of them."""

_OF_A_SWITCH = frozenset({"find_cause", "set"})
"""Works on what switches that ask first whether it is right to."""


def first_work(unit: Unit, repair: str) -> FirstWork:
    """What comes first in a repair, by its key; whatever is not known to be otherwise, lock out."""
    first = next(iter(repair_steps(repair)), RepairStep("", ""))
    if first.act in _OF_A_SWITCH and _follows_pressure(unit, first.block):
        return "gauges"
    return _UNTOUCHED.get(first.act, "lock out")


def _follows_pressure(unit: Unit, block: str) -> bool:
    """Whether a part opens and closes with the refrigerant's pressure, which a gauge tells."""
    rules = unit.kind_of(block).rules if block in unit.part_by_name else ()
    return any(each.watches == "pressure" for each in rules)
