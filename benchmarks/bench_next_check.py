"""Time of the next check after a reading, on a made-up table of full size.

Budget (docs/architecture.md): 50 ms at the 95th percentile, on one core. The table is larger than
that of a split system: 10,000 particles, 160 checks, 120 repairs, so the first step of a call,
when nothing is ruled out yet, is the hardest.

    python benchmarks/bench_next_check.py [--calls 20] [--seed 1]
"""

from __future__ import annotations

import argparse
from time import perf_counter

import numpy as np

from rungwise.diagnosis import Belief, CheckCard, FaultTable, ReadingModel, SuspectCard, next_check

SUSPECTS, PARTICLES_EACH, CHECKS, LOOKS, REPAIRS = 200, 50, 160, 30, 120
STEPS = 8


def made_up_table(rng: np.random.Generator) -> FaultTable:
    """Every suspect moves a random tenth of the checks; the rest read as on a healthy unit."""
    suspects = tuple(
        SuspectCard(
            f"s{n}", "", f"p{n}", "", f"r{n % REPAIRS}", "", weight=float(rng.uniform(1, 60))
        )
        for n in range(SUSPECTS)
    )
    looks = tuple(CheckCard(f"look{n}", "", "choice", ("yes", "no")) for n in range(LOOKS))
    meters = tuple(
        CheckCard(f"meter{n}", "", unit="V", live=bool(n % 2), condition=f"c{n % 4}")
        for n in range(CHECKS - LOOKS)
    )
    shared = rng.normal(1.0, 0.04, (PARTICLES_EACH, CHECKS))
    level = np.tile(rng.choice([0.0, 24.0, 120.0, 240.0], CHECKS), (SUSPECTS, 1))
    moved = rng.random((SUSPECTS, CHECKS)) < 0.1
    level[moved] = rng.uniform(0.0, 250.0, int(moved.sum()))
    reading = (level[:, None, :] * shared).reshape(-1, CHECKS)
    reading[rng.random(reading.shape) < 0.01] = np.inf
    yes = np.repeat(np.where(moved[:, :LOOKS], 0.9, 0.1), PARTICLES_EACH, axis=0)
    chances = {n: np.column_stack([yes[:, n], 1.0 - yes[:, n]]) for n in range(LOOKS)}
    sd = 0.05 + 0.01 * np.abs(np.where(np.isfinite(reading), reading, 0.0))
    suspect_of = np.repeat(np.arange(SUSPECTS), PARTICLES_EACH)
    return FaultTable(suspects, looks + meters, suspect_of, reading, sd, chances)


def outcome(table: FaultTable, particle: int, column: int, rng: np.random.Generator) -> float | str:
    """What would be read on one particle."""
    card = table.checks[column]
    if card.form == "choice":
        chances = table.choice_probability[column][particle]
        return card.choices[int(rng.choice(len(chances), p=chances))]
    return float(
        table.reading[particle, column] + rng.normal() * table.reading_sd[particle, column]
    )


def times_of_call(model: ReadingModel, rng: np.random.Generator) -> list[float]:
    """Milliseconds from each reading to the next advice, the first advice included."""
    table = model.table
    particle = int(rng.integers(table.particles))
    belief, times = Belief.start(model), []
    for _ in range(STEPS):
        began = perf_counter()
        advice = next_check(belief)
        times.append(1e3 * (perf_counter() - began))
        if advice.check is None:
            break
        value = outcome(table, particle, table.check_index(advice.check.id), rng)
        began = perf_counter()
        belief = belief.observe(advice.check.id, value)
        times[-1] += 1e3 * (perf_counter() - began)
    return times


def main() -> None:
    """Print the percentiles beside the budget."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--calls", type=int, default=20)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    rng = np.random.default_rng(options.seed)
    table = made_up_table(rng)
    began = perf_counter()
    model = ReadingModel(table)
    print(
        f"preparing {table.particles} particles x {CHECKS} checks: {perf_counter() - began:.2f} s"
    )
    calls = [times_of_call(model, rng) for _ in range(options.calls)]
    first = [times[0] for times in calls]
    every = [time for times in calls for time in times]
    for name, times in (("first step", first), ("every step", every)):
        p50, p95 = np.percentile(times, [50, 95])
        print(f"{name}: p50 {p50:.1f} ms, p95 {p95:.1f} ms of {len(times)} (budget p95 50 ms)")


if __name__ == "__main__":
    main()
