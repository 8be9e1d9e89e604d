"""Finding out where loose wires belong: what is left, what to measure next, and what to do."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from rungwise.circuit import Key
from rungwise.errors import BadWiresFile
from rungwise.parts import EARTH, Caution, Motor, part_of, split_end
from rungwise.rewiring.caution import cautions
from rungwise.rewiring.dead_ohms import Known, unrecorded_windings
from rungwise.rewiring.lost_wires import LostWires, Standing
from rungwise.rewiring.wires_record import WiresRecord
from rungwise.unit import Unit

_WINDINGS = {frozenset("CR"): "main_ohm", frozenset("CS"): "aux_ohm"}
MOST_WINDING_OHM = 1000.0


@dataclass(frozen=True)
class BrokenWire:
    """A wire of the record. far: "" where both its ends hang free; near: where it belongs."""

    wire: str
    far: str
    near: str


@dataclass(frozen=True)
class Broken:
    """A loose end that reads to nothing, and which wires of the record it may be."""

    name: str
    wires: tuple[BrokenWire, ...]


@dataclass(frozen=True)
class Recovery:
    """The answer to a file of loose wires.

    standing: what is left, and the next check. unrecorded: motors of whose windings neither the
    unit file nor a reading gives the ohms, and a loose wire without a place may run to them.
    """

    unit: Unit
    record: WiresRecord
    cautions: tuple[Caution, ...]
    standing: Standing
    unrecorded: tuple[str, ...]

    @property
    def found(self) -> bool:
        """Whether each end is placed by a reading of its own, none is broken, none looks wrong, and
        the unit does all it should whichever of the remaining ways is true.
        """
        return self.standing.found

    @property
    def broken(self) -> tuple[Broken, ...]:
        """The loose ends that read to nothing, each with the wires of the record it may be."""
        standing, off = self.standing, self.standing.lost.off
        return tuple(
            Broken(
                name,
                tuple(
                    BrokenWire(end.wire.name, end.far, end.near)
                    for end in (
                        off.ends[each] for each in standing.may_be(standing.names.index(name))
                    )
                ),
            )
            for name in standing.broken
        )


def recover(unit: Unit, record: WiresRecord) -> Recovery:
    """What the loose wires of a wires file may be, by all that it says of them.

    Raises BadWiresFile where the file names no loose wires, too many or too few, or places where
    none can be.
    """
    if not record.loose or not record.off:
        raise BadWiresFile(
            what="This file names no loose wires, or no terminals that they are off.",
            file=record.file,
            next_step='write off = ["contactor"] at the top, and [[loose]] with name = "w1" for '
            "each wire that hangs free",
        )
    known, measured = _with_colours(unit, record), dict(_measured(unit, record))
    about = Known(measured, frozenset(record.sound), frozenset(record.doubtful))
    lost = LostWires(known, record.off, _probes(record), about)
    recorded = tuple(entry.wire.name for entry in record.as_found)
    if not lost.standing(replace(record, readings=())).remaining:
        raise _impossible(record, lost)
    standing = lost.standing(record, recorded)
    far = {part_of(lost.off.ends[end].far) for end in _unplaced(standing)}
    unrecorded = tuple(
        name
        for name in unrecorded_windings(known)
        if name in far and not all((name, key) in measured for key in _WINDINGS.values())
    )
    return Recovery(known, record, cautions(known, record), standing, unrecorded)


def _unplaced(standing: Standing) -> set[int]:
    """The ends of the record that some loose end without a place may be."""
    if not standing.remaining:
        return set()
    left = (at for at, name in enumerate(standing.names) if name not in standing.placed)
    return {int(end) for at in left for end in standing.may_be(at)}


def _probes(record: WiresRecord) -> tuple[str, ...]:
    """Terminals that were measured on."""
    names = {end for wire in record.loose for end in wire.ends}
    points = {each for reading in record.readings for each in (reading.a, reading.b)}
    return tuple(points - names - {EARTH})


def _with_colours(unit: Unit, record: WiresRecord) -> Unit:
    """The unit with the colours and gauges that were written down as found."""
    found = {entry.wire.name: entry.wire for entry in record.as_found}
    wires = (
        replace(wire, colour=found[wire.name].colour, awg=found[wire.name].awg)
        if wire.name in found
        else wire
        for wire in unit.wires
    )
    return replace(unit, wires=tuple(wires))


def _measured(unit: Unit, record: WiresRecord) -> Iterator[tuple[Key, tuple[float, float]]]:
    """Windings that were read between a motor's own terminals, with least and most ohms."""
    motors = {part.name for part, _ in unit.having(Motor)}
    for reading in record.readings:
        (one, a), (two, b) = split_end(reading.a), split_end(reading.b)
        name = _WINDINGS.get(frozenset((a, b)))
        is_motor = one == two and one in motors
        if is_motor and name and reading.high_ohm < MOST_WINDING_OHM:
            yield (one, name), (reading.low_ohm, reading.high_ohm)


def _impossible(record: WiresRecord, lost: LostWires) -> BadWiresFile:
    seen = (f"{w.name} to {w.far or w.near}" for w in record.loose if w.far or w.near)
    ends = (f"{each.near} from {each.far or 'a free wire'}" for each in lost.off.ends)
    return BadWiresFile(
        what="What is seen of the loose wires cannot all be true: more of them run to, or belong "
        "on, one terminal than wires end there.",
        file=record.file,
        line=record.loose[0].line,
        key="loose",
        value=", ".join(seen),
        allowed="; ".join(ends),
        next_step="look again at the far ends, and take out what is not sure",
    )
