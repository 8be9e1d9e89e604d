"""What was measured after a repair, as the proof takes it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from rungwise.verification.cooling_proof import AirReadings, ChargeReadings, Conditions
from rungwise.verification.electric import Beside


@dataclass(frozen=True, slots=True)
class Told:
    """Everything told of one proof.

    repaired: parts, wires or repairs. found: ids of the suspects put right, where known.
    taken: (check id, value) in order, value a number in the check's unit, inf for OL, or a
    choice; the proof's own checks are among them. out_of_reach: ids of checks not possible.
    """

    repaired: tuple[str, ...]
    found: tuple[str, ...] = ()
    taken: tuple[tuple[str, float | str], ...] = ()
    out_of_reach: frozenset[str] = frozenset()
    beside: Beside = field(default_factory=Beside)
    charge: ChargeReadings | None = None
    air: AirReadings | None = None
    conditions: Conditions = field(default_factory=Conditions)

    @property
    def numbers(self) -> Mapping[str, float]:
        """The readings that are numbers, by check id; the last of each."""
        return {name: value for name, value in self.taken if isinstance(value, float)}
