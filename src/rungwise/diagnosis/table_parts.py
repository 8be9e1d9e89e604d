"""The parts that a table speaks of, by what their kinds tell of themselves."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TypeVar

from rungwise.diagnosis.fault_table import CheckCard, FaultTable
from rungwise.parts import KINDS, Facet, PartKind, Poles

F = TypeVar("F", bound=Facet)


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


def after_start(table: FaultTable, part: str, setting: str = "starting") -> Iterator[CheckCard]:
    """The checks of a motor's amps two seconds after a start; `restart`: once it has cooled."""
    clamped = (card for card in table.checks if card.clamped and card.setting == setting)
    yield from (card for card in clamped if part in card.touches)
