"""Wires that stand twice in a record, refused, and terminals that hold more than their places."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from rungwise.files import Table
from rungwise.rewiring.terminal_room import Places, places_of
from rungwise.rewiring.wires_record import Reading, WireEntry, WiresRecord
from rungwise.unit import Unit

_SORT = {
    "push-on": "tab", "tab": "tab",
    "ring": "screw", "plate": "screw", "screw": "screw", "lug": "screw",
    "splice": "lead", "lead": "lead",
}  # fmt: skip

ALIKE_SHARE, ALIKE_OHM = 2.0, 1.0
"""Two takes between the same points that are further apart, in share and ohms, are no matter of a
dirty contact (common practice, no source)."""

Placed = tuple[str, str | None, int | None, bool]
"""A wire's name, the joint of its end, its line in the file, and whether the joint stands there."""


@dataclass(frozen=True)
class Crowd:
    """A terminal with more wires, or others, than its places hold.

    wires: each with its joint, "" where that is not known.  places: what it offers.  amp: the most
    that any of the wires carries where all are right.
    """

    terminal: str
    wires: tuple[tuple[str, str], ...]
    places: Places
    amp: float = 0.0


def refuse_twice(root: Table, record: WiresRecord) -> None:
    """Refuse a wire that stands twice in a record. Raises the document's error."""
    for key, entries in (("as_found", record.as_found), ("as_left", record.as_left)):
        names = [entry.wire.name for entry in entries]
        for at, name in enumerate(names):
            if name in names[:at]:
                first = entries[names.index(name)].line
                before = "" if first is None else f", first on line {first}"
                raise root.document.bad(
                    (key, at, "wire"),
                    what=f"The wire {name} stands twice in this record{before}.",
                    value=name,
                    next_step="a wire has two ends: put both on one line, or fix one of the names",
                )


def refuse_unlike(root: Table, record: WiresRecord) -> None:
    """Refuse two readings between the same points that cannot both be. Raises the document's error.

    Each by itself would be explained, one by a winding and the other by its overload, and an end
    placed by both.
    """
    first: dict[frozenset[str], Reading] = {}
    for each in record.readings:
        before = first.setdefault(frozenset({each.a, each.b}), each)
        least, most = max(each.low_ohm, before.low_ohm), min(each.high_ohm, before.high_ohm)
        if least > ALIKE_SHARE * most + ALIKE_OHM:
            raise root.document.bad(
                ("readings",),
                what="The same two points were read twice, and unlike.",
                value=f"{each.a} to {each.b}: {before.typed}, then {each.typed}",
                allowed="one reading between two points, or two that agree",
                next_step="take it again, leads pressed on bare metal, and keep the one that holds",
            )


def crowds(
    entries: Sequence[WireEntry], unit: Unit, known: Mapping[str, Places]
) -> Iterator[Crowd]:
    """The terminals that a written line leaves with wires which their places do not hold.

    `unit`: with the new part.  `known`: places that somebody has written down.
    """
    for terminal, wires in _on_terminals(entries, unit).items():
        places = places_of(unit, terminal, known)
        if places is None or not any(line is not None for _, _, line, _ in wires):
            continue
        told = terminal in known
        joints = [joint if stated or not told else None for _, joint, _, stated in wires]
        if _without_place(joints, places):
            yield Crowd(terminal, tuple((name, joint or "") for name, joint, _, _ in wires), places)


def _without_place(joints: Sequence[str | None], places: Places) -> bool:
    """Whether these joints cannot all find a place; None is one that is still to be made.

    A plate, a lug and a screw count as one sort: which of them a part has is seldom known.
    """
    wanted = Counter(_SORT[joint] for joint in joints if joint is not None)
    offered = Counter(_SORT[place] for place in places)
    return len(joints) > len(places) or any(wanted[sort] > offered[sort] for sort in wanted)


def _on_terminals(entries: Sequence[WireEntry], unit: Unit) -> dict[str, list[Placed]]:
    """The wires on every terminal as the record has them; the rest are where the unit has them."""
    found: dict[str, list[Placed]] = {}
    written = {entry.wire.name: entry for entry in entries}
    for wire in unit.wires:
        if wire.name not in written:
            for terminal, joint in zip((wire.start, wire.end), wire.joints, strict=True):
                found.setdefault(terminal, []).append((wire.name, joint, None, False))
    for entry in entries:
        for terminal, joint in zip(entry.ends or (), entry.wire.joints, strict=False):
            made = (entry.wire.name, joint, entry.line, entry.stated)
            found.setdefault(terminal, []).append(made)
    return found
