"""One suspect: a fault as edits of the circuit, its weight, and what would put it right."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from rungwise.circuit import Key
from rungwise.parts import Draw, FloatArray


@dataclass(frozen=True, slots=True)
class Edit:
    """One parameter changed by the fault: which, and how its severity is drawn."""

    key: Key
    draw: Draw

    def apply(self, good: FloatArray, severity: FloatArray) -> FloatArray:
        """The parameter's values where `severity` (0 to 1) is drawn; log-uniform between ends."""
        low, high = self.draw.low, self.draw.high
        factor = low * (high / low) ** severity if low > 0 else low + (high - low) * severity
        return np.asarray(good * factor if self.draw.how == "scale" else factor + 0.0 * severity)


@dataclass(frozen=True, slots=True)
class FaultStep:
    """One fault of a suspect: the part, wire or pair that has it, and its mode."""

    block: str
    mode: str

    @property
    def id(self) -> str:
        """The id of the suspect that is this fault alone."""
        return f"{self.block}.{self.mode}"


def fault_steps(suspect_id: str) -> tuple[FaultStep, ...]:
    """The faults that a suspect's id names, the one that began it first.

    An id is kept in records and tables; this is where it is taken apart.
    """
    halves = (each.partition(".") for each in suspect_id.split(">") if each)
    return tuple(FaultStep(block, mode) for block, _, mode in halves)


@dataclass(frozen=True, slots=True)
class Suspect:
    """A fault, or a fault with the second one that it causes.

    `weight` is in parts per thousand of calls.  `repair` is the key of the work that puts it
    right; suspects that share it are one answer.  `cause_of` is the id of the second fault, for
    one that causes it.  `signs` are chances that a look shows a mark.
    `known`, `shown_by`, `is_effect` and `wrong_minutes` are those of the mode (`Mode`).
    """

    id: str
    title: str
    block: str
    mode: str
    edits: tuple[Edit, ...]
    weight: float
    repair: str
    repair_text: str
    behind: str = ""
    effect: str = ""
    cause_of: str = ""
    signs: Mapping[str, float] = field(default_factory=dict)
    repair_minutes: float = 30.0
    known: bool = True
    shown_by: frozenset[str] = frozenset()
    is_effect: bool = False
    wrong_minutes: float = 0.0

    @property
    def ranged(self) -> bool:
        """Whether its severity may be more or less."""
        return any(edit.draw.low != edit.draw.high for edit in self.edits)
