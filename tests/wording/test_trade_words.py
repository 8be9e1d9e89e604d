"""Words that no US technician would read are on no page, in no answer and on no paper."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

SRC = Path(__file__).parent.parent.parent / "src" / "rungwise"

NOT_SAID = {
    "Make it dead": "Lock out",
    "UNIT DEAD": "POWER OFF, VERIFIED",
    "UNIT LIVE": "POWER ON",
    "shorted to earth": "shorted to ground",
    "earth lug$": "ground lug",
    "Prove it$": "Test the repair",
    "proved by these measurements": "Repair verified by these readings",
    "^Keep it$": "Save",
    "Not decided yet": "Still narrowing it down",
    "Likeliest:": "Most likely:",
    "Look behind it": "Root cause",
    "wrong part would have been": "A guess would have replaced",
    "plunger on a call": "is the contactor pulled in?",
    r"turn on a call\?": "with the thermostat calling, is ... turning?",
    "(?:hums|runs), then stops": "hums and trips; runs, then trips",
    "How does the .* stand": "on, off or tripped?",
    "browned or does it smell": "Scorched or burnt smell?",
    "stand in the pan": "Water in the drain pan?",
    "blower-door switch": "blower-compartment door switch",
    "push-on,": "quick-connect",
    "What the customer tells": "Customer complaint",
    "Put in a new unit": "Add a unit",
    "Put it into the unit": "Update unit",
    "stays as in the arrangement": "Leave blank if it is not on the plate",
    "Whose it is": "Customer",
    "Who made it": "Equipment",
    "If they were ever measured": "Winding ohms, if known",
    "Plausible": "OK",
    "Somebody new": "Add a tech",
    "Work under this name": "Continue",
    "Take the call up again": "Reopen",
    "It is my call": "Assign to me",
    "More that can be seen": "More visual checks",
    "serves with changes": "Fits with changes",
    "does not serve$": "Will not work",
    "lets go under the sag": "Drops out when the compressor starts",
    "has to be put right": "Do not power up. Fix this first.",
    "Nothing may run": "Nothing should be running",
    "What is coming": "Forecast",
    "Cheaper replaced than left": "Replace now",
    "Since when it stands there": "Install date",
    "no weight has moved": "Not enough closed calls yet to change the odds",
    "NOT DONE": "Not saved",
    "fits nothing known": "Retake one",
    "[0-9}] %(?![a-z(}])": "27%",
    r"(?<![{.])\bcolour(?!s?[\"_=])": "color",
    r"\blicence": "license",
    "from memory": "check your own copy",
}
"""What stood once, as a pattern, and what is said in its place."""

APART = ("other_world/", "evaluation/", "records/migrations/")
"""What no person reads: the judging world, and tables of the records."""


@cache
def said() -> tuple[str, ...]:
    """Every text of the program with a blank in it, of its pages and of its papers."""
    return tuple(_said())


def _said() -> Iterator[str]:
    for path in sorted(SRC.rglob("*.py")):
        if not path.relative_to(SRC).as_posix().startswith(APART):
            yield from (text for text in _texts(path) if " " in text)
    for path in (*sorted(SRC.rglob("*.html")), *sorted(SRC.rglob("*.typ"))):
        source = re.sub(r"\{#.*?#\}|//[^\n]*|<[^<>]*>", "\n", path.read_text(encoding="utf-8"))
        yield from (line.strip() for line in source.splitlines())


def _texts(path: Path) -> Iterator[str]:
    """The texts of a file: no docstrings; an f-string with a sign for each gap."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    inside = {id(part) for each in ast.walk(tree) if isinstance(each, ast.JoinedStr)
              for part in each.values}  # fmt: skip
    bare = {id(each.value) for each in ast.walk(tree) if isinstance(each, ast.Expr)}
    for each in ast.walk(tree):
        if isinstance(each, ast.JoinedStr):
            parts = (str(it.value) if isinstance(it, ast.Constant) else "}" for it in each.values)
            yield "".join(parts)
        elif isinstance(each, ast.Constant) and id(each) not in inside | bare:
            yield each.value if isinstance(each.value, str) else ""


@pytest.mark.parametrize("pattern", NOT_SAID)
def test_a_word_that_the_trade_does_not_use_stands_nowhere(pattern: str) -> None:
    look = re.compile(pattern)
    assert [text for text in said() if look.search(text)] == [], NOT_SAID[pattern]


def test_the_texts_are_found() -> None:
    assert len(said()) > 3000
    assert any("pulled in?" in text for text in said())
