"""Reading a wires file: the record as found and as left, the new part, and loose ends.

::

    part = "contactor"              # the part that comes out
    [new]
    kind = "contactor_1p"
    [[as_left]]
    wire = "comp_r"
    from = "contactor.T1"
    to = "compressor.R"

and, where nobody knows where wires go::

    off = ["contactor", "capacitor"]  # parts or terminals whose wires are all off
    [[loose]]
    name = "w1"
    colour = "red"
    far = "compressor.R"              # where its other end can be seen
    [[readings]]
    from = "w2"
    to = "w3"
    value = "2.2 Ω"
    [[readings]]                      # a sweep: one lead stayed on from
    from = "disconnect.load1"
    ol = ["w4", "w5"]                 # these read OL, then
    to = "w6"
    value = "0.1 Ω"
"""

from __future__ import annotations

import math
import os
from collections.abc import Iterator
from dataclasses import replace
from itertools import chain

from rungwise.errors import BadWiresFile, close_matches
from rungwise.files import Document, Row, Table
from rungwise.parts import EARTH, JOINTS, KINDS, part_of, split_end, terminal_of
from rungwise.rewiring.possible import refuse_twice, refuse_unlike
from rungwise.rewiring.taken_reading import OPEN, OUT_OF_REACH, band_of
from rungwise.rewiring.wires_record import LooseWire, NewPart, Reading, WireEntry, WiresRecord
from rungwise.rewiring.wires_rows import EntryRow, LooseRow, NewRow, ReadingRow, WiresRow
from rungwise.unit import Part, Unit, Wire, spelled_here

EARTH_WORD = "ground"
_METAL = (EARTH_WORD, "earth", "cabinet")


def read_wires(path: str | os.PathLike[str], unit: Unit) -> WiresRecord:
    """The wires file at `path`, about `unit`; the file is left as it is.

    Raises BadWiresFile with file, line, key, value, what is allowed and the next step, for what
    cannot be read and for wirings that no hand could make.
    """
    return wires_from(Document.read(path, error=BadWiresFile), unit)


def wires_from(document: Document, unit: Unit) -> WiresRecord:
    """The record that a document holds; raises as `read_wires`."""
    row = WiresRow.read(document.root)
    parts = sorted(unit.part_by_name)
    part = row.at.text("part", choices=parts, default="")
    new = _new(row, unit, part)
    later = with_new_part(unit, part, new)
    found = tuple(_entry(each, unit, None, part) for each in row.as_found)
    left = tuple(_entry(each, later, new, part) for each in row.as_left)
    off = tuple(_off(row, unit))
    loose = tuple(_loose(each, unit) for each in row.loose)
    _refuse_twins(row, loose)
    sound, doubtful = (
        row.at.strings(name, choices=parts, default=()) for name in ("sound", "doubtful")
    )
    record = WiresRecord(document.file, part, new, found, left, off, sound, doubtful, loose)
    taken = (_readings(each, unit, record) for each in row.readings)
    record = replace(record, readings=tuple(chain.from_iterable(taken)))
    refuse_twice(row.at, record)
    refuse_unlike(row.at, record)
    return record


def with_new_part(unit: Unit, part: str, new: NewPart | None) -> Unit:
    """The unit with the new part's kind in its place; values go along where the kind is kept."""
    if new is None or unit.part(part).kind == new.kind:
        return unit
    old = unit.part(part)
    made = Part(part, new.kind, old.place, "", {}, old.circuit)
    return replace(unit, parts=tuple(made if each is old else each for each in unit.parts))


# --- the new part ------------------------------------------------------------------------------


def _new(row: WiresRow, unit: Unit, part: str) -> NewPart | None:
    new = row.new
    if new is None:
        return NewPart(unit.part(part).kind, marked=_marked(unit, part)) if part else None
    if not part:
        raise row.at.bad(
            "new",
            what="A new part is told of, but not which part comes out.",
            next_step='write part = "contactor" at the top of the file',
        )
    kind = new.kind or unit.part(part).kind
    _refuse_strange_kind(new.at, unit, part, kind)
    names = KINDS[kind].terminals
    for table in ("terminals", "places"):
        _refuse_strangers(new.at.table(table, required=False), names)
    _refuse_one_label_twice(new)
    return NewPart(
        kind,
        new.beside,
        _marked(unit, part) if new.marked is None else new.marked,
        new.terminals,
        {f"{part}.{name}": places for name, places in new.places.items()},
    )


def _marked(unit: Unit, part: str) -> bool:
    kind = unit.kind_of(part)
    if not any(each.name == "marked" for each in kind.parameters):
        return True
    return bool(unit.part(part).number("marked"))


def _refuse_strange_kind(table: Table, unit: Unit, part: str, kind: str) -> None:
    used = {terminal_of(t) for w in unit.wires for t in (w.start, w.end)
            if part_of(t) == part}  # fmt: skip
    lost = sorted(used - set(KINDS[kind].terminals))
    if lost:
        fitting = [name for name, each in KINDS.items() if used <= set(each.terminals)]
        raise table.bad(
            "kind",
            what=f"A {KINDS[kind].title} has no {' and no '.join(lost)}, and wires end there on "
            f"the {unit.part(part).title}.",
            value=kind,
            allowed=", ".join(fitting),
            next_step="ask `rungwise fit` first; this list is for a part with the same terminals",
        )


def _refuse_one_label_twice(new: NewRow) -> None:
    labels = list(new.terminals.values())
    for name, label in new.terminals.items():
        if labels.count(label) > 1:
            raise new.at.document.bad(
                (*new.at.path, "terminals", name),
                what="Two terminals have the same label.",
                value=label,
            )


def _refuse_strangers(table: Table, names: tuple[str, ...]) -> None:
    for name in table:
        if name not in names:
            near = close_matches(name, names)
            raise table.bad(
                name,
                what=f"The new part has no terminal {name}.",
                value=name,
                allowed=", ".join(names),
                next_step=f"did you mean {' or '.join(near)}?" if near else "write one of those",
            )


# --- as found and as left ----------------------------------------------------------------------


def _entry(row: EntryRow, unit: Unit, new: NewPart | None, part: str) -> WireEntry:
    table, name = row.at, row.wire
    if not row.added:
        _refuse_strange_wire(table, name, sorted(unit.wire_by_name))
    held = unit.wire_by_name.get(name)
    if row.added and held is not None:
        raise table.bad("added", what=f"The unit has a wire {name} already.", value=name)
    start, end = (
        _terminal(table, where, text, unit, new, part)
        for where, text in (("from", row.start), ("to", row.end))
    )
    ends = None if row.off else _both(table, held, start, end)
    joints = _joints(row)
    base = held or Wire(name, *(ends or ("", "")), "black", 14.0, 1.0, ("push-on",) * 2, "power")
    wire = replace(
        base,
        colour=spelled_here(row.colour) or base.colour,
        awg=base.awg if row.awg is None else row.awg,
        joints=joints or _turned(base, ends),
    )
    return WireEntry(wire, ends, joints is not None, _line(row), row.torque_in_lb)


def _line(row: Row) -> int | None:
    return row.at.document.line_of(row.at.path)


def _turned(wire: Wire, ends: tuple[str, str] | None) -> tuple[str, str]:
    """The joints of a wire in the order in which its ends are written."""
    if ends and (ends[0] == wire.end or ends[1] == wire.start):
        return wire.joints[1], wire.joints[0]
    return wire.joints


def _refuse_strange_wire(table: Table, name: str, known: list[str]) -> None:
    if name in known:
        return
    near = close_matches(name, known)
    meant = f"did you mean {' or '.join(near)}? A" if near else "fix the name; a"
    raise table.bad(
        "wire",
        what=f"This unit has no wire '{name}'.",
        value=name,
        allowed=", ".join(known),
        next_step=f"{meant} wire that the unit never had needs added = true",
    )


def _both(table: Table, held: Wire | None, start: str, end: str) -> tuple[str, str]:
    """Both ends; one that is not written is where the unit has it."""
    if held is None and not (start and end):
        raise table.bad(
            what=f"{table.name} adds a wire without saying where both its ends go.",
            next_step='write from = "contactor.T1" and to = "capacitor.C"',
        )
    made = (start or (held.start if held else ""), end or (held.end if held else ""))
    if made[0] == made[1]:
        raise table.bad(
            "to",
            what="Both ends of this wire are on one terminal.",
            value=made[0],
            next_step="look again where its other end is; write off = true if the wire is off",
        )
    return made


def _joints(row: EntryRow) -> tuple[str, str] | None:
    joints = row.ends
    if joints is None:
        return None
    if len(joints) != 2:  # a wire has two ends
        raise row.at.bad(
            "ends",
            what="A wire has two ends, and ends must say how each is made.",
            value=", ".join(joints),
            allowed=", ".join(JOINTS),
            next_step='write ends = ["push-on", "push-on"], first the one of from',
        )
    return joints[0], joints[1]


def _terminal(
    table: Table, key: str, text: str, unit: Unit, new: NewPart | None = None, part: str = ""
) -> str:
    """A terminal as `part.terminal`, or "" where none is written; a label counts as well."""
    return _terminal_of(table, key, text, unit, new, part) if text else ""


def _terminal_of(  # what it is looked up in
    table: Table, key: str, text: str, unit: Unit, new: NewPart | None = None, part: str = ""
) -> str:
    name, terminal = split_end(text)
    if name not in unit.part_by_name:
        near = close_matches(name, unit.part_by_name)
        raise table.bad(
            key,
            what=f"This unit has no part '{name}'.",
            value=text,
            allowed=", ".join(unit.part_by_name),
            next_step=f"did you mean {' or '.join(near)}?" if near else "write part.terminal",
        )
    labels = {label: t for t, label in new.labels.items()} if new and name == part else {}
    terminal = labels.get(terminal, terminal)
    allowed = unit.kind_of(name).terminals
    if terminal not in allowed:
        raise table.bad(
            key,
            what=f"The {unit.part(name).title} has no terminal {terminal or '(none given)'}.",
            value=text,
            allowed=", ".join(f"{name}.{each}" for each in (*allowed, *labels)),
            next_step="write one of its terminals",
        )
    return f"{name}.{terminal}"


# --- loose ends --------------------------------------------------------------------------------


def _off(row: WiresRow, unit: Unit) -> Iterator[str]:
    """Terminals whose wires are off: each that is named, and all of a part that is named."""
    terminals = unit.terminals()
    for at, name in enumerate(row.off):
        found = [t for t in terminals if name in (t, part_of(t))]
        if not found:
            near = close_matches(name, unit.part_by_name) or close_matches(name, terminals)
            raise row.at.document.bad(
                ("off", at),
                what=f"'{name}' is neither a part nor a terminal of this unit.",
                value=name,
                allowed="a part such as contactor, or a terminal such as contactor.T1",
                next_step=f"did you mean {' or '.join(near)}?" if near else "fix the name",
            )
        yield from found


def _loose(row: LooseRow, unit: Unit) -> LooseWire:
    name = row.name
    if "." in name or name.casefold() in _METAL:
        raise row.at.bad(
            "name",
            what="A tag is a word of its own, without a point.",
            value=name,
            next_step='write a tag such as name = "w1"',
        )
    far, near = (
        _terminal(row.at, where, text, unit)
        for where, text in (("far", row.far), ("near", row.near))
    )
    if row.both_ends and (far or near):
        raise row.at.bad(
            "both_ends",
            what=f"Both ends of {name} are said to hang free, and one is said to be on a terminal.",
            value="true",
            next_step="take out both_ends, or far and near",
        )
    return LooseWire(name, spelled_here(row.colour), row.awg, far, near, row.both_ends, _line(row))


def _refuse_twins(row: WiresRow, loose: tuple[LooseWire, ...]) -> None:
    names = [each.name for each in loose]
    for at, name in enumerate(names):
        if name in names[:at]:
            raise row.at.document.bad(
                ("loose", at, "name"),
                what=f"The tag {name} is on two loose wires.",
                value=name,
                next_step="give every loose wire a tag of its own",
            )


def _readings(row: ReadingRow, unit: Unit, record: WiresRecord) -> Iterator[Reading]:
    """One reading, after those of the points that read OL before it while a lead stayed put."""
    table, line = row.at, _line(row)
    a = _point_of(table, "from", row.start, unit, record)
    for text in row.ol:
        b = _point_of(table, "ol", text, unit, record)
        _refuse_one_point(table, "ol", a, b)
        yield Reading(a, b, *OPEN, "OL", line, math.inf)
    if "ol" not in table or "to" in table or "value" in table:
        yield _reading(table, a, _point_of(table, "to", table.text("to"), unit, record), line)


def _reading(table: Table, a: str, b: str, line: int | None) -> Reading:
    _refuse_one_point(table, "to", a, b)
    raw, ohm = table.value("value"), None
    band = band_of(raw) if isinstance(raw, str) else None
    if band is None:
        ohm = table.reading("value", unit="Ω")
        band = OUT_OF_REACH if ohm is None else band_of(_positive(table, ohm)) or OUT_OF_REACH
    return Reading(a, b, *band, str(raw), line, ohm)


def _refuse_one_point(table: Table, key: str, a: str, b: str) -> None:
    if a == b:
        raise table.bad(key, what="Both leads are on one point.", value=b)


def _positive(table: Table, ohm: float) -> float:
    if ohm < 0.0:
        step = "zero the meter with its leads together, and retake it"
        raise table.bad("value", what="Ohms are never below zero.", value=ohm, next_step=step)
    return ohm


def _point_of(table: Table, key: str, typed: str, unit: Unit, record: WiresRecord) -> str:
    """A loose end by its tag, a terminal, or earth."""
    if typed.casefold() in _METAL:
        return EARTH
    ends = {end for each in record.loose for end in each.ends}
    if typed in ends:
        return typed
    whole = next((each for each in record.loose if each.name == typed), None)
    if whole is not None:
        raise table.bad(
            key,
            what=f"{typed} has two loose ends; say which.",
            value=typed,
            allowed=", ".join(whole.ends),
        )
    if "." not in typed:
        raise table.bad(
            key,
            what=f"'{typed}' is no loose wire of this file, no terminal and not ground.",
            value=typed,
            allowed=", ".join([*sorted(ends), "a terminal", EARTH_WORD]),
            next_step=_meant(typed, ends),
        )
    return _terminal_of(table, key, typed, unit)


def _meant(text: str, ends: set[str]) -> str:
    near = close_matches(text, sorted(ends))
    return f"did you mean {' or '.join(near)}?" if near else "fix the tag, or list it as loose"
