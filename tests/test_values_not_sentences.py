"""Nothing made for people is read back: no code takes a check's id, a title or a sentence apart.

A reworded label must lose nothing. What a program needs to know travels as a field (`CheckCard`
tells its leads, its jaw, its setting); the places that still read words stand here by number, and
a number may only fall.
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

STILL = {
    "circuit/spice.py": 1,  # words of a comment in a netlist, broken into lines
    "evaluation/asking.py": 1,
    "evaluation/other_call.py": 1,
    "faults/suspect_set.py": 2,
    "files/document.py": 1,  # what the TOML reader says
    "files/key_lines.py": 3,  # characters of a file
    "other_world/visit.py": 1,  # a handle of that world
    "records/readings.py": 1,
    "replacement/differences.py": 1,
    "report/units.py": 1,
    "rewiring/wires_file.py": 1,  # a terminal as it is typed
    "services/history/shop_calls.py": 1,
    "unit/wiring.py": 1,  # a terminal as it is typed
    "verification/masked_faults.py": 1,
    "web/answer_parsing.py": 2,
    "web/filters.py": 1,
    "web/pages/lost_wires/route.py": 1,
    "web/pages/make_dead/route.py": 1,
    "web/pages/new_unit/estimates.py": 1,
    "web/pages/practice/end.py": 1,
    "web/pages/proof/assembly.py": 2,
    "web/pages/proof/forms.py": 2,  # units as they are typed
    "web/pages/proof/results.py": 1,
}
"""How often a file still does it."""


def _taken_apart(source: str) -> list[int]:
    """Lines on which a text made for people is taken apart."""
    calls = (node for node in ast.walk(ast.parse(source)) if isinstance(node, ast.Call))
    return [
        call.lineno
        for call in calls
        if isinstance(call.func, ast.Attribute)
        and call.func.attr in TAKES_APART
        and _name(call.func.value) in FOR_PEOPLE
        and not (call.func.attr in SETS_TYPE and _only_punctuation(call.args))
    ]


def _name(node: ast.expr) -> str:
    return node.attr if isinstance(node, ast.Attribute) else getattr(node, "id", "")


def _only_punctuation(args: list[ast.expr]) -> bool:
    """Whether it ends in a question mark: that says how it is set, nothing of what it says."""
    values = [node.value for node in args if isinstance(node, ast.Constant)]
    return bool(values) and all(value in ("?", ".", ":") for value in values)


def test_the_rule_finds_what_it_is_for() -> None:
    assert _taken_apart('card.id.startswith("volts-")\nwhere.partition(" to ")') == [1, 2]
    assert _taken_apart('title.endswith("?")\nfile.name.split(".")') == []


def test_no_code_takes_a_sentence_or_a_printed_id_apart() -> None:
    found = Counter(
        {
            path.relative_to(SRC).as_posix(): len(_taken_apart(path.read_text(encoding="utf-8")))
            for path in sorted(SRC.rglob("*.py"))
        }
    )
    assert +found == STILL, "a number that fell is written here; none may rise"
