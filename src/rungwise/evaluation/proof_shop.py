"""What every proof on one unit shares, in our own model and in the other world."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property

from rungwise.diagnosis import Check, checks_of
from rungwise.faults import SuspectSet
from rungwise.unit import Unit
from rungwise.verification import Hidden, hidden_behind, repairs_named


@dataclass
class ProofShop:
    """The suspects and checks of a unit, and what may hide behind each repair; made once."""

    unit: Unit
    _behind: dict[str, tuple[Hidden, ...]] = field(default_factory=dict, init=False, repr=False)

    @cached_property
    def suspects(self) -> SuspectSet:
        """The suspects of the unit."""
        return SuspectSet(self.unit)

    @cached_property
    def checks(self) -> dict[str, Check]:
        """The checks of the unit by id."""
        return {check.card.id: check for check in checks_of(self.unit)}

    def hidden(self, repaired: str) -> tuple[Hidden, ...]:
        """What may hide behind a repair of a part or wire."""
        if repaired not in self._behind:
            done = repairs_named(self.suspects, [repaired])
            self._behind[repaired] = hidden_behind(self.suspects, done)
        return self._behind[repaired]
