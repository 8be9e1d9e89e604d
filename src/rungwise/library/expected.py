"""What every check should read on a good unit, and beside it with a fault."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass

from rungwise.diagnosis import Expected
from rungwise.faults import HEALTHY
from rungwise.library.unit_model import GivenUnit, UnitModel, known_name, model_of
from rungwise.services import Expectation, band_text, expectation_of


@dataclass(frozen=True)
class ExpectedBand:
    """What one check reads in 95 of 100 units, on supplies as they are met.

    check: its id. title: what is read, in words. condition: what the unit is asked meanwhile.
    unit: of the three numbers, "" for a look. low, typical, high: in that unit, infinite for OL,
    None for a look. text: the band in words. limit: where the part is good and where it is
    changed, "" where no such limit stands. with_fault: the band in words by fault id.
    """

    check: str
    title: str
    condition: str
    unit: str
    low: float | None
    typical: float | None
    high: float | None
    text: str
    limit: str
    with_fault: Mapping[str, str]

    def __str__(self) -> str:
        faulty = "".join(f"; {fault}: {text}" for fault, text in self.with_fault.items())
        return f"{self.check}: {self.text}{faulty}"


@dataclass(frozen=True)
class ExpectedReadings:
    """All checks of a unit with their bands. whole: as the engine has it."""

    unit: UnitModel
    bands: tuple[ExpectedBand, ...]
    whole: Expectation

    def __getitem__(self, check: str) -> ExpectedBand:
        """The band of a check; raises UnknownName, with close matches, for one not there."""
        told = {each.check: each for each in self.bands}
        return told[known_name(check, told, "There is no such check here.")]

    def __iter__(self) -> Iterator[ExpectedBand]:
        return iter(self.bands)

    def __len__(self) -> int:
        return len(self.bands)

    def __str__(self) -> str:
        return "\n".join([self.unit.title, *(f"  {each}" for each in self.bands)])


def expect(
    unit: GivenUnit, *, faults: Collection[str] = (), checks: Collection[str] = ()
) -> ExpectedReadings:
    """What every check should read on a good unit.

    faults: ids of faults to show beside it (`UnitModel.suspects`). checks: texts; only checks
    whose id has one of them in it, all where none is given.
    Raises UnknownName, with close matches, for a fault or a check that does not exist;
    BadUnitFile for a unit that cannot be read.
    """
    model = model_of(unit)
    found = expectation_of(model.whole, tuple(faults), tuple(checks))
    return ExpectedReadings(model, tuple(_band(row, found) for row in found.rows), found)


def _band(row: Mapping[str, Expected], found: Expectation) -> ExpectedBand:
    healthy = row[HEALTHY]
    return ExpectedBand(
        check=healthy.id,
        title=healthy.title,
        condition=healthy.condition,
        unit=healthy.unit,
        low=healthy.low,
        typical=healthy.typical,
        high=healthy.high,
        text=band_text(healthy),
        limit=found.limits.get(healthy.id, ""),
        with_fault={fault: band_text(row[fault]) for fault in found.titles},
    )
