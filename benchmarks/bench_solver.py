"""Time of one solved circuit, beside ngspice on the same netlist in the same run.

Budget (docs/architecture.md): at least 100 times as fast as ngspice looping `alter` and `ac` inside
one process, 300 times the aim; wall time, with processor time beside it for a busy machine.  Ours
solves a batch in which every part is another specimen; ngspice alters one resistor each time.

Both times ngspice has no 0 V sources to measure amps, looks for no working point, and destroys its
plots as they come (kept ones slow it down, circuit by circuit).  "As it comes" malloc hands memory
back between circuits, which takes several times as long as the solving; "at its best" it need not.
Its answer is checked before it is timed.

"Solved" is the linear network: values to admittances, elimination, every node's volts.  "Settled"
adds what contacts, overloads and rotors do, and the proof of the balance.

    python benchmarks/bench_solver.py [--circuits 2000] [--loops 400] [--repeats 5] [--name ...]
"""

from __future__ import annotations

import argparse
import os
import re
import resource
import shutil
import subprocess
from collections.abc import Callable
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter, process_time
from typing import NamedTuple

from rungwise.circuit.assemble import Assembly
from rungwise.circuit.condition import CALLING, STANDBY, STARTING
from rungwise.circuit.factors import Factors
from rungwise.circuit.ngspice import run_many
from rungwise.circuit.operating_point import solve
from rungwise.circuit.solution import Solution
from rungwise.circuit.spice import spice_netlist
from rungwise.faults import SuspectSet
from rungwise.parts.element import EARTH
from rungwise.unit.unit_file import FIRST_ARRANGEMENTS, arrangement

ALTERED = "Rcontactor.pole1"
ROOMY = os.environ | {"MALLOC_TOP_PAD_": str(2**26), "MALLOC_TRIM_THRESHOLD_": str(2**30)}


class Times(NamedTuple):
    """Wall and processor seconds."""

    wall: float
    used: float

    def each(self, count: int) -> Times:
        """The share of one of `count`."""
        return Times(self.wall / count, self.used / count)


def without_meters(deck: str) -> str:
    """The deck without the 0 V sources that nothing but a reader of amps needs."""
    lines = deck.splitlines()
    driving = {line.split()[3] for line in lines if line.startswith("F")}
    merged: dict[str, str] = {}
    kept = []
    for line in lines:
        found = re.fullmatch(r"(V\S+) (\S+) (\S+) 0", line)
        if found and found[1] not in driving:
            merged[found[3]] = found[2]
        else:
            kept.append(line)
    return "\n".join(" ".join(merged.get(w, w) for w in line.split(" ")) for line in kept) + "\n"


def check_that_it_solves(deck: str, healthy: Solution) -> None:
    """Refuse to time a deck that ngspice does not solve, or where `alter` changes nothing."""
    node = "contactor.t1"
    other = re.sub(rf"(?m)^({re.escape(ALTERED)} \S+ \S+) \S+$", r"\1 10", deck)
    ours = complex(healthy.volt("contactor.T1", EARTH)[0])
    good, bad = (abs(found.volts[node]) for found in run_many([deck, other]))
    if abs(good - abs(ours)) > 1e-3 or abs(good - bad) < 1.0:
        raise SystemExit(f"ngspice finds {good} V and {bad} V at {node}, we find {abs(ours)} V")


def ngspice_times(deck: str, loops: int, environment: dict[str, str]) -> Times:
    """Seconds of one `alter` and `ac`, the start of the program taken off."""
    program = shutil.which("ngspice")
    if program is None:
        raise SystemExit("ngspice is not installed: nothing to compare with")

    def run(times: int) -> Times:
        loop = [
            f"repeat {times}",
            f"alter {ALTERED} = 0.001",
            "ac lin 1 60 60",
            "destroy all",
            "end",
        ]
        script = ["* loop", ".control", "source deck.cir", *loop, "quit", ".endc", ".end"]
        (place / "run.cir").write_text("\n".join(script) + "\n", encoding="ascii")
        command = [program, "-n", "-b", "run.cir"]
        before, began = resource.getrusage(resource.RUSAGE_CHILDREN), perf_counter()
        subprocess.run(command, cwd=place, env=environment, capture_output=True, check=True)
        wall, after = perf_counter() - began, resource.getrusage(resource.RUSAGE_CHILDREN)
        used = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
        return Times(wall, used)

    with TemporaryDirectory(prefix="rungwise-") as folder:
        place = Path(folder)
        (place / "deck.cir").write_text(deck, encoding="ascii")
        once, many = run(1), run(loops)
        return Times(many.wall - once.wall, many.used - once.used).each(loops - 1)


def our_times(work: Callable[[], object], size: int) -> Times:
    """Seconds of `work` for each of `size` circuits."""
    began, used = perf_counter(), process_time()
    work()
    return Times(perf_counter() - began, process_time() - used).each(size)


def solve_network(solution: Solution) -> None:
    """A settled batch once more: admittances, elimination, volts."""
    assembly = Assembly.of(solution.batch, "ac")
    factors = Factors(solution.plan.order, assembly.entries, solution.plan.nodes)
    factors.solve(assembly.injected)


def compare(name: str, circuits: int, loops: int, repeats: int) -> None:
    """Print the times of one arrangement, ours and ngspice's by turns, the best of each."""
    suspects = SuspectSet(arrangement(name))
    plan = suspects.plan
    count = -(-circuits // len(suspects))
    values = suspects.particles(suspects.suspects, count)
    size = count * len(suspects)
    healthy = solve(plan, CALLING, {}, 1)
    deck = without_meters(spice_netlist(healthy))
    check_that_it_solves(deck, healthy)
    works: dict[str, Callable[[], object]] = {
        "solved (budget 100 x, aim 300 x)": partial(
            solve_network, solve(plan, CALLING, values, size)
        ),
    }
    for condition in (STANDBY, STARTING, CALLING):
        works[f"settled, {condition.name}"] = partial(solve, plan, condition, values, size)
    plain: list[Times] = []
    roomy: list[Times] = []
    ours: dict[str, list[Times]] = {what: [] for what in works}
    for _ in range(repeats):
        plain.append(ngspice_times(deck, loops, dict(os.environ)))
        roomy.append(ngspice_times(deck, loops, ROOMY))
        for what, work in works.items():
            ours[what].append(our_times(work, size))
    print(f"{name}: {len(plan.nodes)} nodes, {len(plan.links)} branches, {size} circuits a batch")
    theirs = (best(plain), best(roomy))
    print(f"  {'':<34}{'a circuit':<34} | {'ngspice as it comes':<32} | ngspice at its best")
    report("ngspice, as it comes", theirs[0], theirs)
    report("ngspice, at its best", theirs[1], theirs)
    for what, times in ours.items():
        report(what, best(times), theirs)


def best(times: list[Times]) -> Times:
    """The least of each."""
    return Times(min(each.wall for each in times), min(each.used for each in times))


def report(what: str, times: Times, theirs: tuple[Times, Times]) -> None:
    """One line: microseconds a circuit, and how many go into one of ngspice's."""
    took = f"{1e6 * times.wall:9.1f} µs wall{1e6 * times.used:9.1f} µs processor"
    ratios = " | ".join(
        f"{each.wall / times.wall:7.1f} x wall{each.used / times.used:7.1f} x processor"
        for each in theirs
    )
    print(f"  {what:<34}{took} | {ratios}")


def main() -> None:
    """Measure the arrangements asked for."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--circuits", type=int, default=2000)
    parser.add_argument("--loops", type=int, default=400)
    parser.add_argument("--repeats", type=int, default=5)
    parser.add_argument("--name", choices=FIRST_ARRANGEMENTS, action="append")
    options = parser.parse_args()
    for name in options.name or FIRST_ARRANGEMENTS[:1]:
        compare(name, options.circuits, options.loops, options.repeats)


if __name__ == "__main__":
    main()
