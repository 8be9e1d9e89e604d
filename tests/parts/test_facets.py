"""What a part kind tells of itself is complete, and speaks of what the kind really has."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass, replace
from typing import Any

import pytest
from tests.every import of_every

from rungwise.parts import KINDS
from rungwise.parts.facets import FACETS, Coil, Poles, Terminals
from rungwise.parts.kind import PartKind
from rungwise.parts.trade import Facet

of_every_kind = of_every(KINDS.values(), lambda kind: kind.name)


def _texts(value: Any) -> list[tuple[str, Any]]:
    """Every field of a facet and of what lies in it, as (name, value)."""
    if is_dataclass(value):
        return [pair for f in fields(value) for pair in _named(f.name, getattr(value, f.name))]
    return []


def _named(name: str, value: Any) -> list[tuple[str, Any]]:
    if isinstance(value, tuple) and value and is_dataclass(value[0]):
        return [pair for each in value for pair in _texts(each)]
    return [(name, value)]


TERMINALS = {"line", "load", "bar", "ends", "common", "run", "start", "primary", "secondary",
             "terminal", "neutral", "feed", "signal_in", "signal_out"}  # fmt: skip
PARAMETERS = {"open_handle", "volt", "microfarads", "amps", "locked_amps", "watt", "primary_volt",
              "volt_amperes", "rating", "seconds"}  # fmt: skip


@of_every_kind
def test_every_kind_has_each_facet_or_says_that_it_lacks_it(kind: PartKind) -> None:
    told = {type(facet) for facet in kind.facets}
    assert told | kind.lacks == set(FACETS)
    assert not told & kind.lacks
    assert all(kind.facet(sort) is None for sort in kind.lacks)


@of_every_kind
def test_a_facet_names_terminals_elements_states_and_parameters_of_its_kind(kind: PartKind) -> None:
    elements = {element.name for element in kind.elements}
    known = {
        **{key: set(kind.terminals) for key in TERMINALS},
        **{key: {parameter.name for parameter in kind.parameters} for key in PARAMETERS},
        "element": elements,
        "state": {state.name for state in kind.states},
        "states": {state.name for state in kind.states},
    }
    for name, value in [pair for facet in kind.facets for pair in _texts(facet)]:
        if name in known and value:
            held = value.values() if isinstance(value, Mapping) else value
            assert set((held,) if isinstance(held, str) else held) <= known[name], (
                name,
                value,
            )


@of_every_kind
def test_what_a_hand_finds_is_told_of_terminals_that_the_kind_has(kind: PartKind) -> None:
    known = kind.facet(Terminals)
    if known is not None:
        sides = [end for _, ends in known.sides for end in ends]
        assert {*known.places, *known.colors, *sides} <= set(kind.terminals)
        assert len(sides) in {0, len(kind.terminals)}, "every terminal lies on one side"


def test_a_kind_that_forgets_a_facet_is_refused_when_it_is_made() -> None:
    contactor = KINDS["contactor_2p"]
    with pytest.raises(ValueError, match="not told: \\['Coil'\\]"):
        replace(contactor, facets=tuple(f for f in contactor.facets if not isinstance(f, Coil)))
    with pytest.raises(ValueError, match="told twice: \\['Poles'\\]"):
        replace(contactor, lacks=contactor.lacks | {Poles})


def test_a_facet_outside_the_list_is_an_error_not_none() -> None:
    class Colour(Facet):
        pass

    with pytest.raises(KeyError, match="Colour"):
        KINDS["relay"].facet(Colour)
