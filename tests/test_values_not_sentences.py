"""Nothing made for people is read back: no code takes a check's id, a title or a sentence apart,
and none looks for a word in it.

A reworded label must lose nothing. What a program needs to know travels as a field (`CheckCard`
tells its leads, its jaw, its setting; a caution its signal word).
"""

from __future__ import annotations

import ast
from collections import Counter
from collections.abc import Callable
from pathlib import Path

import pytest

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


SEARCHES = {"search", "match", "fullmatch", "split", "findall", "finditer", "sub", "subn"}
"""Of a pattern, or of `re`."""

SEEKS = {"find", "rfind", "index", "rindex", "replace"}

TEXTS = FOR_PEOPLE - {"told", "said", "label"}
"""Variables in which a word is looked for only in a text; those left out often hold several."""

CASES = {"casefold", "lower", "upper", "strip", "lstrip", "rstrip"}

NO_SENTENCES = {
    "camera/label_names.py": 9,  # what is printed on a plate, read from its photo
    "camera/plate_checks.py": 3,  # the same
    "camera/plate_words.py": 7,  # the same
    "circuit/machine_code.py": 1,  # code as the compiler wrote it
    "cli/call.py": 1,  # a person's search among the titles of checks
    "cli/harmless.py": 1,  # control characters
    "drawing/lettering.py": 1,  # words are measured, to be broken into lines
    "drawing/panel_bodies.py": 1,  # the same
    "errors.py": 1,  # control characters
    "files/editing.py": 1,  # line ends of a file
    "quantity.py": 1,  # a quantity as it is typed
    "records/columns.py": 1,  # control characters
    "report/slices.py": 1,  # numbers of a drawing
    "report/signs.py": 1,  # characters that a typeface lacks
    "rewiring/wires_file.py": 1,  # a terminal or a tag as it is typed
    "shaping/label.py": 1,  # titles without the signs that part the fields of a typed label
    "shaping/label_lines.py": 2,  # a unit's own label as it is typed
    "shaping/label_words.py": 2,  # the same
    "web/check_search.py": 2,  # the text of a unit file
    "web/filters.py": 1,  # an anchor in a page
    "web/pages/wires/route.py": 1,  # a number as it is typed
}
"""What is set, or was typed by a person: characters, not what a program says."""

SIGNALS = ("DANGER:", "WARNING:", "CAUTION:", "NOTICE:")


def _searched(source: str) -> list[int]:
    """Lines on which something is looked for in a text made for people."""
    asking = (ast.Compare, ast.Call)
    nodes = [node for node in ast.walk(ast.parse(source)) if isinstance(node, asking)]
    return [node.lineno for node in nodes if _searches(node)]


def _searches(node: ast.Compare | ast.Call) -> bool:
    if isinstance(node, ast.Compare):
        asks = any(isinstance(each, (ast.In, ast.NotIn)) for each in node.ops)
        question = isinstance(node.left, ast.Constant) and node.left.value == "?"  # sets its type
        return asks and not question and _subject(node.comparators[0]) in TEXTS
    if isinstance(node.func, ast.Attribute):
        by_pattern = any(_subject(each) in FOR_PEOPLE for each in node.args)
        sought = _subject(node.func.value) in TEXTS
        return (node.func.attr in SEARCHES and by_pattern) or (node.func.attr in SEEKS and sought)
    return False


def _subject(node: ast.expr) -> str:
    """The name of a text, also of one with its capitals or blanks changed, or of a row's key."""
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
        return _subject(node.func.value) if node.func.attr in CASES else ""
    if isinstance(node, ast.Subscript) and isinstance(node.slice, ast.Constant):
        return str(node.slice.value)
    return _name(node)


def _signals_in_text(source: str) -> list[int]:
    """Lines with a text that begins with its own signal word: a caution that is no `Caution`."""
    return [
        node.lineno
        for node in ast.walk(ast.parse(source))
        if isinstance(node, ast.Constant)
        and isinstance(node.value, str)
        and node.value.startswith(SIGNALS)
    ]


def _counted(lines_of: Callable[[str], list[int]]) -> dict[str, int]:
    """How often each file of the program does it."""
    files = sorted(SRC.rglob("*.py"))
    found = {
        path.relative_to(SRC).as_posix(): len(lines_of(path.read_text(encoding="utf-8")))
        for path in files
    }
    return dict(+Counter(found))


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


@pytest.mark.parametrize(
    "source",
    ['if "oil" in card.title: pass', "_PATTERN.sub('', row['text'])", 're.split("; *", text)',
     'where.casefold().find("ground")', 'text.replace("a", "b")', '"a" not in text.lower()'],
)  # fmt: skip
def test_the_rule_finds_words_that_are_looked_for(source: str) -> None:
    assert _searched(source) == [1]


def test_the_rule_passes_by_what_is_no_text() -> None:
    assert _searched('"?" in title') == []
    assert _searched('key in told\nre.sub("a", "b", toml)\ntyped.replace(",", ".")') == []


def test_no_code_takes_a_sentence_or_a_printed_id_apart() -> None:
    assert _counted(_taken_apart) == PARSERS


def test_no_code_looks_for_words_in_a_text_made_for_people() -> None:
    assert _counted(_searched) == NO_SENTENCES, "a number that fell is written here"


def test_a_caution_is_a_value_and_no_text_with_a_signal_word() -> None:
    assert _signals_in_text('page.say("DANGER: live parts")') == [1]
    assert _counted(_signals_in_text) == {}
    pages = sorted(SRC.rglob("*.html"))
    told = [path.name for path in pages for word in SIGNALS if word in path.read_text("utf-8")]
    assert told == []
