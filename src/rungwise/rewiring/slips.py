"""What comes of each single slip at a part: one wire's end on another of its terminals, or off.

All of them are solved at once, so that they can be told before anybody makes one.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from rungwise.rewiring.left_check import Judge, Judged
from rungwise.rewiring.moves import MoveList, move_list
from rungwise.rewiring.wire_group import wire_groups
from rungwise.rewiring.wires_file import with_new_part
from rungwise.rewiring.wires_record import NewPart
from rungwise.rewiring.wirings import Wiring, rewired
from rungwise.rewiring.yardstick import Yardstick
from rungwise.unit import Unit


@dataclass(frozen=True)
class Slip:
    """One end of a wire elsewhere than meant. meant, at: terminals of the part; at: "" off.

    left: where the wire is then. judged: with all else right.
    """

    wire: str
    meant: str
    at: str
    left: Wiring
    judged: Judged


def single_slips(unit: Unit, part: str) -> tuple[Slip, ...]:
    """Every single slip at a part, judged as `check_left` judges it.

    Raises NoSettling where a wiring's contacts come to no rest.
    """
    told = list(_slips(unit, part))
    yardstick = Yardstick(unit)
    compared = yardstick.compare([{}, *(left for *_, left in told)], unit)
    found = []
    for number, (wire, meant, at, left) in enumerate(told, start=1):
        groups = wire_groups(unit, left, frozenset())
        if groups:  # an end for end of one wire is no other place
            places = {(): 0, (0,): number}
            judge = Judge(yardstick, unit, groups, places, compared, restoring=(), marked=True)
            found.append(Slip(wire, meant, at, left, judge.all()[0]))
    return tuple(found)


def moves_after(unit: Unit, part: str, new: NewPart, slip: Slip | None = None) -> MoveList:
    """The moves to a new part where all was found as meant, or with one slip."""
    there = rewired(unit, slip.left) if slip else unit
    right = unit if slip is None or slip.judged.status == "wrong" else there
    return move_list(there, with_new_part(right, part, new), part, new)


def _slips(unit: Unit, part: str) -> Iterator[tuple[str, str, str, Wiring]]:
    terminals = unit.kind_of(part).terminals
    for terminal in terminals:
        for wire, side in unit.wires_at(f"{part}.{terminal}"):
            yield wire.name, terminal, "", {wire.name: None}
            for at in terminals:
                there = f"{part}.{at}"
                ends = (there, wire.end) if side == "start" else (wire.start, there)
                if at != terminal:
                    yield wire.name, terminal, at, {wire.name: ends}
