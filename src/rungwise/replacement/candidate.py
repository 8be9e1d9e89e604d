"""A part that may be fitted: what it is, what its label says, its terminals, price and place."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from rungwise.replacement.candidate_kinds import CANDIDATE_KINDS, CandidateKind

LOWER_VOLT = "rated_volt_low"
"""Key among the figures of a motor's lower rated volts, where its label has two."""


@dataclass(frozen=True)
class Candidate:
    """One candidate.

    parts: the parts of the unit whose place it takes. figures: what its label says, by the file's
    key. texts: the same in words. terminals: by the candidate's own terminal the places for wires
    that it offers (see `parts.joint_work`); a terminal that is not here was not described.
    price: in the shop's own money, None when not given. where: van bin or shelf.
    """

    name: str
    parts: tuple[str, ...]
    kind_name: str
    figures: Mapping[str, float]
    texts: Mapping[str, str] = field(default_factory=dict)
    terminals: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    price: float | None = None
    where: str = ""

    @property
    def kind(self) -> CandidateKind:
        """What sort of candidate it is."""
        return CANDIDATE_KINDS[self.kind_name]

    @property
    def title(self) -> str:
        """What a person calls this sort of part."""
        return self.kind.title

    @property
    def takes_place_as(self) -> tuple[str, ...]:
        """The names of the parts that it becomes in the place of the first part it is for."""
        return tuple(f"{self.parts[0]}{piece.suffix}" for piece in self.kind.pieces)
