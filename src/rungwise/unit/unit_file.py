"""Reading a unit file: an arrangement, the nameplate, and what differs."""

from __future__ import annotations

import os
from dataclasses import replace
from importlib import resources
from pathlib import Path

from rungwise.unit.document import Document, Table
from rungwise.unit.kind import Parameter
from rungwise.unit.kinds import KINDS
from rungwise.unit.nameplate import FIELDS, TEXTS
from rungwise.unit.unit import Cable, Part, Unit, Wire

ARRANGEMENTS = ("one_pole_heater", "two_pole_plain", "hard_start_delay", "heater_line_side")
"""The arrangements shipped, (a) to (d)."""

PLACES = ("panel", "disconnect", "outdoor", "indoor", "room")
JOINTS = ("push-on", "ring", "plate", "screw", "splice")
SIGNALS = ("bus", "L1", "L2", "power", "heater", "indoor", "neutral", "bond", "R", "C", "Y", "G")
PLAIN_UNITS = ("", "rpm", "AWG", "N·m", "F/m")


def read_unit(path: str | os.PathLike[str]) -> Unit:
    """The unit in the file at ``path``; raises BadUnitFile with file, line and next step."""
    document = Document.read(path)
    return unit_from(document, name=Path(path).stem)


def arrangement(name: str) -> Unit:
    """A shipped arrangement as it stands, with its default nameplate."""
    return unit_from(_arrangement_document(name), name=name, arrangement_name=name)


def _arrangement_document(name: str) -> Document:
    file = resources.files("rungwise.unit").joinpath("arrangements", f"{name}.toml")
    return Document(file.read_text(encoding="utf-8"), file=f"{name}.toml")


def unit_from(document: Document, *, name: str, arrangement_name: str = "") -> Unit:
    """The unit that a document describes."""
    root = document.root
    base = _base(root, name)
    parts = {part.name: part for part in base.parts}
    wires = {wire.name: wire for wire in base.wires}
    cables = {cable.name: cable for cable in base.cables}
    _take_out(root, parts, wires)
    plate = _nameplate(root, parts)
    for part_name, table in root.named_tables("parts").items():
        parts[part_name] = _part(part_name, table, parts.get(part_name))
    for table in root.tables("wires"):
        wire = _wire(table, parts, wires)
        wires[wire.name] = wire
    for table in root.tables("cables"):
        cable = _cable(table, wires)
        cables[cable.name] = cable
    made = Unit(
        name=name,
        title=root.text("title", default=base.title) or name,
        arrangement=arrangement_name or base.arrangement,
        hz=root.number("hz", unit="Hz", low=45, high=65, default=base.hz),
        parts=tuple(parts.values()),
        wires=_ending_on(parts, wires, root),
        cables=_inside(cables, wires),
        nameplate={**base.nameplate, **plate},
    )
    root.done()
    return made


def _base(root: Table, name: str) -> Unit:
    chosen = root.text("arrangement", choices=ARRANGEMENTS, default="")
    if chosen:
        return arrangement(chosen)
    return Unit(name, "", "", 60.0, (), (), ())


def _take_out(root: Table, parts: dict[str, Part], wires: dict[str, Wire]) -> None:
    for name in root.strings("without", default=()):
        if parts.pop(name, None) is None and wires.pop(name, None) is None:
            raise root.bad(
                "without",
                what="This takes out a part or wire that the arrangement does not have.",
                value=name,
                next_step="write a name from the arrangement",
            )


def _nameplate(root: Table, parts: dict[str, Part]) -> dict[str, float | str]:
    table = root.table("nameplate", required=False)
    found: dict[str, float | str] = {}
    for field in FIELDS:
        number = table.number(
            field.key,
            unit=field.unit,
            low=field.low,
            high=field.high,
            what=field.what,
            default=None,
        )
        if number is None:
            continue
        found[field.key] = number
        for part_name, parameter in field.sets:
            if part_name in parts:
                part = parts[part_name]
                parts[part_name] = replace(part, values={**part.values, parameter: number})
    for key in TEXTS:
        text = table.text(key, default="")
        if text:
            found[key] = text
    table.done()
    return found


def _part(name: str, table: Table, held: Part | None) -> Part:
    kind_name = table.text("kind", choices=sorted(_part_kinds()), default=held.kind if held else "")
    if not kind_name:
        raise table.bad(
            what=f"There is no part called {name} in the arrangement, and no kind is given for it.",
            value=name,
            allowed=", ".join(sorted(_part_kinds())),
            next_step="mend the name, or give the new part a kind and a place",
        )
    kind = KINDS[kind_name]
    kept = dict(held.values) if held and held.kind == kind_name else {}
    for parameter in kind.parameters:
        if not parameter.hidden:
            number = _parameter(table, parameter)
            if number is not None:
                kept[parameter.name] = number
    made = Part(
        name,
        kind_name,
        table.text("place", choices=PLACES, default=held.place if held else "outdoor"),
        table.text("label", default=held.label if held else ""),
        kept,
    )
    table.done()
    return made


def _part_kinds() -> set[str]:
    return set(KINDS) - {"wire", "cable_pair"}


def _parameter(table: Table, parameter: Parameter) -> float | None:
    unit = "" if parameter.unit in PLAIN_UNITS else parameter.unit
    return table.number(
        parameter.name,
        unit=unit,
        low=parameter.low,
        high=parameter.high,
        what=parameter.what,
        default=None,
    )


def _wire(table: Table, parts: dict[str, Part], wires: dict[str, Wire]) -> Wire:
    name = table.text("name")
    held = wires.get(name)
    joints = table.strings("joints", choices=JOINTS, default=held.joints if held else None)
    if joints is None or len(joints) != 2:  # a wire has two ends
        raise table.bad(
            "joints",
            what=f"Wire {name} needs two joints, one for each end.",
            allowed=", ".join(JOINTS),
            next_step='write joints = ["push-on", "push-on"]',
        )
    made = Wire(
        name,
        _terminal(table, "from", parts, held.start if held else None),
        _terminal(table, "to", parts, held.end if held else None),
        table.text("colour", default=held.colour if held else "black"),
        table.number("awg", unit="", low=-3, high=24, default=held.awg if held else 14.0),
        table.number(
            "length_m", unit="m", low=0.01, high=200, default=held.length_m if held else 1.0
        ),
        (joints[0], joints[1]),
        table.text("carries", choices=SIGNALS, default=held.carries if held else "power"),
    )
    table.done()
    return made


def _terminal(table: Table, key: str, parts: dict[str, Part], held: str | None) -> str:
    text = table.text(key, default=held) if held is not None else table.text(key)
    part_name, _, terminal = text.partition(".")
    if part_name not in parts:
        raise table.bad(
            key,
            what="A wire ends on a part that this unit does not have.",
            value=text,
            allowed=", ".join(parts),
            next_step="write part.terminal, such as contactor.T1",
        )
    terminals = KINDS[parts[part_name].kind].terminals
    if terminal not in terminals:
        raise table.bad(
            key,
            what=f"The {parts[part_name].title} has no terminal {terminal or '(none given)'}.",
            value=text,
            allowed=", ".join(f"{part_name}.{t}" for t in terminals),
            next_step="write one of its terminals",
        )
    return text


def _cable(table: Table, wires: dict[str, Wire]) -> Cable:
    names = table.strings("wires", choices=sorted(wires))
    made = Cable(
        table.text("name"),
        names,
        table.number("length_m", unit="m", low=0.1, high=200, default=15.0),
    )
    table.done()
    return made


def _ending_on(parts: dict[str, Part], wires: dict[str, Wire], root: Table) -> tuple[Wire, ...]:
    """The wires, refused where a part that one ends on has been taken out or changed."""
    for wire in wires.values():
        for end in (wire.start, wire.end):
            part_name, _, terminal = end.partition(".")
            if part_name not in parts or terminal not in KINDS[parts[part_name].kind].terminals:
                raise root.bad(
                    what=f"Wire {wire.name} ends on {end}, which this unit does not have.",
                    value=end,
                    next_step=f'take the wire out with without = ["{wire.name}"], or move it',
                )
    return tuple(wires.values())


def _inside(cables: dict[str, Cable], wires: dict[str, Wire]) -> tuple[Cable, ...]:
    kept = []
    for cable in cables.values():
        names = tuple(name for name in cable.wires if name in wires)
        if len(names) > 1:
            kept.append(replace(cable, wires=names))
    return tuple(kept)
