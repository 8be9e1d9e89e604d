"""Weights of suspects that a shop has learned from its own closed calls."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["OwnWeights"]


@dataclass(frozen=True, slots=True)
class OwnWeights:
    """Weights by suspect id in place of the start weights; those not named keep theirs.

    calls: from how many closed calls. age_y: the unit's age that they are for, None for any.
    """

    calls: int
    age_y: float | None
    by_suspect: tuple[tuple[str, float], ...]
