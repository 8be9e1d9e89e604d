"""The unit: parts, wires, cables and nameplate of one cooling system, immutable."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import TypeVar

from rungwise.errors import UnknownName
from rungwise.parts import (
    ALTERNATE,
    KINDS,
    PAIR,
    WIRE,
    Control,
    Facet,
    Junction,
    PartKind,
    end_mark,
    pair_name,
    split_end,
)
from rungwise.unit.roles import Roles
from rungwise.wording import named, say

F = TypeVar("F", bound=Facet)

CIRCUITS = ("first", "second")
"""The refrigerant circuits that a unit may have."""


@dataclass(frozen=True)
class Part:
    """One part: its kind, where it sits, and the parameters that differ from the kind's.

    circuit: the refrigerant circuit that it is on, one of `CIRCUITS`; "" of what serves every one,
    as in a unit that has but one.
    """

    name: str
    kind: str
    place: str
    label: str = ""
    values: Mapping[str, float] = field(default_factory=dict)
    circuit: str = ""

    @property
    def title(self) -> str:
        """What a person calls it."""
        return named(self.label) if self.label else KINDS[self.kind].title

    def number(self, parameter: str) -> float:
        """A parameter's value, the kind's default where the unit does not say.

        Raises KeyError for one that the kind has not.
        """
        default = KINDS[self.kind].parameter(parameter).default
        return self.values.get(parameter, default)


@dataclass(frozen=True)
class Wire:
    """One wire: where it starts and ends (`part.terminal`), colour, size, joints, signal."""

    name: str
    start: str
    end: str
    colour: str
    awg: float
    length_m: float
    joints: tuple[str, str]
    carries: str


@dataclass(frozen=True)
class Cable:
    """Conductors that run side by side and couple to one another."""

    name: str
    wires: tuple[str, ...]
    length_m: float


@dataclass(frozen=True)
class Block:
    """Anything with a kind that stands in the circuit: a part, a wire or a conductor pair."""

    name: str
    kind: PartKind
    nodes: Mapping[str, str]
    values: Mapping[str, float]
    title: str


@dataclass(frozen=True)
class Unit:
    """A whole split system, outdoor and indoor side, as a circuit of parts and wires."""

    name: str
    title: str
    arrangement: str
    hz: float
    parts: tuple[Part, ...]
    wires: tuple[Wire, ...]
    cables: tuple[Cable, ...]
    nameplate: Mapping[str, float | str] = field(default_factory=dict)

    @cached_property
    def part_by_name(self) -> dict[str, Part]:
        """Parts by name."""
        return {part.name: part for part in self.parts}

    @cached_property
    def wire_by_name(self) -> dict[str, Wire]:
        """Wires by name."""
        return {wire.name: wire for wire in self.wires}

    def part(self, name: str) -> Part:
        """The part called `name`; raises UnknownName with close matches."""
        if name not in self.part_by_name:
            raise UnknownName(
                what="This unit has no such part.", name=name, known=self.part_by_name
            )
        return self.part_by_name[name]

    def parts_of_kind(self, *kinds: str) -> tuple[Part, ...]:
        """Parts whose kind is one of `kinds`, in file order."""
        return tuple(part for part in self.parts if part.kind in kinds)

    def having(self, sort: type[F]) -> tuple[tuple[Part, F], ...]:
        """The parts whose kind has a facet of this sort, in file order, each with the facet."""
        told = ((part, KINDS[part.kind].facet(sort)) for part in self.parts)
        return tuple((part, facet) for part, facet in told if facet is not None)

    @cached_property
    def roles(self) -> Roles:
        """What each part is in this unit, whatever it is called."""
        return Roles(self)

    def kind_of(self, part: str) -> PartKind:
        """The kind of the part called `part`."""
        return KINDS[self.part(part).kind]

    @cached_property
    def demands(self) -> tuple[str, ...]:
        """What this unit can be asked for, in the order in which its controls list it.

        A demand whose wires would be those of another is none of this unit's: without a wire on
        Y2 there is no second stage.
        """
        found: dict[str, None] = {}
        for part, control in self.having(Control):
            held: list[frozenset[str]] = []
            for name, demand in control.demands.items():
                wires = frozenset(e for e in demand.energizes if self.is_wired(part.name, e))
                there = not demand.needs or any(self.is_wired(part.name, e) for e in demand.needs)
                if wires not in held and there:
                    held.append(wires)
                    found[name] = None
        return tuple(found)

    def demand(self, name: str) -> str:
        """The demand of that name; raises UnknownName, in circuit words, where it has none."""
        if name in self.demands:
            return name
        bare = [
            f"{part.name}.{end}"
            for part, control in self.having(Control)
            for end in (control.demands[name].asks if name in control.demands else ())
            if not self.is_wired(part.name, end)
        ]
        why = f": no wire is on {' and '.join(bare)}" if bare else ""
        what = f"This unit cannot be asked for that{why}."
        raise UnknownName(what=what, name=name, known=self.demands)

    def is_wired(self, part: str, *terminals: str) -> bool:
        """Whether a wire of the unit is on each of these terminals of a part."""
        return all(
            any(wire.carries != "alternate" for wire, _ in self.wires_at(f"{part}.{terminal}"))
            for terminal in terminals
        )

    def terminals(self) -> tuple[str, ...]:
        """Every terminal as `part.terminal`."""
        return tuple(f"{p.name}.{t}" for p in self.parts for t in KINDS[p.kind].terminals)

    def wires_at(self, terminal: str) -> tuple[tuple[Wire, str], ...]:
        """The wires on a terminal, each with which of its ends (`start`/`end`) sits there."""
        found = [(w, "start") for w in self.wires if w.start == terminal]
        found += [(w, "end") for w in self.wires if w.end == terminal]
        return tuple(found)

    def end_words(self, end: str) -> str:
        """A terminal as a person finds it: "contactor T1"; a splice or a lug has no mark to name.

        end: `part.terminal`; one that this unit has not is given back as it is.
        """
        name, terminal = split_end(end)
        if name not in self.part_by_name:
            return end
        part, junction = self.part_by_name[name], self.kind_of(name).facet(Junction)
        bare = junction is not None and not junction.marked
        if bare or len(self.kind_of(name).terminals) == 1:
            return part.title
        return say("{part} {end}", part=part.title, end=end_mark(terminal))

    def wire_title(self, wire: Wire) -> str:
        """What a person calls a wire: its color and what stands at its ends."""
        return say(
            "{color} wire from {start} to {end}",
            color=named(wire.colour),
            start=self.end_words(wire.start),
            end=self.end_words(wire.end),
        )

    @cached_property
    def _nets(self) -> dict[str, frozenset[str]]:
        nets = {terminal: frozenset({terminal}) for terminal in self.terminals()}
        for wire in self.wires:
            if wire.carries != "alternate":
                joined = nets[wire.start] | nets[wire.end]
                nets.update(dict.fromkeys(joined, joined))
        return nets

    def wired_together(self, terminal: str) -> frozenset[str]:
        """The terminals that wires alone join to this one, itself among them."""
        return self._nets[terminal]

    def blocks(self) -> Iterator[Block]:
        """Parts, wires and conductor pairs as blocks of the circuit."""
        for part in self.parts:
            kind = KINDS[part.kind]
            names = (*kind.terminals, *kind.inner_nodes)
            nodes = {name: f"{part.name}.{name}" for name in names}
            yield Block(part.name, kind, nodes, part.values, part.title)
        for wire in self.wires:
            yield self._wire_block(wire)
        for cable in self.cables:
            yield from self._pair_blocks(cable)

    def _wire_block(self, wire: Wire) -> Block:
        # A wire that stands for a wrong place (see suspects.misplaced) is open until it is used.
        kind, values = WIRE, {"length_m": wire.length_m, "awg": wire.awg}
        if wire.carries == "alternate":
            kind, values = ALTERNATE, {**values, "path_open": 1.0}
        return Block(
            wire.name, kind, {"start": wire.start, "end": wire.end}, values, self.wire_title(wire)
        )

    def _pair_blocks(self, cable: Cable) -> Iterator[Block]:
        for i, first_name in enumerate(cable.wires):
            for second_name in cable.wires[i + 1 :]:
                first, second = self.wire_by_name[first_name], self.wire_by_name[second_name]
                nodes = {
                    "start1": first.start,
                    "end1": first.end,
                    "start2": second.start,
                    "end2": second.end,
                }
                name = pair_name(first_name, second_name)
                title = say(
                    "{first} and {second} conductors of the {cable}",
                    first=first.carries,
                    second=second.carries,
                    cable=named(cable.name),
                )  # fmt: skip
                yield Block(name, PAIR, nodes, {"length_m": cable.length_m}, title)

    @cached_property
    def digest(self) -> str:
        """A hash of everything that changes the circuit."""
        content = [
            self.hz,
            [[p.name, p.kind, sorted(p.values.items()), *([p.circuit] if p.circuit else [])]
             for p in self.parts],
            [[w.name, w.start, w.end, w.awg, w.length_m, w.carries] for w in self.wires],
            [[c.name, c.wires, c.length_m] for c in self.cables],
        ]  # fmt: skip
        return hashlib.sha256(json.dumps(content).encode()).hexdigest()[:16]
