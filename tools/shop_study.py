"""Try upkeep on simulated shops whose truth is known; write the figures of docs/upkeep.md.

python tools/shop_study.py [SHOPS] [SEED]
"""

from __future__ import annotations

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # the arrays are too small to share out

import sys
from collections import defaultdict
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

from rungwise.maintenance.interval import LEVEL
from shop_trial.counted import (
    Counted,
    Forecast,
    bins_of,
    brier,
    calibration,
    paired,
)
from shop_trial.estimates import JudgedForecast, judge, lived
from shop_trial.reliability import Share, reliability
from shop_trial.stocking import MONEY, Stocked, try_stock
from shop_trial.van_cost import VanCost, more_than_best, try_uneven, try_van
from shop_trial.visiting import Visited, try_visits

UNITS = 300
DOCS = Path(__file__).parent.parent / "docs"
BEGIN, END = "<!-- begin: tools/shop_study.py -->", "<!-- end: tools/shop_study.py -->"

STOCKED = 4
"""Vans tried for each shop that is judged, each of a shop of its own."""

VANS = 40
"""Vans whose stock is costed beside the best one, for each row of the table."""

SPREADS = (0.1, 0.2, 0.35, 0.5)
"""How uneven weeks are, in standard deviations over the mean."""

COUNTED_WEEKS, FILL_WEEKS = (26.0, 52.0, 104.0), (1.0, 2.0, 4.0)

One = tuple[JudgedForecast, tuple[Stocked, ...], Visited]


def one(seed: int) -> One:
    """One shop, judged, stocked and visited."""
    vans = tuple(try_stock(lived(seed + 1000 * n, UNITS)) for n in range(STOCKED))
    return judge(seed, UNITS), vans, try_visits(seed, UNITS)


def costed(weeks: tuple[float, float]) -> list[VanCost]:
    """Vans stocked after so many counted weeks, until the next fill in so many."""
    counted, fill = weeks
    return [try_van(seed, counted_weeks=counted, fill_weeks=fill) for seed in range(VANS)]


def beside_best(held: dict[tuple[float, float], list[VanCost]]) -> Iterator[str]:
    """What the stock costs beside the best one, as a table."""
    yield (
        "| weeks counted | weeks between fills | van stock over the best | the least that "
        "counting allows |"
    )
    yield "|---|---|---|---|"
    for (counted, fill), costs in held.items():
        ours, least = more_than_best(costs), more_than_best(costs, informed=True)
        yield f"| {counted:.0f} | {fill:.0f} | {ours:.1%} | {least:.1%} |"


def uneven() -> Iterator[str]:
    """What taking weeks as even costs where they are not, after a counted year."""
    yield "| a week's spread | van stock over the best, filled weekly |"
    yield "|---|---|"
    for spread in SPREADS:
        costs = [try_uneven(seed, spread) for seed in range(VANS)]
        yield f"| {spread:.0%} | {more_than_best(costs):.1%} |"


def told(
    shops: Sequence[One], seed: int, held_vans: dict[tuple[float, float], list[VanCost]]
) -> str:
    """The figures as the text of the page."""
    closed = sum(each.calls for each, _, _ in shops)
    lines = [
        f"{len(shops)} shops of {UNITS} units over 6 years; first seed {seed}; {closed} calls.",
        "",
        *held(shops),
        "",
        *calibrated([pair for each, _, _ in shops for pair in each.forecasts]),
        "",
        *against([van for _, vans, _ in shops for van in vans], [visited for *_, visited in shops]),
        "",
        *beside_best(held_vans),
        "",
        *uneven(),
    ]
    return "\n".join(lines)


def held(shops: Sequence[One]) -> Iterator[str]:
    """How often intervals held the truth."""
    found: dict[str, list[bool]] = defaultdict(list)
    for each, _, _ in shops:
        for name, hits in each.held.items():
            found[name] += hits
    yield f"| {LEVEL:.0%} interval of | held the truth | of | 95 % interval of the share |"
    yield "|---|---|---|---|"
    for name, every in found.items():
        count = Counted(LEVEL, sum(every), len(every))
        low, high = count.interval()
        yield f"| {name} | {count.share:.1%} | {count.of} | {low:.1%} to {high:.1%} |"


def calibrated(forecasts: Sequence[Forecast]) -> Iterator[str]:
    """The forecasts against what came true, as a table."""
    yield "| chance of failing within a year, told | came true | of | 95 % interval |"
    yield "|---|---|---|---|"
    bins = bins_of(forecasts)
    for each in bins:
        low, high = each.interval()
        yield f"| {each.forecast:.1%} | {each.share:.1%} | {each.of} | {low:.1%} to {high:.1%} |"
    far, luck = calibration(bins)
    yield ""
    yield (
        f"All bins together (Hosmer and Lemeshow): chi-squared {far:.1f} on {len(bins)} degrees of "
        f"freedom; honest forecasts are as far off or farther in {luck:.0%} of such trials."
    )
    ours, base = brier(forecasts)
    yield f"Mean squared error of the forecasts {ours:.4f}; of one rate told for all {base:.4f}."


def against(stocked: Sequence[Stocked], visited: Sequence[Visited]) -> Iterator[str]:
    """Paired differences to the plain rules, per shop."""
    yield "| per shop | upkeep | plain rule | difference | 95 % interval |"
    yield "|---|---|---|---|---|"
    yield compared(
        f"second trips in a year, van of {MONEY:.0f}",
        [(float(each.newsvendor), float(each.most_common)) for each in stocked],
    )
    yield compared(
        "breakdowns in two seasons, by visit list",
        [(float(v.by_list.breakdowns), float(v.by_turn.breakdowns)) for v in visited],
    )
    yield compared(
        "cost of parts in two seasons, by visit list",
        [(v.by_list.cost, v.by_turn.cost) for v in visited],
    )


def compared(name: str, pairs: Sequence[tuple[float, float]]) -> str:
    """One row of the comparison."""
    gap = paired([ours - theirs for ours, theirs in pairs])
    ours, theirs = (sum(column) / len(pairs) for column in zip(*pairs, strict=True))
    return (
        f"| {name} | {ours:.1f} | {theirs:.1f} | {gap.middle:.1f} ({gap.middle / theirs:.0%}) "
        f"| {gap.low:.1f} to {gap.high:.1f} |"
    )


def shares(shops: Sequence[One]) -> list[Share]:
    """The forecasts for the reliability curve."""
    forecasts = [pair for each, _, _ in shops for pair in each.forecasts]
    return [
        Share(each.forecast, each.share, *each.interval(), each.of) for each in bins_of(forecasts)
    ]


def main() -> None:
    """Run, print, and put the figures into the page."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 8
    seed = int(sys.argv[2]) if len(sys.argv) > 2 else 7000
    with ProcessPoolExecutor(2) as pool:
        shops = list(pool.map(one, range(seed, seed + count)))
        rows = [(counted, fill) for counted in COUNTED_WEEKS for fill in FILL_WEEKS]
        vans = dict(zip(rows, pool.map(costed, rows), strict=True))
    text = told(shops, seed, vans)
    picture = reliability(shares(shops), title="Chance of failing within a year")
    (DOCS / "pictures" / "reliability.svg").write_text(picture.svg + "\n", encoding="utf-8")
    page = DOCS / "upkeep.md"
    before, rest = page.read_text(encoding="utf-8").split(BEGIN)
    after = rest.split(END)[1]
    page.write_text(f"{before}{BEGIN}\n{text}\n{END}{after}", encoding="utf-8")
    print(text)


if __name__ == "__main__":
    main()
