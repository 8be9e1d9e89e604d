"""What the paper of a practice call tells."""

from __future__ import annotations

from dataclasses import dataclass

from rungwise.report.content import Head


@dataclass(frozen=True)
class Point:
    """One line of the score."""

    why: str
    points: float


@dataclass(frozen=True)
class Made:
    """A check that was made. won: bits that it brought. best: the best one then, "" to stop."""

    title: str
    text: str
    won: float
    best: str
    hoped_best: float
    was_best: bool
    needless_live: bool


@dataclass(frozen=True)
class PracticeScore:
    """A practice call looked back on.

    own, tool: checks, minutes and checks near live parts, by name. named: each naming with what
    came of it. severity: how bad the hidden fault was. simulated: that all readings are.
    """

    head: Head
    level: str
    score: float
    found: bool
    fault: str
    to_do: str
    behind: str
    severity: tuple[str, ...]
    points: tuple[Point, ...]
    own: tuple[tuple[str, str], ...]
    tool: tuple[tuple[str, str], ...]
    made: tuple[Made, ...]
    tool_made: tuple[tuple[str, str], ...]
    named: tuple[str, ...]
