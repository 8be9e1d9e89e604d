"""A part owns its knowledge: no other room names a kind of part, and none reads words back."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import get_args

import pytest

import rungwise
from rungwise.parts import JOINTS, KINDS
from rungwise.parts.facets import Family
from rungwise.records.rows import CALL_KINDS
from rungwise.unit import ARRANGEMENTS, arrangement

SOURCE = Path(rungwise.__file__).parent

OWN_WORLD = "other_world"
"""It judges the engine from outside, so it has its own idea of every kind, and no facet."""

SECOND_MEANINGS = {*get_args(Family), *JOINTS, *CALL_KINDS}
"""Words that other lists of the program hold too: families of parts, sorts of joints, sorts of
calls. That none of them asks for a kind is held by the second test."""


@cache
def modules() -> dict[str, ast.Module]:
    """Every module outside the parts, by its path in the package."""
    return {
        name: ast.parse(path.read_text(encoding="utf-8"))
        for path in sorted(SOURCE.rglob("*.py"))
        if (name := path.relative_to(SOURCE).as_posix()).partition("/")[0]
        not in {"parts", OWN_WORLD}
    }


def _docstrings(tree: ast.Module) -> set[int]:
    owners = (ast.Module, ast.ClassDef, ast.FunctionDef, ast.AsyncFunctionDef)
    return {
        id(node.body[0].value)
        for node in ast.walk(tree)
        if isinstance(node, owners) and node.body and isinstance(node.body[0], ast.Expr)
    }


def _texts(tree: ast.Module) -> Iterator[str]:
    """Literal texts, docstrings apart."""
    skipped = _docstrings(tree)
    for node in ast.walk(tree):
        text = node.value if isinstance(node, ast.Constant) else None
        if isinstance(text, str) and id(node) not in skipped:
            yield text


def _named(tree: ast.Module) -> set[str]:
    """Those that are a kind's name."""
    return set(_texts(tree)) & (KINDS.keys() - SECOND_MEANINGS)


def _asks_for_a_kind(node: ast.AST) -> bool:
    """Whether a node compares a part's `kind`, or asks a unit for parts of a kind.

    A call on the shop's day list has a kind too: a service call or practice.
    """
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
        return node.func.attr == "parts_of_kind"
    if not isinstance(node, ast.Compare):
        return False
    sides = (node.left, *node.comparators)
    words = {s.value for s in sides if isinstance(s, ast.Constant) and isinstance(s.value, str)}
    kinds = [
        side
        for side in sides
        if isinstance(side, ast.Attribute)
        and side.attr in {"kind", "name"}
        and not (isinstance(side.value, ast.Name) and side.value.id.casefold() == "call")
    ]
    return bool(words & KINDS.keys()) and any(
        s.attr == "kind" or (isinstance(s.value, ast.Attribute) and s.value.attr == "kind")
        for s in kinds
    )


def asking() -> dict[str, list[int]]:
    """Lines that compare a kind with a word, by file."""
    found = {
        name: [n.lineno for n in ast.walk(tree) if isinstance(n, ast.expr) and _asks_for_a_kind(n)]
        for name, tree in modules().items()
    }
    return {name: lines for name, lines in found.items() if lines}


def test_no_room_but_parts_names_a_kind_of_part() -> None:
    found = {name: sorted(_named(tree)) for name, tree in modules().items()}
    named = {name: kinds for name, kinds in found.items() if kinds}
    assert named == {}


def test_no_room_but_parts_compares_a_kind_with_a_word() -> None:
    """Holds the words with a second meaning, too."""
    assert asking() == {}


TAKES_A_NAME = {"part", "wire", "kind_of", "is_wired", "wires_at", "loads_on", "get"}
"""Methods that take the name of a part, a wire or a terminal; `get` of a table by name."""

NAMES_ONE = {"name", "part", "block", "start", "end"}
"""Attributes that hold such a name."""

BY_NAME = {"part_by_name", "wire_by_name", "blocks"}
"""Tables by name."""


def _names_asked_for(tree: ast.Module) -> Iterator[tuple[str, int]]:
    """Literals that are used as the name of a part, a wire or a terminal, with their lines."""
    for node in ast.walk(tree):
        asked: list[ast.expr] = []
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            by_table = _attribute(node.func.value) in BY_NAME
            if node.func.attr in TAKES_A_NAME - {"get"} or (node.func.attr == "get" and by_table):
                asked = node.args
        elif isinstance(node, ast.Subscript) and _attribute(node.value) in BY_NAME:
            asked = [node.slice]
        elif isinstance(node, ast.Compare):
            sides = [node.left, *node.comparators]
            if any(_attribute(each) in NAMES_ONE | BY_NAME for each in sides):
                asked = sides
        for each in asked:
            for inner in ast.walk(each):
                if isinstance(inner, ast.Constant) and isinstance(inner.value, str):
                    yield inner.value, inner.lineno


def _attribute(node: ast.expr) -> str:
    return node.attr if isinstance(node, ast.Attribute) else ""


@cache
def names_of_arrangements() -> frozenset[str]:
    """Every name of a part or a wire."""
    units = [arrangement(name) for name in ARRANGEMENTS]
    return frozenset(name for unit in units for name in (*unit.part_by_name, *unit.wire_by_name))


def test_no_room_but_parts_asks_for_a_part_or_a_wire_by_its_name() -> None:
    """Names are a unit file's own: what is asked of a part is asked by its role or its facets.

    Many names are words of the trade as well, so a literal counts by what is done with it.
    """
    names = names_of_arrangements()
    found = {
        name: [
            (word, line) for word, line in _names_asked_for(tree) if word.partition(".")[0] in names
        ]
        for name, tree in modules().items()
    }
    assert {name: words for name, words in found.items() if words} == {}


def _given(tree: ast.Module) -> set[str]:
    """Names that are given to what is new: `free_name` takes them, by themselves or by a table."""
    functions = [node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)]
    calls = [
        (function, call)
        for function in functions
        for call in ast.walk(function)
        if isinstance(call, ast.Call) and getattr(call.func, "id", "") == "free_name"
    ]
    keys = [
        key
        for function, _ in calls
        for table in ast.walk(function)
        if isinstance(table, ast.Dict)
        for key in table.keys
    ]
    wanted = [*keys, *(arg for _, call in calls for arg in call.args)]
    return {
        each.value
        for each in wanted
        if isinstance(each, ast.Constant) and isinstance(each.value, str)
    }


def test_no_room_but_parts_holds_a_name_that_is_no_word() -> None:
    """`comp_s`, `whip_l1`: a name with an underscore can be nothing else, unless it is given."""
    names = {name for name in names_of_arrangements() if "_" in name}
    found = {name: (set(_texts(tree)) & names) - _given(tree) for name, tree in modules().items()}
    assert {name: words for name, words in found.items() if words} == {}


@pytest.mark.parametrize(
    "code",
    ['unit.part("compressor")', 'unit.part_by_name["fan"]', 'wire.start == "contactor.T1"',
     'part.name in ("heater", "board")', 'unit.wire_by_name.get("y_field")'],
)  # fmt: skip
def test_the_rule_finds_a_name_that_is_asked_for(code: str) -> None:
    asked = {word.partition(".")[0] for word, _ in _names_asked_for(ast.parse(code))}
    assert asked & names_of_arrangements()
