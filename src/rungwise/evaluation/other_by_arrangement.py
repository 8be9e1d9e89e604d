"""Calls of the other world counted for each arrangement by itself."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from statistics import fmean
from typing import Any

from rungwise.evaluation.other_tally import claim_right, condemned, confidently_wrong, right
from rungwise.evaluation.tally import Share

Line = dict[str, Any]

ARRANGEMENT_COLUMNS = (
    "calls", "culprit first", "claimed at 90%: right", "claimed at 99%: right",
    "healthy parts condemned", "strangers: right, or none of the known", "confidently wrong",
    "nothing wrong: said", "checks",
)  # fmt: skip


def arrangement_cells(lines: Sequence[Line]) -> tuple[str, ...]:
    """One arrangement's figures, in the order of `ARRANGEMENT_COLUMNS`.

    Culprit first and checks are of listed faults and effects with a cause behind; condemned is a
    healthy compressor, contactor, motor or board that a claim would replace.
    """
    common = [line for line in lines if line["class"] in ("listed", "effect")]
    strange = [line for line in lines if line["class"] == "stranger"]
    good = [line for line in lines if line["class"] in ("healthy", "intermittent")]
    claims = [line for line in lines if line["claimed"]]
    checks = f"{fmean(line['checks'] for line in common):.1f}" if common else "-"
    return (
        f"{len(lines)}",
        _share(common, right),
        *(_share([c for c in claims if c["probability"] >= p], claim_right) for p in (0.9, 0.99)),
        f"{sum(bool(condemned(line)) for line in lines)} of {len(lines)}",
        _share(strange, lambda line: right(line) or line["verdict"] == "none_of_these"),
        _share(lines, confidently_wrong),
        _share(good, right),
        checks,
    )  # fmt: skip


def _share(lines: Sequence[Line], hit: Callable[[Line], bool]) -> str:
    if not lines:
        return "none met"
    share = Share(sum(map(hit, lines)), len(lines))
    return f"{share.text()}, {share.count} of {share.of}"
