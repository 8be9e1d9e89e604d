"""Changing one value in a TOML text while its comments, order and spacing stay."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from typing import Any

import tomlkit
from tomlkit import items
from tomlkit.container import OutOfOrderTableProxy

from rungwise.files.key_lines import KeyPath


def text_with_value(text: str, path: KeyPath, value: Any) -> str:
    """`text` with the value at `path` replaced or added.

    path: keys, and indexes counted from 0; an index one past the end of an array adds to it.
    Tables missing on the way are made.
    Raises LookupError, TypeError or ValueError: the path leads past an array's end or through
        something that is neither table nor array, or the value is of no kind that TOML has, or
        it cannot be put there without a change elsewhere.
    """
    changed = tomlkit.parse(text)
    _put(changed, path, value)
    written = tomlkit.dumps(changed)
    _check(text, path, value, written)
    # New lines come with \n only; a file from Windows stays of one kind.
    return re.sub(r"(?<!\r)\n", "\r\n", written) if "\r\n" in text else written


def _check(text: str, path: KeyPath, value: Any, written: str) -> None:
    """Refuse a result that differs from the same change made to plain values.

    tomlkit loses its way in tables that are spelled with dots below another table.
    """
    # Floats are compared as they are spelled, or a file with a nan would differ from itself.
    wanted = tomllib.loads(text, parse_float=str)
    _put(wanted, path, tomllib.loads(tomlkit.dumps({"v": value}), parse_float=str)["v"])
    if tomllib.loads(written, parse_float=str) != wanted:
        raise ValueError("the change would not stay in its place")


def _put(node: Any, path: KeyPath, value: Any) -> None:
    step, *rest = path
    if isinstance(node, Mapping) != isinstance(step, str):
        raise TypeError(f"{step!r} does not lead into {type(node).__name__}")
    if not rest:
        _set(node, step, value)
        return
    if _missing(node, step):
        _set(node, step, _beginning(node, tuple(rest), value))
    _put(node[step], tuple(rest), value)


def _set(node: Any, step: str | int, value: Any) -> None:
    if isinstance(node, items.AoT) and not isinstance(value, Mapping):
        raise TypeError("a table of an array of tables can only become another table")
    if _missing(node, step) and isinstance(value, Mapping) and _has_headers(node):
        value = _with_header(value)
    if isinstance(step, int) and step == len(node):
        node.append(value)
    else:
        node[step] = value


def _missing(node: Any, step: str | int) -> bool:
    return step == len(node) if isinstance(step, int) else step not in node


def _beginning(node: Any, rest: KeyPath, value: Any) -> Any:
    """What to put into `node` where the path goes on into something that is not there yet."""
    if not _has_headers(node):
        return {} if isinstance(rest[0], str) else []
    deeper = len(rest) > 1 or isinstance(value, Mapping)
    if isinstance(rest[0], int):
        return tomlkit.aot() if deeper else []
    return tomlkit.table(is_super_table=True) if deeper else {}


def _has_headers(node: Any) -> bool:
    """Whether tables in `node` begin with a header of their own, not with a brace."""
    headed = tomlkit.TOMLDocument, items.Table, items.AoT, OutOfOrderTableProxy
    return isinstance(node, headed)


def _with_header(value: Mapping[str, Any]) -> Any:
    """A table that begins on a line of its own, after a blank one."""
    if isinstance(value, items.Table) and value.is_super_table():
        return value
    table = tomlkit.table()
    table.update(value)
    table.trivia.indent = "\n"
    return table
