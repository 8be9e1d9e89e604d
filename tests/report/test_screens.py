"""No text of a program's answer says that something is from memory or has no source.

A rule of thumb is marked as one, and docs/rules-of-thumb.md lists them with where each lives.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

SOURCE = Path(__file__).parents[2] / "src" / "rungwise"
TOLD = re.compile(r"from memory|common practice, no source|\(no source\)")


def texts_of(path: Path) -> Iterator[str]:
    """What a file can show: a template whole, of code every text that is no docstring."""
    text = path.read_text(encoding="utf-8")
    if path.suffix != ".py":
        yield text
        return
    tree = ast.parse(text)
    bare = {id(each.value) for each in ast.walk(tree) if isinstance(each, ast.Expr)}
    for each in ast.walk(tree):
        if isinstance(each, ast.Constant) and isinstance(each.value, str) and id(each) not in bare:
            yield each.value


def test_no_screen_and_no_paper_says_from_memory_or_no_source() -> None:
    shown = [path for path in SOURCE.rglob("*") if path.suffix in (".py", ".html", ".typ", ".js")]
    assert len(shown) > 300
    found = [f"{path.relative_to(SOURCE)}: {text[:80]}" for path in shown
             for text in texts_of(path) if TOLD.search(text)]  # fmt: skip
    assert found == []
