"""Wires to a new part: the moves, the record as found and as left, and what must be known first."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from rungwise.parts import Caution, part_of
from rungwise.rewiring.caution import cautions
from rungwise.rewiring.joint_care import SCREWED
from rungwise.rewiring.left_check import LeftCheck, check_left
from rungwise.rewiring.moves import MoveList, move_list
from rungwise.rewiring.possible import Crowd, crowds
from rungwise.rewiring.wires_file import with_new_part
from rungwise.rewiring.wires_record import WireEntry, WiresRecord
from rungwise.rewiring.wirings import Ends, oriented, rewired
from rungwise.rewiring.yardstick import Yardstick
from rungwise.unit import Unit, Wire


@dataclass(frozen=True)
class Rewiring:
    """The answer to a wires file.

    unit: with colours and gauges as they were found. found: what is wrong or harmless as found,
    None where nothing was written down. moves: None where no part comes out. left: None where
    nothing was written down as left. crowded: terminals left with wires that they do not hold;
    crowded_found: those that were found so.
    torques: of each end that a screw of the part holds as left, the in-lb, None where not written.
    """

    unit: Unit
    record: WiresRecord
    cautions: tuple[Caution, ...]
    found: LeftCheck | None
    moves: MoveList | None
    left: LeftCheck | None
    crowded: tuple[Crowd, ...] = ()
    torques: tuple[tuple[str, float | None], ...] = ()
    crowded_found: tuple[Crowd, ...] = ()

    @property
    def passes(self) -> bool:
        """Whether the wires as left, or else the move list alone, leave nothing to be put right."""
        return not self.crowded and (self.left is None or self.left.passes)


def rewire(unit: Unit, record: WiresRecord) -> Rewiring:
    """Everything that a wires file asks about `unit`, which is how its wires are meant to be.

    Raises NoSettling where a wiring's contacts come to no rest.
    """
    known = _as_recorded(unit, record.as_found)
    yardstick = Yardstick(known)
    found = _found(yardstick, record)
    there, right = _before_and_after(known, record, found)
    moves = left = None
    if record.new is not None:
        right = with_new_part(right, record.part, record.new)
        moves = move_list(there, right, record.part, record.new)
    if record.as_left:
        left = _left(yardstick, right, record)
    later = with_new_part(known, record.part, record.new)
    places = record.new.places if record.new else {}
    crowded = tuple(_loaded(yardstick, crowds(record.as_left, later, places)))
    crowded_found = tuple(_loaded(yardstick, crowds(record.as_found, unit, {})))
    warned, torques = cautions(known, record), tuple(_torques(record))
    return Rewiring(known, record, warned, found, moves, left, crowded, torques, crowded_found)


def _torques(record: WiresRecord) -> Iterator[tuple[str, float | None]]:
    """The wires as left that a screw of the part holds, with what it was tightened to."""
    for entry in record.as_left:
        held = zip(entry.ends or (), entry.wire.joints, strict=False)
        if any(part_of(t) == record.part and joint in SCREWED for t, joint in held):
            yield entry.wire.name, entry.torque_in_lb


def _loaded(yardstick: Yardstick, found: Iterable[Crowd]) -> Iterator[Crowd]:
    """The terminals that do not hold their wires, with the amps these carry when all is right."""
    meant = yardstick.meant
    lasts = [each.condition.horizon == "settled" for each in yardstick.situations]
    for each in found:
        at = [meant.wires.index(name) for name, _ in each.wires if name in meant.wires]
        yield replace(each, amp=float(meant.wire_amp[lasts][:, at].max()) if at else 0.0)


def _as_recorded(unit: Unit, entries: Sequence[WireEntry]) -> Unit:
    """The unit with the colours, gauges and joints that were found; where its wires are stays."""
    by_name = {entry.wire.name: entry.wire for entry in entries}
    wires = (
        replace(
            wire,
            colour=by_name[wire.name].colour,
            awg=by_name[wire.name].awg,
            joints=_like(wire, by_name[wire.name], entries),
        )
        if wire.name in by_name
        else wire
        for wire in unit.wires
    )
    return replace(unit, wires=tuple(wires))


def _like(wire: Wire, found: Wire, entries: Sequence[WireEntry]) -> tuple[str, str]:
    """The joints that were found, in the order of the unit's own ends."""
    (entry,) = (each for each in entries if each.wire is found)
    if entry.ends is None or oriented(entry.ends, (wire.start, wire.end)) == entry.ends:
        return found.joints
    return found.joints[1], found.joints[0]


def _places(unit: Unit, entries: Sequence[WireEntry]) -> dict[str, Ends | None]:
    """Where the wires of a record end, each the way round that the unit has it."""
    found: dict[str, Ends | None] = {}
    for entry in entries:
        wire = unit.wire_by_name.get(entry.wire.name)
        ends = entry.ends
        found[entry.wire.name] = oriented(ends, (wire.start, wire.end)) if wire and ends else ends
    return found


def _added(unit: Unit, entries: Sequence[WireEntry]) -> tuple[Wire, ...]:
    """The wires that the unit does not have, where the record has them."""
    return tuple(
        replace(entry.wire, start=entry.ends[0], end=entry.ends[1])
        for entry in entries
        if entry.ends and entry.wire.name not in unit.wire_by_name
    )


def _found(yardstick: Yardstick, record: WiresRecord) -> LeftCheck | None:
    if not record.as_found:
        return None
    unit = yardstick.unit
    added = _added(unit, record.as_found)
    return check_left(yardstick, unit, _places(unit, record.as_found), added=added)


def _before_and_after(
    unit: Unit, record: WiresRecord, found: LeftCheck | None
) -> tuple[Unit, Unit]:
    """The unit as its wires were found, and as they should be: what was wrong is put right."""
    added = _added(unit, record.as_found)
    there = replace(unit, wires=(*unit.wires, *added))
    wrong = {
        wire
        for judged in (found.groups if found else ())
        if judged.status == "wrong"
        for wire in judged.group.wires
    }
    kept = {
        name: ends for name, ends in _places(unit, record.as_found).items() if name not in wrong
    }
    gone = {wire.name: None for wire in added if wire.name in wrong}
    found_places = _places(unit, record.as_found)
    return rewired(there, found_places), rewired(there, {**kept, **gone})


def _left(yardstick: Yardstick, right: Unit, record: WiresRecord) -> LeftCheck:
    """The wires as left; a wire of the part that no line names is off."""
    named = {entry.wire.name for entry in record.as_left}
    off = {
        wire.name: None
        for terminal in _terminals_of(right, record.part)
        for wire, _ in right.wires_at(terminal)
        if wire.name not in named
    }
    places = _places(right, record.as_left)
    marked = record.new.marked if record.new else True
    added = _added(right, record.as_left)
    return check_left(yardstick, right, {**off, **places}, added=added, marked=marked)


def _terminals_of(unit: Unit, part: str) -> list[str]:
    return [t for t in unit.terminals() if part_of(t) == part]
