"""Points, volts and faults in the words that stand on a plan of work."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from rungwise.parts import EARTH, KINDS, Control, part_of, split_end, terminal_of
from rungwise.quantity import format_quantity
from rungwise.unit import Unit
from rungwise.wording import mark

PLACES = {
    "panel": "panel",
    "disconnect": "disconnect",
    "outdoor": mark("outdoor unit"),
    "indoor": mark("indoor unit"),
    "room": min((kind.title for kind in KINDS.values() if kind.facet(Control)), key=len),
}


def point_words(unit: Unit, terminal: str) -> str:
    """A terminal as it is found: "pull-out disconnect line 1"; "ground"."""
    if terminal == EARTH:
        return "ground"
    part, end = split_end(terminal)
    return f"{unit.part(part).title} {_end_of(unit, part, end)}".rstrip()


def pair_words(unit: Unit, pair: tuple[str, str]) -> str:
    """Where the two leads go: "contactor L1 to T1", "contactor L1 to ground"."""
    part, other = (part_of(terminal) for terminal in pair)
    end = terminal_of(pair[1])
    second = _end_words(end) if part == other else point_words(unit, pair[1])
    return f"{point_words(unit, pair[0])} to {second}"


def points_words(unit: Unit, terminals: Iterable[str]) -> str:
    """Many terminals, those of a part together: "outdoor breaker line 1, line 2; …"."""
    by_part: dict[str, list[str]] = {}
    for terminal in terminals:
        part, end = split_end(terminal)
        by_part.setdefault(unit.part(part).title, []).append(_end_of(unit, part, end))
    return "; ".join(f"{title} {', '.join(ends)}".rstrip() for title, ends in by_part.items())


def place_words(place: str) -> str:
    """What a person calls a place of the unit."""
    return PLACES.get(place, place)


def volts_words(volt: float) -> str:
    """Volts without false digits."""
    return format_quantity(round(volt, 0 if volt >= 10.0 else 1), "V")


def list_words(items: Sequence[str], last: str = "or") -> str:
    """One, two or more things in a row: "a", "a or b", "a, b or c"."""
    if len(items) < 2:
        return "".join(items)
    return f"{', '.join(items[:-1])} {last} {items[-1]}"


def capital(text: str) -> str:
    """A sentence's first letter as a capital, the rest as it is."""
    return text[:1].upper() + text[1:]


def _end_of(unit: Unit, part: str, end: str) -> str:
    """A terminal's own name, none for a splice or a lug, which has only one."""
    return "" if len(unit.kind_of(part).terminals) == 1 else _end_words(end)


def _end_words(end: str) -> str:
    spaced = re.sub(r"^(line|load|coil)(\d)$", r"\1 \2", end)
    return re.sub(r"^pri(\d)$", r"primary \1", spaced).replace("_", " ")
