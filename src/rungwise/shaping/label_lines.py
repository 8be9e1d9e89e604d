"""The lines of a wiring label, "from, color, to", taken apart: two ends in words, and a color."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from rungwise.errors import BadInput, close_matches
from rungwise.wording import mark, say

COLORS = {
    "black": ("bk", "blk"),
    "red": ("rd",),
    "blue": ("bu", "blu"),
    "yellow": ("ye", "yel", "ylw"),
    "white": ("wh", "wht"),
    "brown": ("br", "brn"),
    "purple": ("pu", "pur", "violet", "vio"),
    "orange": ("or", "org", "orn"),
    "green": ("gn", "grn"),
    "gray": ("gy", "gry", "grey"),
    "pink": ("pk", "pnk"),
    "tan": ("tn",),
}
"""Colors of wires, each with what labels write for it."""

LONGEST = 200
MOST_LINES = 300

_BY_WORD = {word: color for color, more in COLORS.items() for word in (color, *more)}
_NUMBERED = re.compile(r"^\s*(?:\d+\s*[.):]|[-*\u2022])\s+")
_BETWEEN = re.compile(r"\s*(?:[,;|\t]|->|\u2192)\s*")
_MIXED = re.compile(r"\s*(?:/|\bwith\b|\bstripe\b|\btracer\b)\s*")


@dataclass(frozen=True, slots=True)
class LabelLine:
    """One wire as it was typed. number: the line, counted from 1."""

    number: int
    typed: str
    start: str
    color: str
    end: str

    def bad(self, *, what: str, value: str, allowed: str | None = None, next_step: str) -> BadInput:
        """An error to raise about this line."""
        return BadInput(
            what=what, file="the wiring label", line=self.number, value=value, allowed=allowed,
            next_step=next_step,
        )  # fmt: skip


def label_lines(typed: str) -> tuple[LabelLine, ...]:
    """The wires of a label; empty lines and those that begin with # are passed over.

    Raises BadInput with the line that cannot be taken apart.
    """
    rows = typed.splitlines()
    if len(rows) > MOST_LINES or any(len(row) > LONGEST for row in rows):
        raise BadInput(
            what=mark("This is no list of wires that can be read."),
            value=f"{len(rows)} lines",
            allowed=say(
                "at most {MOST_LINES} lines of {LONGEST} letters",
                MOST_LINES=MOST_LINES,
                LONGEST=LONGEST,
            ),
            next_step=mark("type one wire a line: from, color, to"),
        )
    told = [
        _line(number, _NUMBERED.sub("", row).strip())
        for number, row in enumerate(rows, start=1)
        if row.strip() and not row.strip().startswith("#")
    ]
    if not told:
        raise BadInput(
            what=mark("The list of wires is empty."),
            next_step=mark(
                "type one wire a line, as the label has it: contactor L1, black, disconnect load 1"
            ),
        )
    return tuple(told)


def _line(number: int, typed: str) -> LabelLine:
    fields = [each for each in _BETWEEN.split(typed) if each]
    if len(fields) == 1:
        fields = list(_parted_by_color(typed))
    colors = {at: found for at, each in enumerate(fields) if (found := _color(each))}
    if len(fields) == 3 and len(colors) == 1:
        (at, color), *_ = colors.items()
        start, end = (each for place, each in enumerate(fields) if place != at)
        return LabelLine(number, typed, start, color, end)
    raise _unread(number, typed, fields)


def _unread(number: int, typed: str, fields: list[str]) -> BadInput:
    held = LabelLine(number, typed, "", "", "")
    if len(fields) == 3:  # a wire has two ends and a color
        near = close_matches(fields[1].casefold(), _BY_WORD, at_most=1)
        offer = (
            say("did you mean {BY_WORD}?", BY_WORD=_BY_WORD[near[0]])
            if near
            else "write the color between the ends"
        )
        what = "No color of a wire is in this line."
        if any(_color(each) for each in fields):
            what, offer = "Two colors are in this line.", "write from, color, to"
        return held.bad(what=what, value=typed, allowed=", ".join(COLORS), next_step=offer)
    return held.bad(
        what=mark("A wire has two ends and a color, with commas between."),
        value=typed,
        next_step=mark("write: contactor L1, black, disconnect load 1"),
    )


def _parted_by_color(typed: str) -> Iterator[str]:
    """A line without commas, parted by the one color in it."""
    words = typed.split()
    at = [place for place, word in enumerate(words) if _color(word)]
    if len(at) != 1:
        yield typed
        return
    yield from (" ".join(words[: at[0]]), words[at[0]], " ".join(words[at[0] + 1 :]))


def _color(typed: str) -> str:
    """The color, also one with a stripe as `black/white`; "" where it is none."""
    names = [_BY_WORD.get(each) for each in _MIXED.split(typed.casefold().strip()) if each]
    known = [each for each in names if each]
    return "/".join(known) if known and len(known) == len(names) <= 2 else ""  # one stripe
