"""Units with every wire pulled off, found again: how many checks it takes, and whether it is right.

    .venv/bin/python tools/lost_wires.py [UNIT] [--cases N] [--seed N] [--off PART ...] [--file N]

UNIT: a shipped arrangement or a unit file; unit 2 of Maple Hollow when none is named. --off: the
parts whose wires are off, contactor and capacitor when none is named. --file N prints no counts but
a wires file of the case with that seed, with the first N checks made (0: none).
"""

from __future__ import annotations

import argparse
import math
import sys
from collections.abc import Iterator
from pathlib import Path

import numpy as np

from rungwise.rewiring.lost_trial import LostTrial, Worked, lost_trial
from rungwise.rewiring.lost_wires import LostWires
from rungwise.rewiring.wires_record import LooseWire, Reading
from rungwise.unit.element import EARTH
from rungwise.unit.unit_file import ARRANGEMENTS, arrangement, read_unit

EXAMPLES = Path(__file__).parent.parent / "examples" / "maple-hollow"


def main() -> None:
    """Work the cases and print what came of them."""
    asked = _asked()
    unit = arrangement(asked.unit) if asked.unit in ARRANGEMENTS else read_unit(asked.unit)
    off = [t for t in unit.terminals() if t.partition(".")[0] in asked.off]
    lost = LostWires(unit, off)
    if asked.file is not None:
        trial = lost_trial(lost, np.random.default_rng(asked.seed))
        print("\n".join(_file(trial, asked.off, asked.file)))
        return
    worked: dict[str, list[Worked]] = {"as asked": [], "in order": [], "until it beeps": []}
    for seed in range(asked.seed, asked.seed + asked.cases):
        trial = lost_trial(lost, np.random.default_rng(seed))
        worked["as asked"].append(trial.as_asked())
        worked["in order"].append(trial.in_order())
        worked["until it beeps"].append(trial.until_it_beeps())
        print(f"\r{len(worked['as asked'])} of {asked.cases}", end="", file=sys.stderr)
    print(file=sys.stderr)
    print(f"{unit.title}: {len(lost.off)} loose ends, {asked.cases} cases from seed {asked.seed}")
    for way, each in worked.items():
        print(_line(way, each))


def _asked() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__.split("\n", maxsplit=1)[0])
    default = str(EXAMPLES / "unit-02-orchard-lane.toml")
    parser.add_argument("unit", nargs="?", default=default)
    parser.add_argument("--cases", type=int, default=200)
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--off", nargs="+", default=["contactor", "capacitor"])
    parser.add_argument("--file", type=int, default=None, metavar="N")
    return parser.parse_args()


def _line(way: str, worked: list[Worked]) -> str:
    checks = np.array([each.checks for each in worked])
    minutes = np.mean([each.minutes for each in worked])
    done = sum(each.done for each in worked)
    wrong = sum(each.done and not each.right for each in worked)
    return (
        f"  {way}: {checks.mean():.1f} checks on average (median {np.median(checks):.0f}, "
        f"at most {checks.max()}), {minutes:.0f} minutes; {done} brought to one behaviour, "
        f"{wrong} of them wrong"
    )


def _file(trial: LostTrial, off: list[str], checks: int) -> Iterator[str]:
    yield f"off = [{', '.join(_quoted(each) for each in off)}]"
    for wire in trial.loose:
        yield from _loose(wire)
    standing = trial.start()
    for _ in range(checks):
        check = standing.next_check
        if check is None:
            return
        reading = trial.reading(standing, check.a, check.b)
        yield from _reading(reading)
        standing = standing.read(reading)


def _loose(wire: LooseWire) -> Iterator[str]:
    yield from ("", "[[loose]]", f"name = {_quoted(wire.name)}", f"colour = {_quoted(wire.colour)}")
    if wire.both_ends:
        yield "both_ends = true"


def _reading(reading: Reading) -> Iterator[str]:
    a, b = ("earth" if each == EARTH else each for each in (reading.a, reading.b))
    value = "OL" if math.isinf(reading.high_ohm) else reading.typed
    yield from ("", "[[readings]]", f"from = {_quoted(a)}", f"to = {_quoted(b)}")
    yield f"value = {_quoted(value)}"


def _quoted(text: str) -> str:
    return f'"{text}"'


if __name__ == "__main__":
    main()
