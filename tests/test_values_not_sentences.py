"""Nothing made for people is read back: no code takes a check's id, a title or a sentence apart.

A reworded label must lose nothing. What a program needs to know travels as a field (`CheckCard`
tells its leads, its jaw, its setting; a caution its signal word).
"""

from __future__ import annotations

import ast
from collections import Counter
from pathlib import Path

SRC = Path(__file__).parent.parent / "src" / "rungwise"

TAKES_APART = {"startswith", "endswith", "partition", "rpartition", "split", "rsplit",
               "removeprefix", "removesuffix"}  # fmt: skip

SETS_TYPE = {"endswith", "removesuffix"}
"""With a question mark these only say how a sentence is set."""

FOR_PEOPLE = {"id", "check_id", "check", "title", "label", "text", "how", "instruction", "what",
              "where", "condition", "caution", "sentence", "said", "told", "question"}  # fmt: skip
"""Attributes and variables that hold what a person reads, or an id that is printed."""

PARSERS = {
    "diagnosis/check_ids.py": 1,  # a look by the short id of a symptom
    "web/pages/lost_wires/view.py": 1,  # the points in the id of a continuity check
}
"""Files that make a printed key and read it back: each key has one such place."""


def _taken_apart(source: str) -> list[int]:
    """Lines on which a text made for people is taken apart."""
    tree = ast.parse(source)
    calls = [node for node in ast.walk(tree) if isinstance(node, ast.Call)]
    folded = {id(call.args[0]) for call in calls if _joins_words(call)}
    return [
        call.lineno
        for call in calls
        if isinstance(call.func, ast.Attribute)
        and call.func.attr in TAKES_APART
        and _name(call.func.value) in FOR_PEOPLE
        and not (call.func.attr in SETS_TYPE and _only_punctuation(call.args))
        and id(call) not in folded
    ]


def _joins_words(call: ast.Call) -> bool:
    """Whether it is `" ".join(...)`: what `split()` gives it is set with other spaces, not read."""
    join = call.func
    return (
        isinstance(join, ast.Attribute)
        and join.attr == "join"
        and isinstance(join.value, ast.Constant)
        and join.value.value == " "
        and len(call.args) == 1
    )


def _name(node: ast.expr) -> str:
    return node.attr if isinstance(node, ast.Attribute) else getattr(node, "id", "")


def _only_punctuation(args: list[ast.expr]) -> bool:
    """Whether it ends in a question mark: that says how it is set, nothing of what it says."""
    values = [node.value for node in args if isinstance(node, ast.Constant)]
    return bool(values) and all(value in ("?", ".", ":") for value in values)


def test_the_rule_finds_what_it_is_for() -> None:
    assert _taken_apart('card.id.startswith("volts-")\nwhere.partition(" to ")') == [1, 2]
    assert _taken_apart('title.endswith("?")\nfile.name.split(".")\n" ".join(text.split())') == []


def test_no_code_takes_a_sentence_or_a_printed_id_apart() -> None:
    found = Counter(
        {
            path.relative_to(SRC).as_posix(): len(_taken_apart(path.read_text(encoding="utf-8")))
            for path in sorted(SRC.rglob("*.py"))
        }
    )
    assert +found == PARSERS
