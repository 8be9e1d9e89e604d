"""What a unit should read and do, healthy and with a fault beside it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from rungwise.circuit import LoadState, Plan, Shortfall, shortfalls, usual_states
from rungwise.diagnosis import Expected, checks_of, expected_readings, not_judged
from rungwise.errors import UnknownName
from rungwise.faults import HEALTHY, SuspectSet
from rungwise.services.as_json import shortfall_json, unit_json
from rungwise.services.input_files import open_unit
from rungwise.services.runtime.progress import Watching, unwatched
from rungwise.services.stated_limits import limits_told
from rungwise.services.wording.band_words import band_text
from rungwise.unit import Unit
from rungwise.wording import mark


@dataclass(frozen=True)
class Expectation:
    """What is expected of a unit.

    titles: of the faults shown beside the healthy unit, by id. rows: each check or fact with its
    band by suspect id, `HEALTHY` among them. limits: by check, where a part is good and where it
    is changed, in a sentence; only of what has one limit everywhere. not_judged: a line for each
    part on which no reading is known.
    """

    unit: Unit
    titles: dict[str, str]
    rows: tuple[dict[str, Expected], ...]
    loads: tuple[LoadState, ...]
    shortfalls: tuple[Shortfall, ...]
    limits: dict[str, str]
    not_judged: tuple[str, ...] = ()

    def as_json(self) -> dict[str, Any]:
        """The same as plain values."""
        return {
            "unit": unit_json(self.unit),
            "checks": [self._row_json(row) for row in self.rows],
            "loads": [
                {
                    "condition": each.condition,
                    "part": each.part,
                    "does": each.does.words,
                    "watt": each.watt,
                }
                for each in self.loads
            ],
            "shortfalls": [shortfall_json(each) for each in self.shortfalls],
            **({"not_judged": list(self.not_judged)} if self.not_judged else {}),
        }

    def _row_json(self, row: dict[str, Expected]) -> dict[str, Any]:
        healthy = row[HEALTHY]
        return {
            "id": healthy.id,
            "title": healthy.title,
            "unit": healthy.unit or None,
            "condition": healthy.condition,
            "where": healthy.where,
            "healthy": _band_json(healthy),
            "limit": self.limits.get(healthy.id),
            "with": {name: _band_json(row[name]) for name in self.titles},
        }


def expectation(
    name: str,
    suspects: Sequence[str],
    wanted: Sequence[str],
    watching: Watching = unwatched,
) -> Expectation:
    """What is expected of the unit called `name`; else as `expectation_of`.

    Raises BadUnitFile, UnknownName.
    """
    return expectation_of(open_unit(name).unit, suspects, wanted, watching)


def expectation_of(
    unit: Unit,
    suspects: Sequence[str],
    wanted: Sequence[str],
    watching: Watching = unwatched,
) -> Expectation:
    """What is expected of a unit.

    suspects: ids of faults to show beside the healthy unit.
    wanted: texts; a check is left out unless its id holds one of them. None: all checks.
    Raises UnknownName.
    """
    known = SuspectSet(unit)
    titles = {each: known.suspect(each).title for each in suspects}
    names = (HEALTHY, *titles)
    tables = {}
    with watching(f"solving {unit.name}") as progress:
        for at, each in enumerate(names):
            tables[each] = {row.id: row for row in expected_readings(unit, each)}
            progress((at + 1) / len(names))
    ids = tuple(_chosen(tables[HEALTHY], wanted))
    return Expectation(
        unit=unit,
        titles=titles,
        rows=tuple({each: tables[each][check] for each in names} for check in ids),
        loads=usual_states(Plan(unit)),
        shortfalls=shortfalls(unit),
        limits=limits_told(unit),
        not_judged=not_judged(unit, (check.card for check in checks_of(unit))),
    )


def _chosen(ids: Iterable[str], wanted: Sequence[str]) -> Iterator[str]:
    known = tuple(ids)
    for text in wanted:
        if not any(text in each for each in known):
            raise UnknownName(what=mark("No check has this in its id."), name=text, known=known)
    return (each for each in known if not wanted or any(text in each for text in wanted))


def _band_json(expected: Expected) -> dict[str, Any]:
    return {
        "low": expected.low,
        "typical": expected.typical,
        "high": expected.high,
        "choice": expected.choice or None,
        "chance": expected.chance,
        "text": band_text(expected),
    }
