"""The parts that a table speaks of, by what their kinds tell of themselves."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TypeVar

import numpy as np

from rungwise.diagnosis.check_ids import Word, id_of
from rungwise.diagnosis.fault_table import CheckCard, FaultTable
from rungwise.parts import KINDS, Facet, PartKind, Poles, part_of

F = TypeVar("F", bound=Facet)

Place = tuple[str, str]
"""A part and the two of its terminals, or one and ground, that a check reads between."""

Way = tuple[Word, str]
"""What is read, and in which setting."""


def parts_with(table: FaultTable, sort: type[F]) -> Iterator[tuple[str, PartKind, F]]:
    """The parts of a table's suspects whose kind has a facet, each once, with the facet."""
    kinds = {each.part: KINDS[each.kind] for each in table.suspects if each.kind in KINDS}
    for part, kind in kinds.items():
        facet = kind.facet(sort)
        if facet is not None:
            yield part, kind, facet


def contactors_in(table: FaultTable) -> Iterator[tuple[str, Poles]]:
    """The contactors made for a compressor's line, each with its poles."""
    for part, kind, poles in parts_with(table, Poles):
        if kind.is_contactor:
            yield part, poles


def usual_reading(table: FaultTable, suspect: str, check: str) -> float:
    """What a check reads under a suspect, the middle of its particles."""
    rows = table.suspect_of == table.suspect_index(suspect)
    return float(np.median(table.reading[rows, table.check_index(check)]))


def after_start(table: FaultTable, part: str, setting: str = "starting") -> Iterator[CheckCard]:
    """The checks of a motor's amps two seconds after a start; `restart`: once it has cooled."""
    clamped = (card for card in table.checks if card.clamped and card.setting == setting)
    yield from (card for card in clamped if part in card.touches)


def joined_to(table: FaultTable, part: str) -> Iterator[str]:
    """The terminals that a wire joins to a part."""
    for card in wires_in(table):
        for one, other in ((card.red, card.black), (card.black, card.red)):
            if part_of(other) == part:
                yield one


def wires_in(table: FaultTable) -> Iterator[CheckCard]:
    """The checks of wires from end to end, which tell where both their ends are."""
    return (card for card in table.checks if card.link == "path")


def ids_of(table: FaultTable, ways: tuple[Way, ...], places: Iterable[Place]) -> Iterator[str]:
    """The ids of the checks that read in these ways at these places, of those there are."""
    known = {card.id for card in table.checks}
    names = (
        id_of(word, part, pair, setting=setting) for part, pair in places for word, setting in ways
    )
    yield from (name for name in names if name in known)
