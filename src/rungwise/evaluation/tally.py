"""Counting simulated calls: shares with their uncertainty, means, and what is taken for what."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from math import sqrt
from statistics import fmean
from typing import Any

from rungwise.evaluation.worked_call import Outcome

Z_95 = 1.959964
"""Standard normal quantile of a two-sided 95% interval."""


@dataclass(frozen=True, slots=True)
class Share:
    """`count` of `of`, with the 95% interval of Wilson's score method.

    low, high = (p + z²/2n ± z·√(p(1-p)/n + z²/4n²)) / (1 + z²/n).
    E. B. Wilson, "Probable inference, the law of succession, and statistical inference",
    J. Am. Stat. Assoc. 22 (1927); from memory.
    """

    count: int
    of: int

    @property
    def share(self) -> float:
        """The share itself; 0 of none."""
        return self.count / self.of if self.of else 0.0

    @property
    def interval(self) -> tuple[float, float]:
        """The interval's ends; everything is possible for a share of none."""
        if not self.of:
            return 0.0, 1.0
        n, p, z = self.of, self.share, Z_95
        middle = p + z * z / (2 * n)
        reach = z * sqrt(p * (1 - p) / n + z * z / (4 * n * n))
        return max((middle - reach) / (1 + z * z / n), 0.0), min(
            (middle + reach) / (1 + z * z / n), 1.0
        )

    def text(self) -> str:
        """In percent, as "97.2% (95.4–98.3)"."""
        low, high = self.interval
        return f"{100 * self.share:.1f}% ({100 * low:.1f}–{100 * high:.1f})"


@dataclass(frozen=True, slots=True)
class Tally:
    """One policy's calls, counted. Means are per call, after the free symptoms."""

    policy: str
    culprit_first: Share
    contactor_condemned: Share
    checks: float
    minutes: float
    priced_minutes: float
    live: float
    noticed_first: Share

    def rows(self) -> list[tuple[str, str]]:
        """What was counted and how much, in words."""
        return [
            ("culprit first", self.culprit_first.text()),
            ("culprit first, of faults that are noticed", self.noticed_first.text()),
            ("contactor condemned", self.contactor_condemned.text()),
            ("checks", f"{self.checks:.1f}"),
            ("minutes", f"{self.minutes:.1f}"),
            ("minutes and danger", f"{self.priced_minutes:.1f}"),
            ("live checks", f"{self.live:.1f}"),
        ]

    def as_json(self) -> dict[str, Any]:
        """Everything as plain data, each share with its interval."""
        told = asdict(self)
        for name, share in (
            ("culprit_first", self.culprit_first),
            ("noticed_first", self.noticed_first),
            ("contactor_condemned", self.contactor_condemned),
        ):
            told[name] |= {"share": share.share, "interval_95": list(share.interval)}
        return told


@dataclass(frozen=True, slots=True)
class Missed:
    """A sort of fault that was not always the first answer.

    met: calls with it. missed: calls with another first answer. instead: each missed suspect with
    the suspect that was answered, and how often.
    """

    kind: str
    met: int
    missed: int
    instead: tuple[tuple[str, str, int], ...]


def tally(policy: str, outcomes: Sequence[Outcome]) -> Tally:
    """Count one policy's outcomes, at least one."""
    count, noticed = len(outcomes), [each for each in outcomes if each.noticed]
    return Tally(
        policy=policy,
        culprit_first=Share(sum(each.culprit_first for each in outcomes), count),
        contactor_condemned=Share(sum(each.contactor_condemned for each in outcomes), count),
        checks=fmean(each.checks for each in outcomes),
        minutes=fmean(each.minutes for each in outcomes),
        priced_minutes=fmean(each.priced_minutes for each in outcomes),
        live=fmean(each.live for each in outcomes),
        noticed_first=Share(sum(each.culprit_first for each in noticed), len(noticed)),
    )


def missed(outcomes: Sequence[Outcome]) -> tuple[Missed, ...]:
    """Which sorts of fault were missed, as what; the most often missed first."""
    met = Counter(each.truth_kind for each in outcomes)
    taken_for: dict[str, Counter[tuple[str, str]]] = defaultdict(Counter)
    for each in outcomes:
        if not each.culprit_first:
            answer = each.answer_suspect or each.verdict
            taken_for[each.truth_kind][(each.truth, answer)] += 1
    found = [
        Missed(
            kind,
            met[kind],
            swapped.total(),
            tuple((truth, answer, times) for (truth, answer), times in swapped.most_common()),
        )
        for kind, swapped in taken_for.items()
    ]
    return tuple(sorted(found, key=lambda each: (-each.missed, each.kind)))
