"""Tables of choices with certain outcomes, small enough to be solved by hand or by enumeration."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

import numpy as np
import numpy.typing as npt

from rungwise.diagnosis import Belief, CheckCard, Doubts, FaultTable, SuspectCard

CERTAIN = Doubts(reading_slip=1e-9, choice_slip=1e-9, none_weight=0.0)


def suspect(name: str, weight: float = 1.0, **more: object) -> SuspectCard:
    """A suspect with a repair and a part of its own."""
    fields = {
        "title": name,
        "part": f"part {name}",
        "mode": "",
        "repair": f"repair {name}",
        "repair_text": f"swap {name}",
    }
    return SuspectCard(id=name, weight=weight, **(fields | more))  # type: ignore[arg-type]


def yes_no(name: str, **more: object) -> CheckCard:
    """A check that says yes or no."""
    return CheckCard(name, name, "choice", ("no", "yes"), **more)  # type: ignore[arg-type]


def certain(
    suspects: Sequence[SuspectCard],
    checks: Sequence[CheckCard],
    outcomes: npt.ArrayLike,
    doubts: Doubts = CERTAIN,
) -> Belief:
    """Belief in which suspect s makes check c come out as choice `outcomes[s, c]`."""
    said = np.asarray(outcomes)
    chances = {at: np.eye(len(card.choices))[said[:, at]] for at, card in enumerate(checks)}
    blank = np.zeros(said.shape)
    table = FaultTable(
        tuple(suspects), tuple(checks), np.arange(len(suspects)), blank, blank + 1.0, chances
    )
    return Belief.start(table, doubts=doubts)


def fewest_checks(outcomes: npt.NDArray[np.int64], weight: npt.NDArray[np.float64]) -> float:
    """Mean number of checks of the best strategy that tells all apart, by dynamic programming."""

    @cache
    def mean(left: frozenset[int]) -> float:
        if len({tuple(outcomes[one]) for one in left}) == 1:
            return 0.0
        best = np.inf
        for check in range(outcomes.shape[1]):
            parts: dict[int, set[int]] = {}
            for one in left:
                parts.setdefault(int(outcomes[one, check]), set()).add(one)
            if len(parts) > 1:
                rest = sum(mean(frozenset(part)) for part in parts.values())
                best = min(best, float(sum(weight[one] for one in left)) + rest)
        return best

    return mean(frozenset(range(len(weight)))) / float(weight.sum())
