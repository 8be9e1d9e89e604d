"""Time of the next check after a reading, on the table of a shipped arrangement.

Budget: 50 ms at the 95th percentile, on one core.  Wall time, with processor time beside it for a
busy machine.  The first step of a call, when nothing is ruled out yet, is the hardest.  What is
read is one particle's reading with its meter's error.

    python benchmarks/bench_next_check.py [--calls 20] [--seed 1] [--name heat_pump_outdoor_stat]
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from time import perf_counter, process_time
from typing import NamedTuple

import numpy as np

from rungwise.diagnosis import Belief, FaultTable, ReadingModel, next_check
from rungwise.diagnosis.build import build_table
from rungwise.unit.unit_file import ARRANGEMENTS, arrangement

STEPS = 8
LARGEST = "heat_pump_outdoor_stat"


class Step(NamedTuple):
    """Wall and processor milliseconds from a reading to the next advice."""

    wall: float
    used: float


class Clock:
    """Milliseconds since it was started."""

    def __init__(self) -> None:
        self.wall, self.used = perf_counter(), process_time()

    @property
    def step(self) -> Step:
        """What has passed."""
        return Step(1e3 * (perf_counter() - self.wall), 1e3 * (process_time() - self.used))


def outcome(
    table: FaultTable, particle: int, column: int, rng: np.random.Generator
) -> float | str | None:
    """What would be read on one particle; None where the check cannot be made on it."""
    card = table.checks[column]
    if card.form == "choice":
        chances = table.choice_probability[column][particle]
        return card.choices[int(rng.choice(len(chances), p=chances))]
    reading, sd = table.reading[particle, column], table.reading_sd[particle, column]
    if np.isnan(reading):
        return None
    return float(reading if np.isinf(reading) else max(reading + rng.normal() * sd, 0.0))


def steps_of_call(model: ReadingModel, rng: np.random.Generator) -> Iterator[Step]:
    """Each step of a call, the first advice included, until the tool asks for nothing more."""
    table = model.table
    particle = int(rng.integers(table.particles))
    belief, clock = Belief.start(model), Clock()
    for _ in range(STEPS):
        advice = next_check(belief)
        yield clock.step
        if advice.check is None:
            return
        value = outcome(table, particle, table.check_index(advice.check.id), rng)
        if value is None:
            return
        clock = Clock()
        belief = belief.observe(advice.check.id, value)


def main() -> None:
    """Print the percentiles beside the budget."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--calls", type=int, default=20)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--name", choices=ARRANGEMENTS, default=LARGEST)
    options = parser.parse_args()
    rng = np.random.default_rng(options.seed)
    table = build_table(arrangement(options.name))
    clock = Clock()
    model = ReadingModel(table)
    size = f"{table.particles} particles x {len(table.checks)} checks"
    print(f"{options.name}, preparing {size}: {clock.step.used:.0f} ms processor")
    calls = [list(steps_of_call(model, rng)) for _ in range(options.calls)]
    every = [step for steps in calls for step in steps]
    for name, steps in (("first step", [steps[0] for steps in calls]), ("every step", every)):
        wall, used = np.percentile(np.array(steps), [50, 95], axis=0).T
        told = f"p50 {wall[0]:.1f} ms, p95 {wall[1]:.1f} ms of {len(steps)} (budget p95 50 ms)"
        print(f"{name}: {told}; processor p50 {used[0]:.1f} ms, p95 {used[1]:.1f} ms")


if __name__ == "__main__":
    main()
