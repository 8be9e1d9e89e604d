"""Wires on each other's terminals after earlier work, as suspects.

Each possible wrong place is an extra wire of the plan that is open until a suspect closes it, so
that swapped wires share one network shape, and one elimination order, with everything else.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from rungwise.suspects.suspect import Edit, Suspect
from rungwise.suspects.weights import MISPLACED
from rungwise.unit.kind import Draw
from rungwise.unit.unit import Unit, Wire

SWAPPED_TERMINALS = (
    ("capacitor", "HERM", "FAN"),
    ("capacitor", "HERM", "C"),
    ("capacitor", "FAN", "C"),
    ("compressor", "R", "S"),
    ("compressor", "C", "R"),
    ("compressor", "C", "S"),
)
"""Pairs of terminals whose wires are mixed up most (common practice, no source)."""


def alternate_name(wire: Wire, terminal: str) -> str:
    """Name of the extra wire that stands for ``wire`` ending on ``terminal`` instead."""
    return f"{wire.name}@{terminal}"


def swaps(unit: Unit) -> Iterator[tuple[str, str, tuple[tuple[Wire, str, str], ...]]]:
    """Each swap: the two terminals, and every wire that moves with its old and new terminal."""
    for part, first, second in SWAPPED_TERMINALS:
        if part not in unit.part_by_name:
            continue
        a, b = f"{part}.{first}", f"{part}.{second}"
        moves = [(wire, a, b) for wire, _ in unit.wires_at(a)[:1]]
        moves += [(wire, b, a) for wire, _ in unit.wires_at(b)[:1]]
        if len(moves) == 2:  # one wire from each terminal
            yield a, b, tuple(moves)


def with_alternates(unit: Unit) -> Unit:
    """The unit with one open extra wire for every wrong place that a suspect may use."""
    extra: dict[str, Wire] = {}
    for _, _, moves in swaps(unit):
        for wire, old, new in moves:
            made = _moved(wire, old, new)
            extra[made.name] = made
    return replace(unit, wires=(*unit.wires, *extra.values()))


def _moved(wire: Wire, old: str, new: str) -> Wire:
    start, end = (new, wire.end) if wire.start == old else (wire.start, new)
    return replace(wire, name=alternate_name(wire, new), start=start, end=end, carries="alternate")


def misplaced_suspects(unit: Unit) -> Iterator[Suspect]:
    """One suspect for every swap of two wires."""
    found = list(swaps(unit))
    for a, b, moves in found:
        edits = []
        for wire, _, new in moves:
            edits.append(Edit((wire.name, "path_open"), Draw("path_open", 1, 1)))
            edits.append(Edit((alternate_name(wire, new), "path_open"), Draw("path_open", 0, 0)))
        part = a.partition(".")[0]
        names = f"{a.partition('.')[2]} and {b.partition('.')[2]}"
        yield Suspect(
            f"{part}.swapped_{a.partition('.')[2]}_{b.partition('.')[2]}".lower(),
            f"wires on {names} of the {unit.part(part).title} swapped",
            part,
            "swapped",
            tuple(edits),
            MISPLACED / len(found),
            f"{part}:rewire",
            f"put the wires of the {unit.part(part).title} on their right terminals",
            behind="earlier work without a record of the wires",
            signs={"wrong_place": 0.9, "recent_work": 0.7},
            repair_minutes=15,
        )
