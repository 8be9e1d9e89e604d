"""A part owns its knowledge: no other room names a kind of part, and none reads words back."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import get_args

import rungwise
from rungwise.parts import KINDS
from rungwise.parts.facets import Family
from rungwise.unit import ARRANGEMENTS, arrangement

SOURCE = Path(rungwise.__file__).parent

OWN_WORLD = "other_world"
"""It judges the engine from outside, so it has its own idea of every kind, and no facet."""

SECOND_MEANINGS = {
    **dict.fromkeys(get_args(Family), "a family of parts, which a kind says of itself"),
    "splice": "a sort of joint on the end of a wire",
    "service": "a visit to keep a unit up",
}
"""Words of the trade that name a kind and something else besides; see the second test."""


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
    return set(_texts(tree)) & (KINDS.keys() - SECOND_MEANINGS.keys())


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


MEAN_MORE = {
    **dict.fromkeys(SECOND_MEANINGS, "as above"),
    **dict.fromkeys(("compressor", "fan", "blower", "heater"), "what a motor drives, or warms"),
    **dict.fromkeys(("board", "limit", "overload", "lockout", "delay"), "a word of a label"),
    **dict.fromkeys(("heater_stat", "kit_cap", "kit_1", "kit_2", "kit_5"), "given to what is new"),
    "cabinet": "a place of work",
    "neutral": "what a wire carries",
}
"""Names of parts and wires in the arrangements that are words of the trade as well."""


def test_no_room_but_parts_names_a_part_or_a_wire_of_an_arrangement() -> None:
    """Names are a unit file's own: what is asked of a part is asked by its role or its facets."""
    units = [arrangement(name) for name in ARRANGEMENTS]
    names = {name for unit in units for name in (*unit.part_by_name, *unit.wire_by_name)}
    found = {name: sorted(set(_texts(tree)) & names) for name, tree in modules().items()}
    told = {name: set(words) - MEAN_MORE.keys() for name, words in found.items()}
    assert {name: words for name, words in told.items() if words} == {}
