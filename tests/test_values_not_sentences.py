"""Nothing made for people is read back: no code takes a check's id, a title or a sentence apart,
and none looks for a word in it.

A reworded label must lose nothing. What a program needs to know travels as a field (`CheckCard`
tells its leads, its jaw, its setting; a caution its signal word).
"""

from __future__ import annotations

import ast
import re
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

SEARCHES = {"search", "match", "fullmatch", "split", "findall", "finditer", "sub", "subn"}
"""Of a pattern, or of `re`."""

SEEKS = {"find", "rfind", "index", "rindex", "replace"}

TEXTS = FOR_PEOPLE - {"told", "said", "label"}
"""Variables in which a word is looked for only in a text; those left out often hold several."""

CASES = {"casefold", "lower", "upper", "strip", "lstrip", "rstrip"}

SETS = {"sub", "subn", "replace", "findall"}
"""Of signs without a letter or a digit these set a text, and read nothing in it: characters that a
terminal would obey, places where a line may break."""

FROM_OUTSIDE = {"typed", "printed", "code"}
"""What a person typed, what stands on a plate, a file's own lines: the program must read them, and
what holds them is called so (and never holds what the program says; see the last test but one)."""

SIGNALS = ("DANGER:", "WARNING:", "CAUTION:", "NOTICE:")


def _searched(source: str) -> list[int]:
    """Lines on which something is looked for in a text made for people."""
    tree = ast.parse(source)
    return [
        node.lineno
        for node in ast.walk(tree)
        if isinstance(node, ast.Compare | ast.Call) and _searches(node, tree)
    ]


def _searches(node: ast.Compare | ast.Call, tree: ast.Module) -> bool:
    if isinstance(node, ast.Compare):
        asks = any(isinstance(each, (ast.In, ast.NotIn)) for each in node.ops)
        return asks and _subject(node.comparators[0]) in TEXTS and not _asks_a_sign(node.left, tree)
    if not isinstance(node.func, ast.Attribute):
        return False
    call, owner = node.func.attr, node.func.value
    by_pattern = call in SEARCHES and any(_subject(each) in FOR_PEOPLE for each in node.args)
    sought = call in SEEKS and _subject(owner) in TEXTS
    needle = node.args[0] if sought or _name(owner) == "re" else owner
    return (by_pattern or sought) and not (call in SETS and _signs_alone(needle, tree))


def _asks_a_sign(needle: ast.expr, tree: ast.Module) -> bool:
    """A question mark or a blank says how a text is set; what a person types may be any word."""
    if isinstance(needle, ast.Constant) and isinstance(needle.value, str):
        return needle.value == "?" or needle.value.isspace()
    return _root(needle, tree) in FROM_OUTSIDE


def _root(needle: ast.expr, tree: ast.Module) -> str:
    """The variable that a needle is one of, by the loops and comprehensions of its file."""
    name = _subject(needle)
    loops = {
        _name(each.target): _name(each.iter)
        for each in ast.walk(tree)
        if isinstance(each, ast.For | ast.comprehension)
    }
    return loops.get(name, name)


_ALL_OF_A_SORT = re.compile(r"\\(?:u[0-9a-f]{4}|x[0-9a-f]{2}|[dswbDSWB])|a-z|A-Z|0-9")
"""In a pattern: signs by their number, and classes that tell no letter from another."""


def _signs_alone(needle: ast.expr, tree: ast.Module) -> bool:
    """Whether a needle holds no letter and no digit, and takes no piece out of what it finds.

    A pattern that another file makes is not known, and taken for words.
    """
    made = [
        node.value
        for node in tree.body
        if isinstance(node, ast.Assign) and _name(node.targets[0]) == _name(needle) != ""
    ]
    whole = made[0] if made else needle
    pattern = whole.args[0] if isinstance(whole, ast.Call) and whole.args else whole
    if not isinstance(pattern, ast.Constant) or not isinstance(pattern.value, str):
        return False
    if re.compile(pattern.value).groups:
        return False
    plain = _ALL_OF_A_SORT.sub("", pattern.value)
    return not any(each.isalnum() for each in plain)


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
    made = _made_with(tree)
    return [
        call.lineno
        for call in calls
        if isinstance(call.func, ast.Attribute)
        and call.func.attr in TAKES_APART
        and _name(call.func.value) in FOR_PEOPLE
        and not (call.func.attr in SETS_TYPE and _only_punctuation(call.args))
        and id(call) not in folded
        and not (call.args and _name(call.args[0]) in made)
    ]


def _made_with(tree: ast.Module) -> set[str]:
    """Constants of a file with which it makes a printed key: it alone may read that key again.

    So each key has one place that makes it and reads it, and a reader elsewhere is found.
    """
    own = {
        _name(node.targets[0])
        for node in tree.body
        if isinstance(node, ast.Assign) and isinstance(node.value, ast.Constant)
    }
    joined = {
        _name(node.func.value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Call)
        and isinstance(node.func, ast.Attribute)
        and node.func.attr == "join"
    }
    written = {_name(node.value) for node in ast.walk(tree) if isinstance(node, ast.FormattedValue)}
    return own & (joined | written)


def _for_people_called_from_outside(source: str) -> list[int]:
    """Lines that call what the program says as what came in is called."""
    tree = ast.parse(source)
    given = [
        (node.lineno, _name(node.targets[0]), node.value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Assign)
    ]
    given += [
        (each.value.lineno, each.arg or "", each.value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Call)
        for each in node.keywords
    ]
    return [
        line
        for line, name, value in given
        if name in FROM_OUTSIDE and isinstance(value, ast.Attribute) and value.attr in FOR_PEOPLE
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


def test_a_printed_key_is_read_by_the_file_that_makes_it_and_by_no_other() -> None:
    reads = "name = check.removeprefix(LOOK)"
    makes = 'LOOK = "look-"\nmade = f"{LOOK}{part}"\n'
    assert _taken_apart(makes + reads) == []
    assert _taken_apart("from rungwise.diagnosis import LOOK\n" + reads) == [2]
    assert _taken_apart('LOOK = "look-"\n' + reads) == [2], "it does not make what it reads"


@pytest.mark.parametrize(
    "source",
    ['if "oil" in card.title: pass', "_PATTERN.sub('', row['text'])", 're.split("; *", text)',
     'where.casefold().find("ground")', 'text.replace("a", "b")', '"a" not in text.lower()'],
)  # fmt: skip
def test_the_rule_finds_words_that_are_looked_for(source: str) -> None:
    assert _searched(source) == [1]


@pytest.mark.parametrize(
    "source",
    ['"." not in text', '"oil" in text if words else 0', "_DIGITS.search(title)",
     're.sub("[a-f]", "", text)', 're.findall(r"(\\w+): ", text)', 'FOREIGN.sub("", title)'],
)  # fmt: skip
def test_the_rule_finds_signs_and_pieces_that_are_looked_for(source: str) -> None:
    assert _searched(source) == [1]


def test_the_rule_passes_by_what_is_no_text() -> None:
    assert _searched('"?" in title') == []
    assert _searched('key in told\nre.sub("a", "b", code)\ntyped.replace(",", ".")') == []
    assert _searched("[c for c in cards if all(w in c.title for w in typed)]") == []
    assert _searched('_BAD = re.compile(r"[^\\s-]+")\n_BAD.sub("", text)\n_BAD.findall(text)') == []


def test_no_code_takes_a_sentence_or_a_printed_id_apart() -> None:
    assert _counted(_taken_apart) == {}


def test_no_code_looks_for_words_in_a_text_made_for_people() -> None:
    assert _counted(_searched) == {}


def test_what_the_program_says_is_never_called_as_what_came_in() -> None:
    assert _for_people_called_from_outside("typed = card.title\nf(printed=row.text)") == [1, 2]
    assert _counted(_for_people_called_from_outside) == {}


def test_a_caution_is_a_value_and_no_text_with_a_signal_word() -> None:
    assert _signals_in_text('page.say("DANGER: live parts")') == [1]
    assert _counted(_signals_in_text) == {}
    pages = sorted(SRC.rglob("*.html"))
    told = [path.name for path in pages for word in SIGNALS if word in path.read_text("utf-8")]
    assert told == []
