"""What a picture shows of a unit's state: what is live, where the leads go, what is suspected."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Literal

from rungwise.circuit import CALLING, Condition, Key, Plan
from rungwise.drawing.ink import Volts
from rungwise.drawing.solved import standing
from rungwise.parts import conductors_of
from rungwise.unit import Unit

Lead = Literal["red", "black"]


@dataclass(frozen=True, slots=True)
class Marks:
    """The state to show on a picture; without any, a unit at rest, parts as de-energised.

    energised: terminals (`part.terminal`) live at the moment. leftover: terminals live by a
    leftover path, such as the bar of a one-pole contactor, a heater or a winding. suspected:
    belief, 0 to 1, by the name of a part, wire or conductor pair. leads: where the red and the
    black lead go. changed: parts and wires that are not as they were. running: parts that run,
    heat or are pulled in. closed: how a contact stands, by part or `part.element`; without it,
    it is drawn de-energised.
    """

    energised: frozenset[str] = frozenset()
    leftover: frozenset[str] = frozenset()
    suspected: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))
    leads: Mapping[Lead, str] = field(default_factory=lambda: MappingProxyType({}))
    changed: frozenset[str] = frozenset()
    running: frozenset[str] = frozenset()
    closed: Mapping[str, bool] = field(default_factory=lambda: MappingProxyType({}))

    def volts(self, terminal: str) -> Volts:
        """Whether a terminal is live, and how; a leftover path goes before."""
        if terminal in self.leftover:
            return "leftover"
        return "live" if terminal in self.energised else ""

    def wire_volts(self, start: str, end: str) -> Volts:
        """The state of a wire: that of both its ends, or of neither where they differ."""
        first, second = self.volts(start), self.volts(end)
        return first if first == second else ""

    def lead_at(self, terminal: str) -> Lead | None:
        """Which lead is on a terminal."""
        return next((lead for lead, at in self.leads.items() if at == terminal), None)

    def belief(self, name: str) -> float:
        """How far a part or wire is suspected; a wire also as one of a conductor pair."""
        found = [b for block, b in self.suspected.items() if name in conductors_of(block)]
        return max(found, default=0.0)

    def contact(self, part: str, element: str) -> bool | None:
        """Whether this contact of a part is closed; None where nobody says."""
        return self.closed.get(f"{part}.{element}", self.closed.get(part))


def marks_of(
    unit: Unit,
    condition: Condition = CALLING,
    values: Mapping[Key, float] | None = None,
    *,
    plan: Plan | None = None,
) -> Marks:
    """What is live, left over, running and closed in `unit`, from its solved circuit.

    `values` sets parameters by (block, name), as a fault does; `plan` is the unit's own, where
    there is one already.  What is suspected and where the leads go is for the caller to add, by
    `dataclasses.replace`.  Raises CircuitError where the circuit cannot be solved.
    """
    found = standing(plan or Plan(unit), condition, values)
    return Marks(
        energised=found.energised,
        leftover=found.leftover,
        running=found.running,
        closed=MappingProxyType(dict(found.closed)),
    )
