"""The door of a room: its `__init__` names what other rooms may take, and loads it when asked for.

What stands under `if TYPE_CHECKING:` in that `__init__` is the list: type checkers read it as it
is, and here it says from which module each name comes. So nobody waits for what he does not use.
"""

from __future__ import annotations

import ast
import sys
from collections.abc import Callable, Iterator
from functools import cache
from importlib import import_module
from importlib.machinery import SourceFileLoader

__all__ = ["door"]


def door(room: str) -> Callable[[str], object]:
    """The `__getattr__` of a room's `__init__`. room: its dotted name."""

    def taken(name: str) -> object:
        """Raises AttributeError for what the room does not give."""
        module = _homes(room).get(name)
        if module is None:
            raise AttributeError(f"module {room!r} has no attribute {name!r}")
        found = getattr(import_module(module), name)
        setattr(sys.modules[room], name, found)
        return found

    return taken


@cache
def _homes(room: str) -> dict[str, str]:
    """The module of each name that the room gives."""
    loader = SourceFileLoader(room, str(sys.modules[room].__file__))
    tree = ast.parse(loader.get_source(room) or "")
    return {
        alias.asname or alias.name: each.module or ""
        for each in _listed(tree)
        for alias in each.names
    }


def _listed(tree: ast.Module) -> Iterator[ast.ImportFrom]:
    for each in tree.body:
        if isinstance(each, ast.If) and ast.unparse(each.test) == "TYPE_CHECKING":
            yield from (one for one in each.body if isinstance(one, ast.ImportFrom))
