"""The move list: every wire of a part to its place on the new one, in an order to work by.

With the new part beside the old, one wire at a time goes across, so that never more than one end
is in the hand; a side of the part (load, coil, line) is finished before the next is begun, so that
the sides not yet begun still show on the old part where everything was.  The line side comes last:
its wires are the stiffest, and hold the old part while the rest goes across.  Where the new part
can only go in once the old one is out, the sides come off in that order and go on again in the
reverse of it.  Which side first is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from rungwise.parts import Terminals, split_end, work_for
from rungwise.rewiring.joint_care import CARE, tightens
from rungwise.rewiring.terminal_room import places_of, seating
from rungwise.rewiring.wires_record import NewPart
from rungwise.unit import Unit, Wire
from rungwise.wording import say

_OWN_PLACE: Mapping[str, str] = {"push-on": "tab", "ring": "screw", "splice": "lead"}

Does = Literal["move", "take off", "put on"]


@dataclass(frozen=True)
class Step:
    """One thing to do with one wire end.

    side: the side of the part. old, new: terminals of the part by name; new is what stands on the
    new part. joint: how the end is made now; place: what it goes onto. work: how it must be made
    anew, "" where it goes on as it is; care: what every such joint wants. loose: ends in the hand
    or hanging free while this is done; after: and once it is done.
    """

    does: Does
    wire: Wire
    side: str
    old: str
    new: str
    joint: str
    place: str
    work: str
    care: str
    tighten: bool
    loose: int
    after: int


@dataclass(frozen=True)
class MoveList:
    """The steps in order. crowded: terminals of the new part with too few places, in words."""

    part: str
    beside: bool
    steps: tuple[Step, ...]
    crowded: tuple[str, ...]

    @property
    def most_loose(self) -> int:
        """The most ends that are loose at any moment."""
        return max((step.loose for step in self.steps), default=0)


def move_list(unit: Unit, right: Unit, part: str, new: NewPart) -> MoveList:
    """The moves from `part` as it is in `unit` to the new part as it is in `right`.

    The two differ where a wire was found on a wrong terminal.
    """
    ends = list(_ends(unit, right, part, new))
    crowded = tuple(_crowded(right, part, new))
    if new.beside:
        steps = [_step("move", end, loose=1, after=0) for end in ends]
    else:
        off = [_step("take off", e, loose=n, after=n) for n, e in enumerate(ends, start=1)]
        back = ends[::-1]
        on = [
            _step("put on", e, loose=len(ends) - n, after=len(ends) - n - 1)
            for n, e in enumerate(back)
        ]
        steps = off + on
    return MoveList(part, new.beside, tuple(steps), crowded)


@dataclass(frozen=True)
class _End:
    """A wire end on the part: which side, from and to which terminal, and onto what."""

    wire: Wire
    side: str
    old: str
    new: str
    joint: str
    place: str


def _step(does: Does, end: _End, *, loose: int, after: int) -> Step:
    puts_on = does != "take off"
    return Step(
        does,
        end.wire,
        end.side,
        end.old,
        end.new,
        end.joint,
        end.place,
        work_for(end.joint, end.place) if puts_on else "",
        CARE[end.place] if puts_on else "",
        puts_on and tightens(end.place),
        loose,
        after,
    )


def _ends(unit: Unit, right: Unit, part: str, new: NewPart) -> Iterator[_End]:
    """The wire ends on the part, side by side, terminal by terminal, thickest first."""
    for side, terminals in _sides(unit, part):
        for terminal in terminals:
            here = sorted(unit.wires_at(f"{part}.{terminal}"), key=lambda found: found[0].awg)
            for wire, end in here:
                at = 0 if end == "start" else 1
                meant = right.wire_by_name[wire.name]
                owner, name = split_end((meant.start, meant.end)[at])
                if owner == part:
                    place = _place(right, new, wire, end)
                    yield _End(wire, side, terminal, new.label(name), wire.joints[at], place)


def _sides(unit: Unit, part: str) -> Sequence[tuple[str, tuple[str, ...]]]:
    """The sides of a part in working order; each terminal is a side where nothing is known.

    The terminal with most wires comes last: it is the one that the others are found by.
    """
    known = unit.kind_of(part).facet(Terminals)
    if known is not None and known.sides:
        return known.sides
    terminals = unit.kind_of(part).terminals
    crowd = sorted(terminals, key=lambda t: len(unit.wires_at(f"{part}.{t}")))
    return [(terminal, (terminal,)) for terminal in crowd]


def _place(right: Unit, new: NewPart, wire: Wire, end: str) -> str:
    """What the end goes onto: a place of the terminal, or its own sort where nothing is known."""
    meant = right.wire_by_name[wire.name]
    terminal = meant.start if end == "start" else meant.end
    there = right.wires_at(terminal)
    places = places_of(right, terminal, new.places)
    joints = [each.joints[0 if side == "start" else 1] for each, side in there]
    at = [(each.name, side) for each, side in there].index((wire.name, end))
    chosen = seating(joints, places or ())
    if places and at in chosen:
        return places[chosen[at]]
    return _OWN_PLACE.get(joints[at], joints[at])


def _crowded(right: Unit, part: str, new: NewPart) -> Iterator[str]:
    for terminal in right.kind_of(part).terminals:
        full = f"{part}.{terminal}"
        places = places_of(right, full, new.places)
        wires = [wire for wire, _ in right.wires_at(full)]
        if places is not None and len(wires) > len(places):
            names = ", ".join(wire.name for wire in wires)
            yield (
                say(
                    "{label} has {len} places for {len2} wires ({names}): join two of "
                    "one size to one tail with a listed connector, and put the tail "
                    "there",
                    label=new.label(terminal),
                    len=len(places),
                    len2=len(wires),
                    names=names,
                )
            )
