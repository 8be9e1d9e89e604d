"""One suspect: a fault as edits of the circuit, its weight, and what would put it right."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from rungwise.circuit import Key
from rungwise.parts import Draw, FloatArray, Line, Signal, conductors_of, line_of, split_end


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


@dataclass(frozen=True, slots=True)
class RepairStep:
    """One work of a repair: the part, wire or pair that it is done on, and what is done."""

    block: str
    act: str

    @property
    def key(self) -> str:
        """The key of the repair that is this work alone."""
        return f"{self.block}{_ACT}{self.act}"


_BRINGS, _ACT, _WITH = ">", ":", "+"


def suspect_id(*steps: FaultStep) -> str:
    """The id of the suspect that is these faults, the one that began it first."""
    return _BRINGS.join(step.id for step in steps)


def fault_steps(kept: str) -> tuple[FaultStep, ...]:
    """The faults that a suspect's id names, the one that began it first.

    An id is kept in records and tables; this is where it is taken apart.
    """
    halves = (split_end(each) for each in kept.split(_BRINGS) if each)
    return tuple(FaultStep(block, mode) for block, mode in halves)


def first_mode(mode: str) -> str:
    """Of a mode with the one that it brings about, the one that began it."""
    return mode.partition(_BRINGS)[0]


def repair_key(*steps: RepairStep) -> str:
    """The key of a repair that is these works; suspects that share it are one answer."""
    return _WITH.join(step.key for step in steps)


def repair_steps(kept: str) -> tuple[RepairStep, ...]:
    """The works of a repair's key. A pair of conductors has a plus in its own name."""
    works: list[str] = []
    for piece in kept.split(_WITH):
        if works and _ACT not in works[-1]:
            works[-1] += f"{_WITH}{piece}"
        else:
            works.append(piece)
    halves = (each.partition(_ACT) for each in works if each)
    return tuple(RepairStep(block, act) for block, _, act in halves)


@dataclass(frozen=True, slots=True)
class Suspect:
    """A fault, or a fault with the second one that it causes.

    `weight` is in parts per thousand of calls.  `repair` is the key of the work that puts it
    right; suspects that share it are one answer.  `cause_of` is the id of the second fault, for
    one that causes it.  `signs` are chances that a look shows a mark.
    `known`, `shown_by`, `is_effect`, `wrong_minutes` and `signal` are those of the mode (`Mode`).
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
    signal: Signal | None = None

    @property
    def steps(self) -> tuple[FaultStep, ...]:
        """Its faults, the one that began it first."""
        return fault_steps(self.id)

    @property
    def to_do(self) -> Line:
        """What puts it right, behind the signal word that stands before it."""
        return line_of(self.signal, self.repair_text)

    @property
    def blocks(self) -> tuple[str, ...]:
        """The part, the wire, or both wires of a pair that its first fault is on."""
        return conductors_of(self.block)

    @property
    def ranged(self) -> bool:
        """Whether its severity may be more or less."""
        return any(edit.draw.low != edit.draw.high for edit in self.edits)
