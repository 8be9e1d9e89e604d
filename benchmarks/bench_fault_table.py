"""Time and memory of cold fault tables, and how both grow with the size of the unit.

Budget: 1 s for each of the first four arrangements, 2 s for the largest, on two cores; the time
grows with the 1.3th power of the unit's size at most, and with its suspects in a line.
Cold means a fresh process, timed from its start: nothing imported, no machine fitted, no
elimination ordered; modules and loops are compiled as they are after an install.  Processor time
tells more on a busy machine.  Of two checkouts each table is built in turns, so that both meet the
same weather.

    python benchmarks/bench_fault_table.py [--repeats 3] [--name ...] [--before CHECKOUT] [--shares]
"""

from __future__ import annotations

import argparse
import json
import os
import resource
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from time import perf_counter
from typing import NamedTuple

import numpy as np

HERE = Path(__file__).resolve().parent.parent
SMALL = ("one_pole_heater", "two_pole_plain", "hard_start_delay", "heater_line_side")
LARGE = ("air_handler_heat_10kw", "heat_pump_outdoor_stat", "rooftop_two_compressors")
BUDGET_S = dict.fromkeys(SMALL, 1.0) | {LARGE[-1]: 2.0}


class Measured(NamedTuple):
    """What one fresh process took, from its start to its end; sizes of what it built."""

    nodes: int
    suspects: int
    checks: int
    wall_s: float
    used_s: float
    peak_mb: float


def build_once(name: str, share: float) -> dict[str, float]:
    """Build a table in this process, and say how large it is and what memory it took."""
    from rungwise.diagnosis.build import PARTICLES, table_of  # noqa: PLC0415  # timed with it
    from rungwise.diagnosis.checks import checks_of  # noqa: PLC0415
    from rungwise.faults import SuspectSet  # noqa: PLC0415
    from rungwise.services.runtime.worker_pool import share_out  # noqa: PLC0415
    from rungwise.unit.unit_file import arrangement  # noqa: PLC0415

    unit = arrangement(name)
    suspects, checks = SuspectSet(unit), checks_of(unit)
    if share < 1.0:
        # Spread over the whole list, so that a share holds every sort of suspect.
        some = tuple(suspects)[:: round(1 / share)]
        table = table_of(suspects, checks, PARTICLES, chosen=some)
    else:
        table = table_of(suspects, checks, PARTICLES, share_out=share_out)
    return {
        "nodes": len(suspects.plan.nodes),
        "suspects": len(table.suspects),
        "checks": len(table.checks),
        "peak_mb": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024,
    }


def in_a_fresh_process(checkout: Path, name: str, share: float) -> Measured:
    """The same in a process of its own, timed from outside: starting and importing count."""
    command = [sys.executable, __file__, "--worker", name, str(share)]
    around = {**os.environ, "PYTHONPATH": str(checkout / "src")}
    around.pop("PYTHONDONTWRITEBYTECODE", None)
    before, began = resource.getrusage(resource.RUSAGE_CHILDREN), perf_counter()
    told = subprocess.run(command, capture_output=True, text=True, check=True, env=around)
    wall, after = perf_counter() - began, resource.getrusage(resource.RUSAGE_CHILDREN)
    used = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return Measured(**json.loads(told.stdout), wall_s=wall, used_s=used)


def best_of(checkouts: Sequence[Path], name: str, share: float, repeats: int) -> list[Measured]:
    """For each checkout, built in turns: the least time of several, and the most memory."""
    found: list[list[Measured]] = [[] for _ in checkouts]
    for _ in range(repeats):
        for kept, checkout in zip(found, checkouts, strict=True):
            kept.append(in_a_fresh_process(checkout, name, share))
    return [
        each[0]._replace(
            wall_s=min(one.wall_s for one in each),
            used_s=min(one.used_s for one in each),
            peak_mb=max(one.peak_mb for one in each),
        )
        for each in found
    ]


def shares_of(checkout: Path, name: str, repeats: int) -> None:
    """Print what a further suspect costs, in the first half of them and in the second."""
    low, middle, high = (best_of([checkout], name, each, repeats)[0] for each in (0.25, 0.5, 0.999))
    first, second = (
        1e3 * (b.used_s - a.used_s) / (b.suspects - a.suspects)
        for a, b in ((low, middle), (middle, high))
    )
    print(f"  a further suspect: {first:.1f} ms up to half of them, {second:.1f} ms after that")


def power(found: Sequence[Measured]) -> float:
    """The power of the unit's nodes that processor time grows with, by least squares."""
    size = np.log([each.nodes for each in found])
    slope, _ = np.polyfit(size, np.log([each.used_s for each in found]), 1)
    return float(slope)


def main() -> None:
    """Measure the arrangements asked for."""
    if sys.argv[1:2] == ["--worker"]:
        name, share = sys.argv[2:]
        print(json.dumps(build_once(name, float(share))))
        return
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--repeats", type=int, default=3)
    parser.add_argument("--name", action="append", help="an arrangement; may be repeated")
    parser.add_argument("--before", type=Path, help="an earlier checkout, measured in turns")
    parser.add_argument("--shares", action="store_true", help="also what a further suspect costs")
    options = parser.parse_args()
    checkouts = [HERE] if options.before is None else [options.before, HERE]
    found: list[list[Measured]] = [[] for _ in checkouts]
    for checkout in checkouts:
        in_a_fresh_process(
            checkout, SMALL[0], 0.02
        )  # what an install compiles, here and unmeasured
    for name in options.name or (*SMALL, *LARGE):
        measured = best_of(checkouts, name, 1.0, options.repeats)
        size = f"{measured[-1].nodes} nodes, {measured[-1].suspects} x {measured[-1].checks}"
        budget = f", budget {BUDGET_S[name]:.0f} s" if name in BUDGET_S else ""
        print(f"{name} ({size}{budget})")
        for kept, checkout, each in zip(found, checkouts, measured, strict=True):
            kept.append(each)
            told = f"{each.wall_s:6.2f} s wall, {each.used_s:6.2f} s processor"
            print(f"  {checkout.name:12} {told}, {each.peak_mb:5.0f} MB at most")
        if options.shares:
            shares_of(HERE, name, options.repeats)
    for kept, checkout in zip(found, checkouts, strict=True):
        if len(kept) > 1:
            print(f"{checkout.name}: grows with the {power(kept):.2f}th power of the nodes")


if __name__ == "__main__":
    main()
