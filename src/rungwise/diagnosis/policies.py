"""Two plainer ways of choosing the next check, to compare with.

Both ignore what a check costs, as the rules of thumb do.
"""

from __future__ import annotations

from collections.abc import Collection

import numpy as np

from rungwise.diagnosis.advice import open_checks
from rungwise.diagnosis.arrays import FloatArray
from rungwise.diagnosis.belief import Belief
from rungwise.diagnosis.fault_table import Grouping
from rungwise.diagnosis.value_of_information import Outlook

LEAST_SPLIT = 0.005  # of the belief; a check that splits off less than this is not worth making
LEAST_BITS = 0.005


def half_splitting(belief: Belief, *, allowed: Collection[str] | None = None) -> str | None:
    """Id of the check that splits the suspected repairs most evenly by weight; None if none does.

    A number splits at one level: repairs that read below it against those that read above. A
    choice splits into one answer against the others. Each repair stands wholly on the side where
    more than half of its particles are.
    """
    outlook = Outlook.of(belief)
    evenness = {
        check: _evenness(outlook.mass(np.array([check]))[0][0], is_choice=outlook.is_choice(check))
        for check in open_checks(belief, allowed)
    }
    return _best(belief, evenness, LEAST_SPLIT)


def most_likely_first(belief: Belief, *, allowed: Collection[str] | None = None) -> str | None:
    """Id of the check that tells most about the most probable repair, yes or no; None if none does.

    The measure is the information about that one question, bits.
    """
    repairs = belief.table.by_repair
    is_it = (repairs.of_suspect == repairs.index(belief.best_repair()[0])).astype(np.intp)
    outlook = Outlook.of(belief, Grouping(("another", "it"), is_it))
    checks = open_checks(belief, allowed)
    bits = outlook.prospects(checks).bits[:, 0].tolist()
    return _best(belief, dict(zip(checks, bits, strict=True)), LEAST_BITS)


def _best(belief: Belief, worth: dict[int, float], least: float) -> str | None:
    check = max(worth, key=lambda each: worth[each], default=None)
    if check is None or worth[check] < least:
        return None
    return belief.table.checks[check].id


def _evenness(mass: FloatArray, *, is_choice: bool) -> float:
    """The smaller side of the most even split, 0 to 0.5. mass: float [groups, bins]."""
    below = mass if is_choice else np.cumsum(mass, axis=1)
    weight = mass.sum(axis=1)
    side = weight @ (below > 0.5 * weight[:, None])
    return float(np.minimum(side, weight.sum() - side).max(initial=0.0))
