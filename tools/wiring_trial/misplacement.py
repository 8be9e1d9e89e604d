"""Every single misplacement of a wire in one place of a unit: found out, or proved harmless.

Each wire end of the place on each wrong terminal of it, and each two ends on each other's
terminals; all of them are variants of one plan, solved in every situation.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

from rungwise.circuit import CALLING, STANDBY
from rungwise.parts import part_of
from rungwise.rewiring.consequence import Consequence, consequences
from rungwise.rewiring.shape import Shape, why_alike
from rungwise.rewiring.wirings import Ends, rewired
from rungwise.rewiring.yardstick import Yardstick
from rungwise.unit import Unit


@dataclass(frozen=True)
class Move:
    """One wire end taken from the terminal where it belongs to another one."""

    wire: str
    end: str
    old: str
    new: str


@dataclass(frozen=True)
class Misplacement:
    """One end on a wrong terminal, or two ends on each other's."""

    moves: tuple[Move, ...]

    def wiring(self, unit: Unit) -> dict[str, Ends]:
        """Where its wires end."""
        found: dict[str, Ends] = {}
        for move in self.moves:
            wire = unit.wire_by_name[move.wire]
            start, end = found.get(move.wire, (wire.start, wire.end))
            found[move.wire] = (move.new, end) if move.end == "start" else (start, move.new)
        return found

    @property
    def text(self) -> str:
        """In words."""
        if len(self.moves) == 2:
            one, two = self.moves
            return f"{one.wire} at {one.old} and {two.wire} at {two.old} swapped"
        (move,) = self.moves
        return f"{move.wire} on {move.new} instead of {move.old}"


@dataclass(frozen=True)
class Finding:
    """What comes of a misplacement: its worst consequence, or why it does no harm.

    why: the reason that the shape of the circuit gives; "" where the solution alone says so.
    """

    misplacement: Misplacement
    worst: Consequence | None
    why: str

    @property
    def alike(self) -> bool:
        """Whether the unit does all it should all the same."""
        return self.worst is None


def misplacements(unit: Unit, place: str = "outdoor") -> Iterator[Misplacement]:
    """Each end in a place on each wrong terminal there, then each swap of two ends.

    A swap of the two ends of one wire, or of two ends that share a terminal, changes nothing and
    is left out.
    """
    inside = {part.name for part in unit.parts if part.place == place}
    terminals = [t for t in unit.terminals() if part_of(t) in inside]
    ends = [(w.name, end, t) for t in terminals for w, end in unit.wires_at(t)]
    for wire, end, old in ends:
        for new in terminals:
            if new != old:
                yield Misplacement((Move(wire, end, old, new),))
    for (one, first, a), (two, second, b) in combinations(ends, 2):
        if one != two and a != b:
            yield Misplacement((Move(one, first, a, b), Move(two, second, b, a)))


def judged(yardstick: Yardstick, found: tuple[Misplacement, ...]) -> tuple[Finding, ...]:
    """Every misplacement solved and judged."""
    unit, situations = yardstick.unit, yardstick.situations
    plain = [at for at, each in enumerate(situations) if each.condition in (CALLING, STANDBY)]
    plain = [at for at in plain if not situations[at].values]
    compared = yardstick.compare([each.wiring(unit) for each in found], surge_in=plain)
    shape = Shape(unit)
    findings = []
    for at, each in enumerate(found):
        if compared.alike[at]:
            why = why_alike(shape, Shape(rewired(unit, each.wiring(unit))))
            findings.append(Finding(each, None, why))
        else:
            findings.append(Finding(each, consequences(compared, situations, at)[0], ""))
    return tuple(findings)
