"""Points, volts and faults in the words that stand on a plan of work."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Literal

from rungwise.parts import EARTH, end_mark, part_of, split_end, terminal_of
from rungwise.quantity import format_quantity
from rungwise.unit import Unit
from rungwise.wording import joined, mark, say


def point_words(unit: Unit, terminal: str) -> str:
    """A terminal as it is found: "pull-out disconnect line 1"; "ground"."""
    return mark("ground") if terminal == EARTH else unit.end_words(terminal)


def pair_words(unit: Unit, pair: tuple[str, str]) -> str:
    """Where the two leads go: "contactor L1 to T1", "contactor L1 to ground"."""
    part, other = (part_of(terminal) for terminal in pair)
    end = terminal_of(pair[1])
    second = end_mark(end) if part == other else point_words(unit, pair[1])
    return say("{one} to {other}", one=point_words(unit, pair[0]), other=second)


def points_words(unit: Unit, terminals: Iterable[str]) -> str:
    """Many terminals, those of a part together: "outdoor breaker line 1, line 2; …"."""
    by_part: dict[str, list[str]] = {}
    for terminal in terminals:
        part, end = split_end(terminal)
        bare = unit.end_words(terminal) == unit.part(part).title
        by_part.setdefault(unit.part(part).title, []).extend([] if bare else [end_mark(end)])
    return joined(
        "; ",
        (joined(" ", (title, joined(", ", ends))) if ends else title
         for title, ends in by_part.items()),
    )  # fmt: skip


def volts_words(volt: float) -> str:
    """Volts without false digits."""
    return format_quantity(round(volt, 0 if volt >= 10.0 else 1), "V")


def list_words(items: Sequence[str], last: Literal["or", "and"] = "or") -> str:
    """One, two or more things in a row: "a", "a or b", "a, b or c"."""
    if len(items) < 2:
        return joined("", items)
    front = joined(", ", items[:-1])
    if last == "and":
        return say("{front} and {last}", front=front, last=items[-1])
    return say("{front} or {last}", front=front, last=items[-1])
