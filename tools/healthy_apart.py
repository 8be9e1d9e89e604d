"""Where good houses of the other world read otherwise than good units of the fault tables.

    .venv/bin/python tools/healthy_apart.py [--arrangement NAME]... [--houses 12] [--seed 511]
        [--tables FOLDER]

Every check is read on good houses, without slips of the hand, and held beside what the fault
table foretells of a unit in which nothing is wrong, before any other reading: in standard
deviations, by check over all arrangements that have it. Good draws give a mean of 0, a spread of 1
or less, and 3 in a thousand beyond three. What is looked at is left out. What stands at the top is
where draws are too narrow, or beside.
"""

from __future__ import annotations

import argparse
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
from scipy.special import ndtr, ndtri

from rungwise.diagnosis import Check, FaultTable, build_table, checks_of
from rungwise.diagnosis.reading_model import ReadingModel
from rungwise.evaluation.asking import ask_of
from rungwise.faults import HEALTHY
from rungwise.other_world import Amps, Hands, Leads, LoadMicrofarads, Look, Volts
from rungwise.other_world.case import running_house
from rungwise.other_world.visit import Visit
from rungwise.parts import part_of
from rungwise.unit import ARRANGEMENTS, Unit, arrangement

Reads = Volts | Amps | Leads | LoadMicrofarads

FAR = 3.0
"""Standard deviations from which a reading lies outside the draws."""

RARE = 0.01
"""Chance of a reading over the range under which it lies outside them."""


@dataclass(slots=True)
class Apart:
    """How far readings of one check lay from what was foretold, over all houses."""

    quantity: str
    z: list[float] = field(default_factory=list)
    examples: list[str] = field(default_factory=list)
    beyond: int = 0

    def line(self, name: str) -> str:
        """One row: how many, how many far, mean and spread, the first far ones."""
        z = np.clip(np.array(self.z or [0.0]), -9.0, 9.0)
        taken = len(self.z) + self.beyond
        told = "; ".join(self.examples[:3])
        return (
            f"{self.far:4d} of {taken:4d}  mean {z.mean():+5.1f}  sd {z.std():4.1f}  "
            f"{self.quantity:13s} {name}  {told}"
        )

    @property
    def far(self) -> int:
        """Readings beyond `FAR`, and those over range where none was foretold or the reverse."""
        return self.beyond + int((np.abs(np.array(self.z)) > FAR).sum())


class Foretold:
    """What a table foretells of the good unit."""

    def __init__(self, table: FaultTable) -> None:
        self.model = ReadingModel(table)
        self.table = table
        (self.rows,) = np.nonzero(table.suspect_of == table.suspect_index(HEALTHY))

    def apart(self, name: str, value: float) -> float | None:
        """Standard deviations between a number and the foretold ones; None where none is."""
        check = self.table.check_index(name)
        spread = self.model.spread(np.array([check]))[self.rows, 0]
        middle = np.asarray(self.model.z[self.rows, check], dtype=np.float64)
        made = np.isfinite(middle)
        if not made.any() or not np.isfinite(value):
            return None
        at = self.model.scale.of_reading(check, np.array([value]))[0]
        below = float(ndtr((at - middle[made]) / spread[made]).mean())
        return float(np.clip(ndtri(np.clip(below, 1e-19, 1.0)), -9.0, 9.0))

    def over_range(self, name: str) -> float:
        """How likely a check reads over the range of a good unit."""
        reading = self.model.reading(name, float("inf"))
        return float(np.exp(self.model.log_alone(reading)[self.rows]).mean())

    def band(self, name: str) -> str:
        """The readings of the good specimens, for the eye."""
        column = self.table.reading[self.rows, self.table.check_index(name)]
        some = column[np.isfinite(column)]
        return f"{some.min():.3g} to {some.max():.3g}" if len(some) else "none"


def _readable(unit: Unit, checks: list[Check]) -> Iterator[tuple[str, str, Reads]]:
    for check in checks:
        ask = ask_of(unit, check)
        if ask is not None and not isinstance(ask, Look):
            yield check.card.id, check.card.quantity, ask


def _generic(unit: Unit, name: str, check: Check) -> str:
    """The check's id, with the kinds of the parts that it is about."""
    kinds = {unit.part_by_name[part_of(end)].kind for end in check.card.touches
             if part_of(end) in unit.part_by_name}  # fmt: skip
    return f"{name} ({', '.join(sorted(kinds))})" if kinds else name


def compare(name: str, table: FaultTable, houses: int, seed: int, found: dict[str, Apart]) -> None:
    """Read good houses of one arrangement and add how far each reading lies off."""
    unit = arrangement(name)
    checks = {check.card.id: check for check in checks_of(unit)}
    foretold = Foretold(table)
    for house in range(houses):
        rng = np.random.default_rng([seed, ARRANGEMENTS.index(name), house])
        hands = Hands(Visit(running_house(unit, rng)), int(rng.integers(2**31)), slip=0.0)
        for check, quantity, ask in _readable(unit, list(checks.values())):
            value = hands.read(ask, rng)
            row = found.setdefault(_generic(unit, check, checks[check]), Apart(quantity))
            _add(row, foretold, check, value, name)


def _add(row: Apart, foretold: Foretold, check: str, value: float, where: str) -> None:
    z = foretold.apart(check, value)
    if z is not None:
        row.z.append(z)
        if abs(z) > FAR:
            row.examples.append(f"{where} {value:g} for {foretold.band(check)}")
    elif np.isposinf(value) and foretold.over_range(check) < RARE:
        row.beyond += 1
        row.examples.append(f"{where} OL for {foretold.band(check)}")


def main() -> None:
    """Build or load the tables, read the houses, print the rows, worst first."""
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("--arrangement", action="append", choices=ARRANGEMENTS)
    ask.add_argument("--houses", type=int, default=12)
    ask.add_argument("--seed", type=int, default=511)
    ask.add_argument("--tables", type=Path)
    told = ask.parse_args()
    found: dict[str, Apart] = {}
    with TemporaryDirectory() as own:
        folder = told.tables or Path(own)
        folder.mkdir(exist_ok=True)
        for name in told.arrangement or ARRANGEMENTS:
            file = folder / f"{name} .npz"
            if not file.exists():
                build_table(arrangement(name)).save(file)
            compare(name, FaultTable.load(file), told.houses, told.seed, found)
    by_quantity: dict[str, list[int]] = defaultdict(lambda: [0, 0])
    for row in found.values():
        by_quantity[row.quantity][0] += row.far
        by_quantity[row.quantity][1] += len(row.z) + row.beyond
    for quantity, (far, taken) in sorted(by_quantity.items()):
        print(f"{quantity:14s} {far} of {taken} beyond {FAR:g} deviations")
    for name, row in sorted(found.items(), key=lambda each: -each[1].far):
        if row.far:
            print(row.line(name))


if __name__ == "__main__":
    main()
