"""Pictures read what a kind tells; what it does not tell is drawn bare, and said."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import get_args

import pytest
from tests.every import of_every

from rungwise.drawing.ladder_picture import ladder
from rungwise.drawing.panel_picture import panel
from rungwise.drawing.panel_signs import sign
from rungwise.drawing.symbols_drawn import Sign as How
from rungwise.drawing.symbols_drawn import drawn_symbol
from rungwise.parts import KINDS
from rungwise.parts.kind import PartKind
from rungwise.parts.pictures import Mark, Sign, Stand, Symbol
from rungwise.parts.trade import Facet
from rungwise.unit.unit import Unit
from rungwise.unit.unit_file import arrangement

DRAWN = [kind for kind in KINDS.values() if kind.facet(Stand)]
of_every_kind = of_every(DRAWN, lambda kind: kind.name)


def without(kind: PartKind, *sorts: type[Facet]) -> PartKind:
    """The kind under another name, with these facets untold."""
    kept = tuple(facet for facet in kind.facets if not isinstance(facet, sorts))
    return replace(kind, name="untold", facets=kept, lacks=kind.lacks | set(sorts))


def with_untold(part: str, *sorts: type[Facet]) -> Unit:
    unit = arrangement("two_pole_plain")
    KINDS["untold"] = without(unit.kind_of(part), *sorts)
    parts = (replace(each, kind="untold") if each.name == part else each for each in unit.parts)
    return replace(unit, parts=tuple(parts))


@pytest.fixture(autouse=True)
def kinds_as_they_were() -> object:
    yield
    KINDS.pop("untold", None)


@of_every_kind
def test_every_terminal_of_a_part_stands_once_in_its_cabinet(kind: PartKind) -> None:
    stand = kind.facet(Stand)
    assert stand is not None
    assert sorted(stand.terminals) == sorted(kind.terminals)


@of_every_kind
def test_every_terminal_of_a_part_lies_on_a_piece_of_the_ladder(kind: PartKind) -> None:
    """A board's common may lie on several, once on each."""
    symbol = kind.facet(Symbol)
    assert symbol is not None
    assert {end for piece in symbol.pieces for end in piece.terminals} == set(kind.terminals)
    for piece in symbol.pieces:
        assert len(set(piece.terminals)) == len(piece.terminals)


def test_no_two_things_of_a_ladder_have_one_id() -> None:
    """Also where three pieces share a terminal."""
    svg = ladder(arrangement("air_handler_zone_panel")).svg
    ids = re.findall(r'\bid="([^"]+)"', svg)
    assert len(ids) > 100
    assert len(set(ids)) == len(ids)


@of_every_kind
def test_pieces_name_elements_and_parameters_of_their_kind(kind: PartKind) -> None:
    symbol = kind.facet(Symbol)
    assert symbol is not None
    parameters = {parameter.name for parameter in kind.parameters}
    for piece in symbol.pieces:
        assert set(piece.figures) <= parameters
        assert len(piece.symbols) == max(1, len(piece.terminals) - 1) or not piece.symbols
        assert not piece.elements or len(piece.elements) == len(piece.symbols)
        assert not piece.round or len(piece.terminals) == 3, "motors are drawn with three leads"


@pytest.mark.parametrize("name", sorted(set(get_args(Sign)) - {"earth"}))
def test_every_sign_that_a_kind_may_name_is_drawn_between_terminals(name: Sign) -> None:
    assert drawn_symbol(name, How(60.0))


@pytest.mark.parametrize("mark", [each for each in get_args(Mark) if each])
def test_every_mark_that_a_kind_may_name_is_drawn(mark: Mark) -> None:
    assert sign(mark, running=False) is not None


def test_a_part_without_a_symbol_is_a_box_and_the_ladder_says_so() -> None:
    told = "square box, inside not drawn"
    assert told not in ladder(arrangement("two_pole_plain")).svg
    drawn = ladder(with_untold("transformer", Symbol))
    assert any(told in label.text for label in drawn.labels)
    assert 'data-part="transformer"' in drawn.svg


def test_a_part_without_a_stand_is_a_row_of_terminals_and_the_panel_says_so() -> None:
    told = "where the terminals lie, or what is inside, is not told: run capacitor"
    assert told not in panel(arrangement("two_pole_plain")).svg
    drawn = panel(with_untold("capacitor", Stand, Symbol))
    assert "where the terminals lie, or what is inside" in drawn.svg
