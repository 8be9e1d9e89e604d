"""The shape of a wired unit: which terminals are one point, and which parts lie between points.

Two wirings of the same shape are the same circuit, so a shape says *why* they behave alike; that
they do is always the solution's word.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from rungwise.parts import Coil, Junction, PartKind, Poles, part_of, split_end
from rungwise.rewiring.wirings import rewired
from rungwise.unit import Unit

Point = frozenset[str]


@dataclass(frozen=True)
class Shape:
    """Points, as the sets of terminals that wires and bars join; `unit` with its wires."""

    unit: Unit

    @cached_property
    def points(self) -> frozenset[Point]:
        """Terminals that are one point; those of a mere junction are left out."""
        real = {t for t in self.unit.terminals() if not self._is_junction(t)}
        return frozenset(frozenset(group & real) for group in self._groups() if group & real)

    def same_point(self, a: str, b: str) -> bool:
        """Whether two terminals are one point."""
        return any(a in group and b in group for group in self._groups())

    @cached_property
    def lines(self) -> tuple[frozenset[Point], Counter[tuple[frozenset[Point], frozenset[str]]]]:
        """The points that more than series parts lie on, and the lines of parts between them.

        A line is a row of two-ended parts with nothing else between them; their order and which
        way round they lie is left out.
        """
        return _reduced(self.points, dict(_two_ended(self.unit)))

    def relabelled(self, names: Mapping[str, str]) -> Shape:
        """The shape with the wires of some terminals on others instead."""
        moved = {
            wire.name: (names.get(wire.start, wire.start), names.get(wire.end, wire.end))
            for wire in self.unit.wires
        }
        return Shape(rewired(self.unit, moved))

    def _is_junction(self, terminal: str) -> bool:
        kind = self.unit.kind_of(part_of(terminal))
        junction = kind.facet(Junction)
        # A board that switches is more than a place where wires meet: its terminals differ.
        meets = junction is not None and junction.carries != "ground"
        return meets and kind.facet(Poles) is None

    def _groups(self) -> Iterable[set[str]]:
        group = {terminal: {terminal} for terminal in self.unit.terminals()}
        joins = [(wire.start, wire.end) for wire in self.unit.wires]
        for a, b in (*joins, *self._bars()):
            if group[a] is not group[b]:
                group[a] |= group[b]
                for each in group[b]:
                    group[each] = group[a]
        return {id(each): each for each in group.values()}.values()

    def _bars(self) -> Iterator[tuple[str, str]]:
        for part, poles in self.unit.having(Poles):
            if poles.bar:
                yield f"{part.name}.{poles.bar[0]}", f"{part.name}.{poles.bar[1]}"


def why_alike(meant: Shape, other: Shape) -> str:
    """Why two wirings of the same parts are the same circuit; "" where the shapes do not say."""
    if other.points == meant.points:
        return "the same points are joined as before"
    if other.lines == meant.lines:
        return _why_lines(meant, other)
    for names, why in _symmetries(meant.unit):
        if other.relabelled(names).lines == meant.lines:
            return why
    return ""


def _why_lines(meant: Shape, other: Shape) -> str:
    """The same lines: a part lies the other way round, or parts in series changed places."""
    for name, (a, b) in _two_ended(meant.unit):
        if other.relabelled({a: b, b: a}).points == meant.points:
            return f"the {_title(meant.unit, name)} works either way round"
    return "the same parts lie in series: their order and which way round they lie do not matter"


def _title(unit: Unit, element: str) -> str:
    part, terminal = split_end(element)
    title = unit.part(part).title
    return f"coil of the {title}" if terminal.startswith("coil") else title


def _symmetries(unit: Unit) -> Iterator[tuple[dict[str, str], str]]:
    """Terminals that may be exchanged for others, and what that is in words."""
    for part in unit.parts:
        name, kind = part.name, unit.kind_of(part.name)
        poles = kind.facet(Poles)
        if poles is not None and kind.is_contactor:
            ends = poles.ends
            for turned in (ends, *((each,) for each in ends)) if len(ends) > 1 else (ends,):
                yield _end_for_end(name, turned), END_FOR_END
        if len(kind.isolates) == 2:
            (_, one), (_, two) = kind.isolates
            pair = {f"{name}.{one}": f"{name}.{two}", f"{name}.{two}": f"{name}.{one}"}
            yield pair, "the two legs of the supply change places, and every load lies between them"


def _end_for_end(contactor: str, ends: Sequence[tuple[str, str]]) -> dict[str, str]:
    pairs = [(f"{contactor}.{line}", f"{contactor}.{load}") for line, load in ends]
    return {**dict(pairs), **{load: line for line, load in pairs}}


END_FOR_END = "line and load are swapped end for end, and the poles are the same from either end"


def _two_ended(unit: Unit) -> Iterator[tuple[str, tuple[str, str]]]:
    """Terminals between which a part may be turned round: no polarity, nothing else on them."""
    for part in unit.parts:
        for a, b in _either_way(unit.kind_of(part.name)):
            yield f"{part.name}.{a}", (f"{part.name}.{a}", f"{part.name}.{b}")


def _either_way(kind: PartKind) -> Iterator[tuple[str, str]]:
    """A coil, a relay's one contact, and whatever has two ends and is no isolating device."""
    coil, poles = kind.facet(Coil), kind.facet(Poles)
    if coil is not None and coil.duty != "starting":
        yield coil.ends
        if poles is not None and coil.duty == "general purpose" and len(poles.poles) == 1:
            yield poles.poles[0].line, poles.poles[0].load
    if len(kind.terminals) == 2 and not kind.isolates:
        yield kind.terminals[0], kind.terminals[1]


def _reduced(
    points: frozenset[Point], elements: Mapping[str, tuple[str, str]]
) -> tuple[frozenset[Point], Counter[tuple[frozenset[Point], frozenset[str]]]]:
    """Named points and the lines between them; see `Shape.lines`."""
    at = {terminal: point for point in points for terminal in point}
    ends = {terminal for pair in elements.values() for terminal in pair}
    lines = [([at[a], at[b]], {name}) for name, (a, b) in elements.items()]
    for point in points:
        touching = [line for line in lines if point in line[0]]
        inner = point <= ends and len(point) == 2 and len(touching) == 2
        if inner:
            (one, names), (two, more) = touching
            lines = [line for line in lines if line not in touching]
            lines.append(([_far(one, point), _far(two, point)], names | more))
    named = {point: _name(point, ends) for point in points}
    told = ((frozenset(named[each] for each in pair), frozenset(names)) for pair, names in lines)
    return frozenset(filter(None, named.values())), Counter(told)


def _far(line: list[Point], point: Point) -> Point:
    return line[1] if line[0] == point else line[0]


def _name(point: Point, ends: set[str]) -> Point:
    """A point by its terminals that are not a series part's, or by those where it has no other."""
    return frozenset(point - ends) or (point if len(point) > 2 else frozenset())
