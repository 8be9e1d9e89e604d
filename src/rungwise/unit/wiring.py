"""Reading the wires and cables of a unit file, and holding them to the parts that are there."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from rungwise.errors import BadInput, close_matches
from rungwise.files import Number, Row, Table, Text, Texts, key
from rungwise.parts import CONTROL_SIGNALS, JOINTS, KINDS, WIRE, Conductor, Supply, split_end
from rungwise.unit.unit import Cable, Part, Wire
from rungwise.unit.words import spelled_here

LEGS = tuple(dict.fromkeys(
    leg.terminal for kind in KINDS.values() if (supply := kind.facet(Supply)) for leg in supply.legs
))  # fmt: skip
"""What the legs of any supply are called."""

SIGNALS = (
    "bus", *LEGS, "power", "heater", "indoor", "neutral", "bond", *CONTROL_SIGNALS,
)  # fmt: skip
"""What a wire carries."""


PART_KINDS = tuple(sorted(n for n, kind in KINDS.items() if kind.facet(Conductor) is None))
"""The kinds that a part of a unit file may be of."""

NAME = "^[A-Za-z0-9_-]+$"
_TERMINALS = sorted({each for name in PART_KINDS for each in KINDS[name].terminals})
_TERMINAL = rf"^[A-Za-z0-9_-]+\.({'|'.join(_TERMINALS)})$"

PLAIN = Wire("", "", "", "black", 14.0, 1.0, ("", ""), "power")
"""A wire of which nothing is told but where it goes and how it is joined."""

CABLE_M = 15.0
"""Length of a cable where none is told."""

AWG = Number("American wire gauge; 1/0 is 0, 2/0 is -1", low=-3, high=24, usual=PLAIN.awg,
             subject="American wire gauge; 1/0 is 0, 2/0 is -1")  # fmt: skip
LENGTH = Number("length of the wire", unit="m", low=0.01, high=200, usual=PLAIN.length_m,
                subject="length of the wire")  # fmt: skip
CABLE_LENGTH = Number("length of the cable", unit="m", low=0.1, high=200, usual=CABLE_M,
                      subject="length of the cable")  # fmt: skip


class WireRow(Row, what="a wire with a joint at each end"):
    """One of the `[[wires]]` of a unit file: a new one, or a change to one by name."""

    name: str = key(Text("its name, such as y_coil", needed=True, pattern=NAME))
    start: str = key(Text("part.terminal where it starts", pattern=_TERMINAL), called="from")
    end: str = key(Text("part.terminal where it ends", pattern=_TERMINAL), called="to")
    colour: str = key(Text("black unless said otherwise"))
    awg: float | None = key(AWG)
    length_m: float | None = key(LENGTH)
    joints: tuple[str, ...] | None = key(
        Texts("its two joints, from first", missing=None, choices=JOINTS, each="a joint",
              least=2, most=2)
    )  # fmt: skip
    carries: str = key(Text("what it carries", choices=SIGNALS))


class CableRow(Row, what="wires in one jacket"):
    """One of the `[[cables]]`: which wires run side by side."""

    name: str = key(Text("its name", needed=True))
    wires: tuple[str, ...] = key(
        Texts("the wires that run in it", needed=True, least=2, unique=True)
    )
    length_m: float | None = key(CABLE_LENGTH)


class Wiring:
    """The wires and cables of a unit: those of its arrangement, then those of the file.

    `parts` by name are what the wires may end on.  Every method raises the document's error.
    """

    def __init__(
        self, parts: Mapping[str, Part], wires: Iterable[Wire], cables: Iterable[Cable]
    ) -> None:
        self.parts = parts
        self.wires = {wire.name: wire for wire in wires}
        self.cables = {cable.name: cable for cable in cables}
        self._terminals = [f"{p.name}.{t}" for p in parts.values() for t in KINDS[p.kind].terminals]
        self._read: set[str] = set()

    def read_wires(self, rows: Iterable[WireRow]) -> None:
        """The `[[wires]]`: new ones, and changes to the arrangement's own by name."""
        for row in rows:
            wire = self._wire(row)
            self.wires[wire.name] = wire

    def _wire(self, row: WireRow) -> Wire:
        name = self._name(row, WIRE.name)
        base = self.wires.get(name, PLAIN)
        joints = self._joints(row, self.wires.get(name))
        made = Wire(
            name,
            self._terminal(row.at, "from", name, row.start or base.start),
            self._terminal(row.at, "to", name, row.end or base.end),
            spelled_here(row.colour) or base.colour,
            base.awg if row.awg is None else row.awg,
            base.length_m if row.length_m is None else row.length_m,
            joints,
            row.carries or base.carries,
        )
        if made.start == made.end:
            raise row.at.bad(
                "to",
                what=f"Both ends of wire {name} are on {made.start}.",
                value=made.end,
                next_step="write the terminal of its other end",
            )
        return made

    def _name(self, row: WireRow | CableRow, noun: str) -> str:
        if row.name in self._read:
            raise row.at.bad(
                "name",
                what=f"Two {noun}s of this file are called {row.name}.",
                value=row.name,
                next_step=f"give each {noun} a name of its own, or take one of them out",
            )
        self._read.add(row.name)
        return row.name if noun == "cable" else usable_name(row.at, row.name, self.parts)

    def _joints(self, row: WireRow, held: Wire | None) -> tuple[str, str]:
        joints = row.joints
        if joints is None and held is not None:
            return held.joints
        if joints is None or len(joints) != 2:  # a wire has two ends
            raise row.at.bad(
                "joints" if joints is not None else None,
                what=f"Wire {row.name} needs two joints, one for each end.",
                value=None if joints is None else ", ".join(joints),
                allowed=", ".join(JOINTS),
                next_step='write joints = ["push-on", "push-on"], the one at from first',
            )
        return joints[0], joints[1]

    def _terminal(self, table: Table, key: str, name: str, text: str) -> str:
        if not text:
            raise self._no_end(table, key, name)
        part_name, terminal = split_end(text)
        part = self.parts.get(part_name)
        if part is None:
            raise table.bad(
                key,
                what=f"Wire {name} ends on a part that this unit does not have.",
                value=text,
                allowed=", ".join(self.parts),
                next_step=self._offer(text),
            )
        terminals = KINDS[part.kind].terminals
        if terminal not in terminals:
            raise table.bad(
                key,
                what=f"The {part.title} has no terminal {terminal or '(none given)'}.",
                value=text,
                allowed=", ".join(f"{part_name}.{t}" for t in terminals),
                next_step=self._offer(text),
            )
        return text

    def _no_end(self, table: Table, key: str, name: str) -> BadInput:
        near = close_matches(name, self.wires)
        return table.bad(
            what=f"Wire {name} does not say where it goes: it has no {key}.",
            value=name,
            allowed="part.terminal, such as contactor.T1",
            next_step=f"did you mean the arrangement's wire {' or '.join(near)}?"
            if near
            else f'write {key} = "part.terminal"',
        )

    def _offer(self, text: str) -> str:
        near = close_matches(text, self._terminals)
        return f"did you mean {' or '.join(near)}?" if near else "write part.terminal"

    def read_cables(self, rows: Iterable[CableRow]) -> None:
        """The `[[cables]]`: which wires run side by side."""
        for row in rows:
            cable = self._cable(row)
            self.cables[cable.name] = cable

    def _cable(self, row: CableRow) -> Cable:
        name = self._name(row, "cable")
        wires = row.at.strings("wires", choices=sorted(self.wires))
        held = self.cables.get(name)
        usual = held.length_m if held else CABLE_M
        made = Cable(name, wires, usual if row.length_m is None else row.length_m)
        if len(set(wires)) != len(wires) or len(wires) < 2:
            raise row.at.bad(
                "wires",
                what=f"A cable needs two wires or more, each once; {name} has not.",
                value=", ".join(wires),
                next_step="name the wires that run in it, or take the cable out",
            )
        self._once(row.at, made)
        return made

    def _once(self, table: Table, cable: Cable) -> None:
        others = (each for each in self.cables.values() if each.name != cable.name)
        for other in others:
            both = [wire for wire in cable.wires if wire in other.wires]
            if both:
                raise table.bad(
                    "wires",
                    what=f"Wire {both[0]} already runs in the {other.name}.",
                    value=both[0],
                    next_step="let each wire run in one cable",
                )

    def loose(self) -> list[tuple[Wire, str]]:
        """Wires with an end on a part or terminal that is no longer there, and that end."""
        there = set(self._terminals)
        ends = ((wire, end) for wire in self.wires.values() for end in (wire.start, wire.end))
        return [(wire, end) for wire, end in ends if end not in there]

    def whole_cables(self) -> tuple[Cable, ...]:
        """The cables, less the wires that were taken out; a cable of one wire is none."""
        kept = (
            replace(cable, wires=tuple(name for name in cable.wires if name in self.wires))
            for cable in self.cables.values()
        )
        return tuple(cable for cable in kept if len(cable.wires) > 1)


def usable_name(table: Table, name: str, taken: Mapping[str, Part]) -> str:
    """`name`, refused where a part has it or where it has signs that names may not have.

    Raises the document's error for a name that is taken or is none.
    """
    if not name.replace("_", "").replace("-", "").isalnum() or not name.isascii():
        raise table.bad(
            what=f"'{name}' is no name for a part or wire.",
            value=name,
            allowed="letters, digits, _ and -",
            next_step="write a short name such as y_coil; a label may hold any words",
        )
    if name in taken:
        raise table.bad(
            "name",
            what=f"A part of this unit is called {name} already.",
            value=name,
            next_step="give the wire another name",
        )
    return name
