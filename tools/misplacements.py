"""Every single misplacement of a wire in the outdoor unit: found out, or proved harmless.

    .venv/bin/python tools/misplacements.py [UNIT] [--list] [--ngspice N]

UNIT: a shipped arrangement or a unit file; one_pole_heater when none is named. --list prints a
line for each; --ngspice N has every Nth of those that are found solved again by ngspice.
"""

from __future__ import annotations

import argparse
from collections import Counter

from rungwise.rewiring.consequence import RANKS
from rungwise.rewiring.yardstick import Yardstick
from rungwise.unit.unit import Unit
from rungwise.unit.unit_file import FIRST_ARRANGEMENTS, arrangement, read_unit
from wiring_trial.misplacement import Finding, judged, misplacements
from wiring_trial.second_opinion import opinions


def main() -> None:
    """Solve, count and print."""
    asked = _asked()
    unit = arrangement(asked.unit) if asked.unit in FIRST_ARRANGEMENTS else read_unit(asked.unit)
    yardstick = Yardstick(unit)
    findings = judged(yardstick, tuple(misplacements(unit)))
    if asked.list:
        for each in findings:
            print(_line(yardstick, each))
        print()
    _print_counts(unit, findings)
    if asked.ngspice:
        _print_opinions(yardstick, [each for each in findings if each.worst][:: asked.ngspice])


def _asked() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__.split("\n", maxsplit=1)[0])
    parser.add_argument("unit", nargs="?", default="one_pole_heater")
    parser.add_argument("--list", action="store_true")
    parser.add_argument("--ngspice", type=int, default=0, metavar="N")
    return parser.parse_args()


def _line(yardstick: Yardstick, finding: Finding) -> str:
    text = finding.misplacement.text
    if finding.worst is None:
        return f"same   {text}: {finding.why or 'by solution only'}"
    first = yardstick.situations[finding.worst.situations[0]]
    return f"found  {text}: {first.clause}, {finding.worst.text}"


def _print_counts(unit: Unit, findings: tuple[Finding, ...]) -> None:
    moved = sum(len(each.misplacement.moves) == 1 for each in findings)
    alike = [each for each in findings if each.alike]
    print(f"{unit.title}: {len(findings)} misplacements, {moved} of one end to a wrong terminal, ")
    print(f"{len(findings) - moved} swaps of two ends, each solved in every situation.")
    print(f"\n{len(findings) - len(alike)} are found, by their worst consequence:")
    ranks = Counter(each.worst.rank for each in findings if each.worst)
    for rank, many in sorted(ranks.items()):
        print(f"  {many:5}  {RANKS[rank]}")
    print(f"\n{len(alike)} change nothing, because:")
    for why, many in Counter(each.why or "by solution only" for each in alike).most_common():
        print(f"  {many:5}  {why}")


def _print_opinions(yardstick: Yardstick, sample: list[Finding]) -> None:
    cases = [
        (each.misplacement.wiring(yardstick.unit), yardstick.situations[each.worst.situations[0]])
        for each in sample
        if each.worst
    ]
    found = opinions(yardstick.unit, cases)
    wrong = [(each, told.wrong) for each, told in zip(sample, found, strict=True) if told.wrong]
    print(
        f"\nngspice agrees on {len(sample) - len(wrong)} of {len(sample)} of those that are found"
    )
    for each, differences in wrong:
        print(f"  {each.misplacement.text}: {differences[0]}")


if __name__ == "__main__":
    main()
