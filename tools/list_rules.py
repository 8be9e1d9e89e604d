"""List the figures that rest on no source, or on memory; write docs/rules-of-thumb.md.

python tools/list_rules.py
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path

ROOT = Path(__file__).parent.parent
SOURCE = ROOT / "src" / "rungwise"
PAGE = ROOT / "docs" / "rules-of-thumb.md"
NO_SCREEN = ("evaluation", "other_world")
"""Rooms whose figures reach no answer."""

UNSOURCED = re.compile(r"no source|rule of thumb|common practice", re.IGNORECASE)
REMEMBERED = re.compile(r"from memory|own copy", re.IGNORECASE)


def main() -> None:
    """Write the page."""
    PAGE.write_text("\n".join(page()) + "\n", encoding="utf-8")


def page() -> Iterator[str]:
    """The lines of the page."""
    paths = [path for path in sorted(SOURCE.rglob("*.py"))
             if path.relative_to(SOURCE).parts[0] not in NO_SCREEN]  # fmt: skip
    found = [row for path in paths for row in rows(path)]
    yield "# Rules of thumb"
    yield ""
    yield (
        "Where an answer says *rule of thumb*, its figure is common practice and has no source. "
        "Where it says *check your own copy*, a standard is named and its figure or clause was "
        "written down from memory: look it up in the edition that counts where you work. Each "
        "stands here with where it lives in `src/rungwise`. Written by `tools/list_rules.py`."
    )
    for title, sign in (("Without a source", UNSOURCED), ("From memory", REMEMBERED)):
        yield from ("", f"## {title}", "", "| where | what |", "|---|---|")
        yield from dict.fromkeys(f"| `{where}` | {cell(text)} |" for where, text in found
                                 if sign.search(text))  # fmt: skip


def rows(path: Path) -> Iterator[tuple[str, str]]:
    """Each constant with its docstring, and each parameter's source, of a module."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    where = str(path.relative_to(SOURCE).with_suffix(""))
    for one, two in pairwise(tree.body):
        if isinstance(one, ast.Assign | ast.AnnAssign) and isinstance(two, ast.Expr):
            text = two.value
            if isinstance(text, ast.Constant) and isinstance(text.value, str):
                yield where, f"{named(one)}: {text.value}"
    for call in (each for each in ast.walk(tree) if isinstance(each, ast.Call)):
        for key in call.keywords:
            said = key.value
            if key.arg in ("source", "spread_source") and isinstance(said, ast.Constant):
                yield where, f"{subject(call)}: {said.value!s}"


def subject(call: ast.Call) -> str:
    """What a parameter is called: the first thing that its call is given."""
    first = call.args[0] if call.args else None
    return str(first.value) if isinstance(first, ast.Constant) else "figure"


def named(one: ast.Assign | ast.AnnAssign) -> str:
    """The name of a constant, with its value where that is short."""
    target = one.targets[0] if isinstance(one, ast.Assign) else one.target
    value = ast.unparse(one.value) if one.value else ""
    return f"{ast.unparse(target)} = {value}" if len(value) < 60 else ast.unparse(target)


def cell(text: str) -> str:
    """A text as a table's cell."""
    return " ".join(text.split()).replace("|", "\\|")


if __name__ == "__main__":
    main()
