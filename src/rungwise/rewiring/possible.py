"""Wirings that no hand could make, refused in the words of the trade."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence

from rungwise.rewiring.terminal_room import Places, places_of
from rungwise.rewiring.wires_record import WireEntry, WiresRecord
from rungwise.unit.document import Table
from rungwise.unit.unit import Unit

__all__ = ["refuse_impossible"]

_SORT = {
    "push-on": "tab", "tab": "tab",
    "ring": "screw", "plate": "screw", "screw": "screw", "lug": "screw",
    "splice": "lead", "lead": "lead",
}  # fmt: skip

Placed = tuple[str, str | None, int | None, bool]
"""A wire's name, the joint of its end, its line in the file, and whether the joint stands there."""


def refuse_impossible(root: Table, unit: Unit, later: Unit, record: WiresRecord) -> None:
    """Refuse a wire that stands twice in a record, and more wires than a terminal takes.

    ``later``: the unit with the new part.  Raises the document's error.
    """
    for key, entries, whole, places in (
        ("as_found", record.as_found, unit, {}),
        ("as_left", record.as_left, later, record.new.places if record.new else {}),
    ):
        _refuse_twice(root, key, entries)
        _refuse_crowd(root, key, entries, whole, places)


def _refuse_twice(root: Table, key: str, entries: Sequence[WireEntry]) -> None:
    names = [entry.wire.name for entry in entries]
    for at, name in enumerate(names):
        if name in names[:at]:
            first = entries[names.index(name)].line
            raise root.document.bad(
                (key, at, "wire"),
                what=f"The wire {name} stands twice in this record, first on line {first}.",
                value=name,
                next_step="a wire has two ends: put both on one line, or mend one of the names",
            )


def _refuse_crowd(
    root: Table,
    key: str,
    entries: Sequence[WireEntry],
    unit: Unit,
    known: Mapping[str, Places],
) -> None:
    """Refuse more wires on a terminal than it has places for, where a written line puts one."""
    for terminal, wires in _on_terminals(entries, unit).items():
        places = places_of(unit, terminal, known)
        lines = [line for _, _, line, _ in wires if line is not None]
        if places is None or not lines:
            continue
        told = terminal in known
        joints = [joint if stated or not told else None for _, joint, _, stated in wires]
        wrong = _without_place(joints, places)
        if wrong:
            raise root.document.error(
                what=f"{terminal} cannot hold these wires: {_listed(wires)}.",
                file=root.document.file,
                line=max(lines),
                key=key,
                value=f"{len(wires)} wires",
                allowed=f"its places: {', '.join(places)} (common practice unless written down)",
                next_step="look again which wire is where; if the part has other places, write "
                f"them under [new.places]: {terminal.partition('.')[2]} = [...]",
            )


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


def _listed(wires: Sequence[Placed]) -> str:
    return ", ".join(f"{name} ({joint})" if joint else name for name, joint, _, _ in wires)
