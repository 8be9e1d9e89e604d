"""Reading the wires and cables of a unit file, and holding them to the parts that are there."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from rungwise.errors import BadInput, close_matches
from rungwise.files.table import Table
from rungwise.parts import KINDS
from rungwise.unit.unit import Cable, Part, Wire

JOINTS = ("push-on", "ring", "plate", "screw", "splice")
"""How a wire's end sits on its terminal."""

SIGNALS = ("bus", "L1", "L2", "power", "heater", "indoor", "neutral", "bond", "R", "C", "Y", "G")
"""What a wire carries."""


@dataclass(frozen=True, slots=True)
class WireField:
    """A number of a wire or cable: key, unit, allowed range, and its value where none is given."""

    key: str
    unit: str
    low: float
    high: float
    default: float
    what: str

    def read(self, table: Table, default: float | None = None) -> float:
        """The number in a table of the file; raises the document's error."""
        return table.number(
            self.key,
            unit=self.unit,
            low=self.low,
            high=self.high,
            what=self.what,
            default=self.default if default is None else default,
        )


AWG = WireField("awg", "", -3, 24, 14.0, "American wire gauge; 1/0 is 0, 2/0 is -1")
LENGTH = WireField("length_m", "m", 0.01, 200, 1.0, "length of the wire")
CABLE_LENGTH = WireField("length_m", "m", 0.1, 200, 15.0, "length of the cable")


class Wiring:
    """The wires and cables of a unit: those of its arrangement, then those of the file.

    ``parts`` by name are what the wires may end on.  Every method raises the document's error.
    """

    def __init__(
        self, parts: Mapping[str, Part], wires: Iterable[Wire], cables: Iterable[Cable]
    ) -> None:
        self.parts = parts
        self.wires = {wire.name: wire for wire in wires}
        self.cables = {cable.name: cable for cable in cables}
        self._terminals = [f"{p.name}.{t}" for p in parts.values() for t in KINDS[p.kind].terminals]
        self._read: set[str] = set()

    def read_wires(self, tables: Iterable[Table]) -> None:
        """The ``[[wires]]``: new ones, and changes to the arrangement's own by name."""
        for table in tables:
            wire = self._wire(table)
            self.wires[wire.name] = wire

    def _wire(self, table: Table) -> Wire:
        name = self._name(table, "wire")
        held = self.wires.get(name)
        joints = self._joints(table, name, held)
        made = Wire(
            name,
            self._terminal(table, "from", name, held.start if held else None),
            self._terminal(table, "to", name, held.end if held else None),
            table.text("colour", default=held.colour if held else "black"),
            AWG.read(table, held.awg if held else None),
            LENGTH.read(table, held.length_m if held else None),
            joints,
            table.text("carries", choices=SIGNALS, default=held.carries if held else "power"),
        )
        table.done()
        if made.start == made.end:
            raise table.bad(
                "to",
                what=f"Both ends of wire {name} are on {made.start}.",
                value=made.end,
                next_step="write the terminal of its other end",
            )
        return made

    def _name(self, table: Table, noun: str) -> str:
        name = table.text("name")
        if name in self._read:
            raise table.bad(
                "name",
                what=f"Two {noun}s of this file are called {name}.",
                value=name,
                next_step=f"give each {noun} a name of its own, or take one of them out",
            )
        self._read.add(name)
        return name if noun == "cable" else usable_name(table, name, self.parts)

    def _joints(self, table: Table, name: str, held: Wire | None) -> tuple[str, str]:
        joints = table.strings("joints", choices=JOINTS, default=held.joints if held else None)
        if joints is None or len(joints) != 2:
            raise table.bad(
                "joints" if joints is not None else None,
                what=f"Wire {name} needs two joints, one for each end.",
                value=None if joints is None else ", ".join(joints),
                allowed=", ".join(JOINTS),
                next_step='write joints = ["push-on", "push-on"], the one at from first',
            )
        return joints[0], joints[1]

    def _terminal(self, table: Table, key: str, name: str, held: str | None) -> str:
        text = table.text(key, default=held)
        if text is None:
            raise self._no_end(table, key, name)
        part_name, _, terminal = text.partition(".")
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

    def read_cables(self, tables: Iterable[Table]) -> None:
        """The ``[[cables]]``: which wires run side by side."""
        for table in tables:
            cable = self._cable(table)
            self.cables[cable.name] = cable

    def _cable(self, table: Table) -> Cable:
        name = self._name(table, "cable")
        wires = table.strings("wires", choices=sorted(self.wires))
        held = self.cables.get(name)
        made = Cable(name, wires, CABLE_LENGTH.read(table, held.length_m if held else None))
        table.done()
        if len(set(wires)) != len(wires) or len(wires) < 2:
            raise table.bad(
                "wires",
                what=f"A cable needs two wires or more, each once; {name} has not.",
                value=", ".join(wires),
                next_step="name the wires that run in it, or take the cable out",
            )
        self._once(table, made)
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
    """``name``, refused where a part has it or where it has signs that names may not have."""
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
