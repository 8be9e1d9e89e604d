"""Reading a unit file: an arrangement, the nameplate, and what differs."""

from __future__ import annotations

import os
from dataclasses import replace
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any

from rungwise.errors import close_matches
from rungwise.files import (
    Document,
    HigherOfTwo,
    Keys,
    Many,
    Number,
    Only,
    Open,
    Row,
    Schema,
    Table,
    Text,
    Texts,
    TwoNumbers,
    document_schema,
    key,
    object_schema,
    read_keys,
)
from rungwise.parts import KINDS, WIRE, Coil, Parameter, PartKind
from rungwise.unit.contradictions import contradicted
from rungwise.unit.nameplate import RATED_VOLT, Nameplate, NameplateField, nameplate_keys
from rungwise.unit.plate_supply import mismatches
from rungwise.unit.unit import CIRCUITS, Part, Unit
from rungwise.unit.wiring import (
    NAME,
    PART_KINDS,
    CableRow,
    WireRow,
    Wiring,
    usable_name,
)

FIRST_ARRANGEMENTS = (
    "one_pole_heater", "two_pole_plain", "hard_start_delay", "heater_line_side",
)  # fmt: skip
"""The arrangements (a) to (d), on which the studies work."""


def _shipped(folder: str) -> tuple[str, ...]:
    files = resources.files("rungwise.unit").joinpath(folder).iterdir()
    return tuple(sorted(Path(file.name).stem for file in files if file.name.endswith(".toml")))


ARRANGEMENTS: tuple[str, ...] = tuple(
    dict.fromkeys((*FIRST_ARRANGEMENTS, *_shipped("arrangements")))
)
"""Every arrangement shipped: the first four, then the others by name."""

BLOCKS = _shipped("blocks")
"""Halves of units, such as an air handler: an arrangement is put together from them."""

PLACES = ("panel", "disconnect", "outdoor", "indoor", "room")
PLAIN_UNITS = ("", "rpm", "AWG", "N·m", "F/m")
LONGEST_LABEL = 60
MOST_PARTS, MOST_WIRES = 150, 400
"""Four times what the largest shipped arrangement has; every one of them is solved many times."""

_ONE_OF_THE_PARTS: Schema = {
    "type": "object",
    "propertyNames": {"pattern": NAME},
    "additionalProperties": {"anyOf": [{"$ref": f"#/$defs/part_{name}"} for name in PART_KINDS]},
}
_WHOLE: Schema = {
    "required": ["parts", "wires"],
    "properties": {
        "parts": {"minProperties": 1, "additionalProperties": {"required": ["kind"]}},
        "wires": {"items": {"required": ["from", "to", "joints"]}},
    },
}
"""What a file without an arrangement must say itself."""


def unit_of_parameter(parameter: Parameter) -> str:
    """The unit that a part's parameter is read in; empty for a plain number."""
    return "" if parameter.unit in PLAIN_UNITS else parameter.unit


_OF_TWO: dict[str, type[Number]] = {RATED_VOLT: TwoNumbers, "coil_volt": HigherOfTwo}
"""What labels give as two, "208/240 V", by the name of the parameter."""


def key_of(parameter: Parameter, what: str, **more: Any) -> Number:
    """What may stand under the key of a part's parameter. more: fields of `Number`."""
    told = {"low": parameter.low, "high": parameter.high, "subject": parameter.what, **more}
    return _OF_TWO.get(parameter.name, Number)(what, unit=unit_of_parameter(parameter), **told)


def _widest(kind: PartKind, parameter: Parameter) -> dict[str, float]:
    """A coil's ohms go with the square of its volts; whether both fit is judged by the part."""
    coil = kind.facet(Coil)
    if parameter.name != "coil_ohm" or coil is None or not kind.is_contactor:
        return {}
    volt = kind.parameter(coil.volt)
    return {"high": parameter.high * round((volt.high / volt.default) ** 2)}


@cache
def part_keys(kind_name: str) -> Keys:
    """What may stand under each key of a part of a kind."""
    kind = KINDS[kind_name]
    return {
        "kind": Only(f"{kind.title}: {', '.join(kind.terminals)}", value=kind_name),
        "place": Text("where it sits", choices=PLACES),
        "label": Text("what people call it", longest=LONGEST_LABEL),
        "circuit": Text(
            "the refrigerant circuit that it is on, in a unit with two; else it serves both",
            choices=CIRCUITS,
        ),
        **{
            each.name: key_of(
                each, f"{each.what} ({each.source})", usual=each.default, **_widest(kind, each)
            )
            for each in kind.parameters
            if not each.hidden
        },
    }


class UnitRow(
    Row,
    what="One cooling unit: an arrangement, its nameplate, and what differs.",
    rules={"anyOf": [{"required": ["arrangement"]}, {"required": ["blocks"]}, _WHOLE]},
):
    """A unit file, as it stands."""

    arrangement: str = key(Text("the shipped arrangement that it starts from",
                                choices=ARRANGEMENTS))  # fmt: skip
    blocks: tuple[str, ...] = key(
        Texts(
            "the shipped blocks that it is put together from, each on those before it",
            choices=BLOCKS,
            unique=True,
        )
    )
    title: str = key(Text("what it is, in a few words"))
    hz: float | None = key(Number("frequency of the supply", unit="Hz", low=45, high=65, usual=60))
    without: tuple[str, ...] = key(Texts("parts and wires to take out, by name"))
    nameplate: Table | None = key(Open("what the nameplate says", holds=nameplate_keys()))
    parts: Table | None = key(
        Open("new parts, and changes to the arrangement's parts, by name", shape=_ONE_OF_THE_PARTS)
    )
    wires: tuple[WireRow, ...] = key(
        Many("new wires, and changes to wires by name", row=WireRow, shared=WIRE.name)
    )
    cables: tuple[CableRow, ...] = key(
        Many("wires that run side by side", row=CableRow, shared="cable")
    )


def unit_schema() -> Schema:
    """JSON Schema, draft 2020-12, of the values of a unit file.

    Fault handles are not in it.  That a wire's terminal exists, that names are not used twice and
    that numbers do not contradict each other is judged where the file is read.
    """
    parts = {f"part_{name}": object_schema(part_keys(name), KINDS[name].title)
             for name in PART_KINDS}  # fmt: skip
    shared = {WIRE.name: WireRow.schema(), "cable": CableRow.schema()}
    return document_schema(UnitRow, "Rungwise unit", **{"$defs": shared | parts})


def read_unit(path: str | os.PathLike[str]) -> Unit:
    """The unit in the file at `path`; raises BadUnitFile with file, line and next step."""
    document = Document.read(path)
    return unit_from(document, name=Path(path).stem)


@cache
def arrangement(name: str) -> Unit:
    """A shipped arrangement as it stands, with its default nameplate; read once."""
    return unit_from(_shipped_document("arrangement", name), name=name, arrangement_name=name)


def unit_from(document: Document, *, name: str, arrangement_name: str = "") -> Unit:
    """The unit that a document describes; raises the document's error."""
    row = UnitRow.read(document.root)
    return _Reading(row, name, _base(row, name), arrangement_name).unit()


def _base(row: UnitRow, name: str) -> Unit:
    """What a file starts from: its arrangement, then its blocks, each read on those before it.

    So a block may end its wires on the parts of earlier ones, take out and change what they have.
    """
    unit = arrangement(row.arrangement) if row.arrangement else Unit(name, "", "", 60.0, (), (), ())
    for block in row.blocks:
        unit = _Reading(UnitRow.read(_shipped_document("block", block).root), block, unit).unit()
    return unit


def _shipped_document(sort: str, name: str) -> Document:
    file = resources.files("rungwise.unit").joinpath(f"{sort}s", f"{name}.toml")
    return Document(file.read_text(encoding="utf-8"), file=f"the shipped {sort} {name}")


class _Reading:
    """One file on its way to a unit: what it starts from, takes out, changes and adds."""

    def __init__(self, row: UnitRow, name: str, base: Unit, arrangement_name: str = "") -> None:
        self.row = row
        self.root = row.at
        self.name = name
        self.base = base
        self.arrangement_name = arrangement_name or self.base.arrangement
        self.parts = {part.name: part for part in self.base.parts}
        self.wires = {wire.name: wire for wire in self.base.wires}
        self.typed: dict[str, set[str]] = {}
        """Per part the parameters that its own table gives."""
        self.plate = Nameplate()
        self.from_plate: dict[tuple[str, str], str] = {}
        """Parameters that the nameplate gives, with its key."""

    def unit(self) -> Unit:
        """Put everything together, in the order in which one thing needs the other."""
        self.take_out()
        if self.row.nameplate is not None:
            self.plate = Nameplate.read(self.row.nameplate)
        self.read_parts()
        self.refuse_too_many("parts", len(self.parts), MOST_PARTS)
        wiring = Wiring(self.parts, self.wires.values(), self.base.cables)
        wiring.read_wires(self.row.wires)
        self.refuse_too_many("wires", len(wiring.wires), MOST_WIRES)
        self.refuse_loose(wiring)
        wiring.read_cables(self.row.cables)
        drawn = Unit(
            name=self.name,
            title=self.row.title or self.base.title or self.name,
            arrangement=self.arrangement_name,
            hz=self.base.hz if self.row.hz is None else self.row.hz,
            parts=tuple(self.parts.values()),
            wires=tuple(wiring.wires.values()),
            cables=wiring.whole_cables(),
            nameplate={**self.base.nameplate, **self.plate.lines},
        )
        self.refuse_another_supply(drawn)
        self.set_from_plate(drawn)
        made = replace(drawn, parts=tuple(self.parts.values()))
        self.refuse_contradictions(made)
        return made

    def take_out(self) -> None:
        """What `without` names, parts and wires, goes."""
        known = [*self.parts, *self.wires]
        names = self.row.without
        for at, name in enumerate(names):
            if self.parts.pop(name, None) is None and self.wires.pop(name, None) is None:
                near = close_matches(name, known)
                offer = f"did you mean {' or '.join(near)}?" if near else "take it off the list"
                raise self.root.document.bad(
                    ("without", at),
                    what="The arrangement has no such part or wire to take out."
                    if name not in names[:at]
                    else "The same part or wire is taken out twice.",
                    value=name,
                    allowed=", ".join(known) or "nothing: no arrangement is chosen",
                    next_step="take it off the list" if name in names[:at] else offer,
                )

    def read_parts(self) -> None:
        """The `[parts]`: new ones, and changes to the arrangement's own."""
        named = self.row.parts
        for name, table in () if named is None else [(each, named.table(each)) for each in named]:
            usable_name(table, name, {})
            self.parts[name] = self.part(name, table, self.parts.get(name))
        if not self.parts:
            raise self.root.bad(
                what="The file describes no part of a unit.",
                allowed=", ".join(ARRANGEMENTS),
                next_step=f'begin it with arrangement = "{ARRANGEMENTS[0]}", or with another',
            )

    def refuse_too_many(self, key: str, told: int, most: int) -> None:
        """Refuse more parts or wires than one unit has: each suspect among them is solved."""
        if told > most:
            raise self.root.bad(
                key,
                what="No one unit has this many parts and wires.",
                value=str(told),
                allowed=f"at most {MOST_PARTS} parts and {MOST_WIRES} wires",
                next_step="describe each unit of the building in a file of its own, its own parts "
                "and wires alone",
            )

    def part(self, name: str, table: Table, held: Part | None) -> Part:
        """One part: its kind, and what its table says of it."""
        kind_name = table.text("kind", choices=PART_KINDS, default=held.kind if held else "")
        if not kind_name:
            raise self.no_kind(name, table)
        found = read_keys(table, part_keys(kind_name))
        told = {each: _highest(found[each]) for each in _visible(kind_name)
                if found[each] is not None}  # fmt: skip
        self.typed[name] = set(told)
        # What was told of the part that stood here before says nothing of another kind.
        same = held if held is not None and held.kind == kind_name else None
        numbers = {**same.values, **told} if same else told
        place = found["place"] or (held.place if held else "outdoor")
        circuit = found["circuit"] or (held.circuit if held else "")
        label = _label(table, same.label if same else "")
        return Part(name, kind_name, place, label, numbers, circuit)

    def no_kind(self, name: str, table: Table) -> Exception:
        near = close_matches(name, self.parts)
        return table.bad(
            what=f"There is no part called {name} in the arrangement, and no kind is given for it.",
            value=name,
            allowed=", ".join(PART_KINDS),
            next_step=f"did you mean {' or '.join(near)}?"
            if near
            else "give the new part a kind and a place",
        )

    def refuse_another_supply(self, drawn: Unit) -> None:
        """Refuse a plate of other phases, volts or hertz than the unit has."""
        for found in mismatches(self.plate, drawn):
            raise self.root.document.bad(
                ("nameplate", found.key),
                what=found.what,
                value=found.value,
                allowed=found.allowed,
                next_step=found.next_step,
            )

    def set_from_plate(self, drawn: Unit) -> None:
        """Let the nameplate fill in what no part's own table has given."""
        for line, number in self.plate.sets():
            here = list(line.targets(drawn))
            if line.of is not None and not here:
                raise self.root.document.bad(
                    ("nameplate", line.key),
                    what=f"The nameplate gives the {line.what}, and this unit has no part for it.",
                    value=number,
                    next_step="take the line out, or choose the arrangement that has the part",
                )
            for name, parameter in here:
                if parameter not in self.typed.get(name, set()):
                    part, own = self.parts[name], line.share(number, len(here))
                    self.refuse_beyond(line, number, part, parameter, own)
                    self.parts[name] = replace(part, values={**part.values, parameter: own})
                    self.from_plate[(name, parameter)] = line.key

    def refuse_beyond(  # what is said of one line of the plate
        self, line: NameplateField, number: float, part: Part, parameter: str, own: float
    ) -> None:
        """Refuse a line of the plate that gives a part more or less than its kind can have."""
        known = KINDS[part.kind].parameter(parameter)
        if known.low <= own <= known.high:
            return
        unit = f" {known.unit}" if known.unit else ""
        raise self.root.document.bad(
            ("nameplate", line.key),
            what=f"The nameplate's {line.what} would give the {part.title} {own:g}{unit}.",
            value=number,
            allowed=f"{known.low:g} to {known.high:g}{unit} for each such part",
            next_step="read the nameplate again, or choose the arrangement with as many such parts",
        )

    def refuse_loose(self, wiring: Wiring) -> None:
        """Refuse wires whose part was taken out or changed, all of them at once."""
        loose = wiring.loose()
        if loose:
            names = list(dict.fromkeys(wire.name for wire, _ in loose))
            ends = ", ".join(f"{wire.name} on {end}" for wire, end in loose)
            listed = ", ".join(f'"{name}"' for name in names)
            raise self.root.bad(
                "without" if "without" in self.root else "parts",
                what=f"Wires end where this unit has no terminal: {ends}.",
                value=", ".join(names),
                next_step=f"take them out too with without = [{listed}], or move them",
            )

    def refuse_contradictions(self, unit: Unit) -> None:
        """Refuse numbers that cannot be true together."""
        for part in unit.parts:
            for found in contradicted(part, unit.hz):
                plate_key = self.from_plate.get((part.name, found.parameter))
                typed = ("parts", part.name, found.parameter)
                raise self.root.document.bad(
                    ("nameplate", plate_key) if plate_key else typed,
                    what=found.what,
                    value=found.value,
                    allowed=found.allowed,
                    next_step="compare both numbers with the part's own label",
                )


def _visible(kind_name: str) -> tuple[str, ...]:
    return tuple(each.name for each in KINDS[kind_name].parameters if not each.hidden)


def _highest(told: float | tuple[float, float]) -> float:
    return told[1] if isinstance(told, tuple) else told


def _label(table: Table, held: str) -> str:
    label = table.text("label", default=held)
    if len(label) > LONGEST_LABEL or not label.isprintable():
        raise table.bad(
            "label",
            what="A label is a few words on one line.",
            value=label[:LONGEST_LABEL],
            allowed=f"at most {LONGEST_LABEL} letters",
            next_step="write what people call the part",
        )
    return label
