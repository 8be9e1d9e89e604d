"""Weights of suspects that a shop has learned from its own closed calls."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class OwnWeights:
    """Weights by suspect id in place of the start weights; those not named keep theirs.

    calls: from how many closed calls. age_y: the unit's age that they are for, None for any.
    ratios: what a chip of a complaint says of a group of suspects, by the ids of both, as the
    closed calls have taught it; empty where none of them tells a complaint.
    """

    calls: int
    age_y: float | None
    by_suspect: tuple[tuple[str, float], ...]
    ratios: tuple[tuple[tuple[str, str], float], ...] = ()
