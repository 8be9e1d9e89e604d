"""Names that are made of names, and the one place where they are taken apart again.

A terminal is written `part.terminal`, and two conductors of a cable are one block called
`first+second`. Both are keys of the model, typed in files and kept in records; no name of a part,
a wire or a terminal has a point or a plus of its own.
"""

from __future__ import annotations

import re

from rungwise.wording import mark, named, say

POINT, PLUS = ".", "+"

_NUMBERED = re.compile(r"([a-z]+)(\d)")
_SIDES = {
    "line": mark("line {n}"),
    "load": mark("load {n}"),
    "coil": mark("coil {n}"),
    "pri": mark("primary {n}"),
    "sol": mark("solenoid {n}"),
}
_DRAWN = {"pri": "PRI", "sol": "SOL"}
"""What has no room in a picture as a word, as it is lettered on the part in either language."""

_RELAY = re.compile(r"no|nc|com|ac\d|c|n|p\d?")
"""What stands on a part in capitals, and in a file in small letters."""


def split_end(end: str) -> tuple[str, str]:
    """The part and the terminal of `part.terminal`; no terminal, "", where none is written."""
    part, _, terminal = end.partition(POINT)
    return part, terminal


def part_of(end: str) -> str:
    """The part of `part.terminal`."""
    return split_end(end)[0]


def terminal_of(end: str) -> str:
    """The terminal of `part.terminal`, as it is marked on its part."""
    return split_end(end)[1]


def end_mark(terminal: str) -> str:
    """A terminal as it is marked on its part: "coil 1", "NO", "T1"; its name in a file aside."""
    numbered = _NUMBERED.fullmatch(terminal)
    if numbered and numbered[1] in _SIDES:
        return say(str(_SIDES[numbered[1]]), n=numbered[2])
    if _RELAY.fullmatch(terminal):
        return terminal.upper()
    return named(terminal.replace("_", " "))


def drawn_mark(terminal: str) -> str:
    """The same as it is written in a picture, where the part stands beside it: "PRI 1"."""
    numbered = _NUMBERED.fullmatch(terminal)
    if numbered and numbered[1] in _DRAWN:
        return f"{_DRAWN[numbered[1]]} {numbered[2]}"
    return end_mark(terminal)


def pair_name(first: str, second: str) -> str:
    """What two conductors of one cable are called as one block."""
    return f"{first}{PLUS}{second}"


def conductors_of(block: str) -> tuple[str, ...]:
    """The wires of a pair of conductors; of a block that is none, its own name."""
    return tuple(block.split(PLUS))
