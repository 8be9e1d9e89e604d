"""Find lines that stand in two files, with pylint's search for copied code and no more of pylint.

    .venv/bin/python tools/find_copied.py FOLDER ...

How many lines make a copy stands in pyproject.toml. Run as a whole, pylint reads each module into a
tree of its own and infers its names, which this search needs only to leave out imports and heads of
functions: most of a minute of work. Python's own tree tells as well where those stand.
"""

from __future__ import annotations

import ast
import io
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path

from pylint.checkers.symilar import Symilar

PROJECT = Path(__file__).parent.parent / "pyproject.toml"


def told(text: str) -> str:
    """The text with its imports and the heads of its functions left blank, line for line."""
    lines = text.splitlines(keepends=True)
    for number in _left_out(ast.parse(text)):
        lines[number - 1] = "\n"
    return "".join(lines)


def _left_out(tree: ast.Module) -> Iterator[int]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Import | ast.ImportFrom):
            yield from range(node.lineno, (node.end_lineno or node.lineno) + 1)
        elif isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            yield from range(node.lineno, node.body[0].lineno)


def copies(folders: list[str], most: int) -> int:
    """Print what stands in two files on more than `most` lines, and give how many times that is."""
    search = Symilar(most, ignore_comments=True, ignore_docstrings=True)
    for path in sorted(path for folder in folders for path in Path(folder).rglob("*.py")):
        search.append_stream(str(path), io.StringIO(told(path.read_text(encoding="utf-8"))))
    found = search._compute_sims()  # noqa: SLF001  # run() prints and does not say how many
    if found:
        search._display_sims(found)  # noqa: SLF001
    return len(found)


if __name__ == "__main__":
    limits = tomllib.loads(PROJECT.read_text(encoding="utf-8"))["tool"]["pylint"]["similarities"]
    sys.exit(bool(copies(sys.argv[1:], limits["min-similarity-lines"])))
