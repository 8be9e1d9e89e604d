"""Replace now, or leave it: the expected cost of each, this season and all that follow.

At every visit a part can be replaced (cost `planned`) or left; between visits it may fail (cost
`failure`) and is then new. Costs a period later count `keep` = 1 - discount. With V0 the worth
of a new part, the choice at visit i is the lesser of

    planned + V0   and   p_i (failure + keep·V0) + (1 - p_i) keep·V_(i+1),

where p_i is this part's own chance of failing in that period. Expected costs compared as in
Heckerman, Breese and Rommelse, "Decision-theoretic troubleshooting", Comm. ACM 38 (1995; memory);
replacement by age after Barlow and Proschan, "Mathematical theory of reliability" (1965; memory).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy import optimize

from rungwise.errors import BadQuantity
from rungwise.parts import FloatArray


@dataclass(frozen=True, slots=True)
class TimeChoice:
    """Expected cost of each way, `chance` of failing before the next visit.

    break_even: the chance above which it is cheaper to replace; over 1 when it never is.
    """

    replace_cost: float
    leave_cost: float
    chance: float
    break_even: float

    @property
    def replace(self) -> bool:
        """Whether replacing now is the cheaper."""
        return self.replace_cost < self.leave_cost

    @property
    def saves(self) -> float:
        """What replacing now saves against leaving; less than nothing where leaving is cheaper."""
        return self.leave_cost - self.replace_cost


def choose(
    own: FloatArray, fresh: FloatArray, *, planned: float, failure: float, discount: float
) -> TimeChoice:
    """The choice for a part whose chances of failing in the coming periods are `own`.

    own, fresh: chance in each period of those that came so far, for this part and for a new one;
    the last stands for all later ones. Raises BadQuantity for a discount outside 0 to 1.
    """
    keep = _kept(discount)
    new = worth_of_new(fresh, planned=planned, failure=failure, discount=discount)
    replace = planned + new
    later = _steady(float(own[-1]), replace, failure + keep * new, keep)
    for p in own[:0:-1]:
        later = min(replace, _left(float(p), failure + keep * new, keep * later))
    chance = float(own[0])
    leave = _left(chance, failure + keep * new, keep * later)
    gap = failure + keep * new - keep * later
    return TimeChoice(replace, leave, chance, (replace - keep * later) / gap if gap > 0.0 else 2.0)


def worth_of_new(fresh: FloatArray, *, planned: float, failure: float, discount: float) -> float:
    """Expected discounted cost of a new part from now on, replaced by the best rule.

    The root of leave(0; V0) - V0, which falls throughout, because leave rises by at most `keep`.
    """
    keep = _kept(discount)
    later_chances = [float(p) for p in fresh[:0:-1]]

    def gap(new: float) -> float:
        replace, fail = planned + new, failure + keep * new
        later = _steady(float(fresh[-1]), replace, fail, keep)
        for p in later_chances:
            later = min(replace, _left(p, fail, keep * later))
        return _left(float(fresh[0]), fail, keep * later) - new

    most = failure / (1.0 - keep) + 1.0
    return float(optimize.brentq(gap, 0.0, most, xtol=1e-6)) if gap(0.0) > 0.0 else 0.0


def _left(p: float, fail: float, later: float) -> float:
    return p * fail + (1.0 - p) * later


def _steady(p: float, replace: float, fail: float, keep: float) -> float:
    """Worth of a part that fails with chance p in every period, replaced at once if cheaper."""
    return min(replace, p * fail / (1.0 - (1.0 - p) * keep))


def _kept(discount: float) -> float:
    if not 0.0 < discount < 1.0:
        raise BadQuantity(
            what="The discount of a period must be between 0 and 1.",
            value=discount,
            allowed="above 0, below 1",
        )
    return 1.0 - discount


def chances_of(survival: FloatArray) -> FloatArray:
    """Chance of failing in each period, of those that reach it, from survival at its edges."""
    reach = np.maximum(survival, 1e-12)
    return np.asarray(np.clip(1.0 - reach[1:] / reach[:-1], 0.0, 1.0))
