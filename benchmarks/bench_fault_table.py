"""Time and memory of a cold fault table, and how both grow with the number of suspects.

Budget: a split system of at least 90 suspects and 120 checks in 2 s and 500 MB; growth linear.
Cold means a fresh process, timed from its start: nothing imported, no machine fitted, no
elimination ordered.  Processor time tells more on a busy machine.

    python benchmarks/bench_fault_table.py [--particles 12] [--repeats 3] [--name ...]
"""

from __future__ import annotations

import argparse
import json
import resource
import subprocess
import sys
from time import perf_counter
from typing import TypedDict

from rungwise.diagnosis.build import PARTICLES, table_of
from rungwise.diagnosis.checks import checks_of
from rungwise.faults import SuspectSet
from rungwise.unit.unit_file import FIRST_ARRANGEMENTS, arrangement

SHARES = (0.25, 0.5, 1.0)


class Measured(TypedDict):
    """What one fresh process took, from its start to its end."""

    suspects: int
    checks: int
    wall_s: float
    used_s: float
    peak_mb: float


def build_once(name: str, particles: int, share: float) -> dict[str, float]:
    """Build a table in this process, and say how large it is and what memory it took."""
    unit = arrangement(name)
    suspects = SuspectSet(unit)
    # Spread over the whole list, so that a share holds every sort of suspect.
    chosen = tuple(suspects)[:: round(1 / share)]
    table = table_of(suspects, checks_of(unit), particles, chosen=chosen)
    return {
        "suspects": len(table.suspects),
        "checks": len(table.checks),
        "peak_mb": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024,
    }


def in_a_fresh_process(name: str, particles: int, share: float) -> Measured:
    """The same in a process of its own, timed from outside: starting and importing count."""
    command = [sys.executable, __file__, "--worker", name, str(particles), str(share)]
    before, began = resource.getrusage(resource.RUSAGE_CHILDREN), perf_counter()
    told = subprocess.run(command, capture_output=True, text=True, check=True)
    wall, after = perf_counter() - began, resource.getrusage(resource.RUSAGE_CHILDREN)
    used = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    found = json.loads(told.stdout)
    return Measured(
        suspects=found["suspects"],
        checks=found["checks"],
        wall_s=wall,
        used_s=used,
        peak_mb=found["peak_mb"],
    )


def best_of(name: str, particles: int, share: float, repeats: int) -> Measured:
    """The least time of several, and the most memory."""
    found = [in_a_fresh_process(name, particles, share) for _ in range(repeats)]
    return Measured(
        suspects=found[0]["suspects"],
        checks=found[0]["checks"],
        wall_s=min(each["wall_s"] for each in found),
        used_s=min(each["used_s"] for each in found),
        peak_mb=max(each["peak_mb"] for each in found),
    )


def compare(name: str, particles: int, repeats: int) -> None:
    """Print one arrangement: a quarter, half and all of its suspects, and the growth."""
    print(f"{name}, {particles} particles a suspect")
    found = [best_of(name, particles, share, repeats) for share in SHARES]
    for each in found:
        size = f"{each['suspects']:4} suspects x {each['checks']} checks"
        took = f"{each['wall_s']:6.2f} s wall, {each['used_s']:6.2f} s processor"
        print(f"  {size}: {took}, {each['peak_mb']:5.0f} MB")
    low, middle, high = found
    first, second = (
        1e3 * (b["used_s"] - a["used_s"]) / (b["suspects"] - a["suspects"])
        for a, b in ((low, middle), (middle, high))
    )
    print(f"  a further suspect: {first:.1f} ms up to half of them, {second:.1f} ms after that")


def main() -> None:
    """Measure the arrangements asked for."""
    if sys.argv[1:2] == ["--worker"]:
        name, particles, share = sys.argv[2:]
        print(json.dumps(build_once(name, int(particles), float(share))))
        return
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--particles", type=int, default=PARTICLES)
    parser.add_argument("--repeats", type=int, default=3)
    parser.add_argument("--name", choices=FIRST_ARRANGEMENTS, action="append")
    options = parser.parse_args()
    for name in options.name or FIRST_ARRANGEMENTS:
        compare(name, options.particles, options.repeats)


if __name__ == "__main__":
    main()
