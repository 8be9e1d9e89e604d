"""A unit with a part taken out, put in or moved: the wires that met there meet elsewhere."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from rungwise.parts import KINDS, OpensOn, Timer, part_of, split_end
from rungwise.unit import Part, Unit, Wire
from rungwise.wording import say


def taken_out(unit: Unit, part: str, through: tuple[str, str] | None = None) -> Unit:
    """The unit without a part.

    through: two of its terminals that are to be one point from now on, as where a switch in
    series goes. Wires that met on a terminal of the part meet at the far end of one of them.
    """
    ends = [f"{part}.{end}" for end in KINDS[unit.part(part).kind].terminals]
    pair = {f"{part}.{end}" for end in through or ()}
    groups = [pair, *({end} for end in ends if end not in pair)]
    wires = list(unit.wires)
    for group in groups:
        wires = _without_point(wires, group)
    parts = tuple(each for each in unit.parts if each.name != part)
    return _whole(unit, parts, wires)


def way_through(kind: str) -> tuple[str, str] | None:
    """The two terminals between which a part stands in series; None for one that does not."""
    switch, timer = KINDS[kind].facet(OpensOn), KINDS[kind].facet(Timer)
    if switch is not None:
        return switch.ends
    return (timer.signal_in, timer.signal_out) if timer is not None else None


def without_part(unit: Unit, name: str) -> Unit:
    """The unit without a part; where it stood in series, the wires are joined.

    Raises UnknownName for a part that there is not.
    """
    return taken_out(unit, name, way_through(unit.part(name).kind))


def _without_point(wires: list[Wire], point: set[str]) -> list[Wire]:
    """The wires once a point is gone; one of those that met there goes with it."""
    met = [w for w in wires if (w.start in point) != (w.end in point)]
    rest = [w for w in wires if not {w.start, w.end} & point]
    if not met:
        return rest
    gone = met[0]
    far, joint = _far(gone, point)
    moved = [_moved(each, point, far, joint) for each in met[1:]]
    return [*rest, *(each for each in moved if each.start != each.end)]


def _far(wire: Wire, point: set[str]) -> tuple[str, str]:
    """The other end of a wire, and its joint there."""
    return (wire.end, wire.joints[1]) if wire.start in point else (wire.start, wire.joints[0])


def _moved(wire: Wire, point: Iterable[str], to: str, joint: str) -> Wire:
    """The wire with its end at a point put elsewhere."""
    if wire.start in point:
        return replace(wire, start=to, joints=(joint, wire.joints[1]))
    return replace(wire, end=to, joints=(wire.joints[0], joint))


def put_in_series(
    unit: Unit, at: str, part: Part, ends: tuple[str, str], like: Iterable[Wire] = ()
) -> Unit:
    """The unit with a part in the one wire that ends at `at`, its first end away from there.

    ends: the part's terminals toward the wire's far end and toward `at`. like: wires of another
    unit whose joints and size the new one has. Raises LookupError unless one wire ends there.
    """
    held = unit.wires_at(at)
    if len(held) != 1:
        raise LookupError(say("{len} wires end on {at}", len=len(held), at=at))
    wire = held[0][0]
    joint = next((each.joints[0] for each in like), "push-on")
    before = _moved(wire, {at}, f"{part.name}.{ends[0]}", joint)
    kept = wire.joints[0] if wire.start == at else wire.joints[1]
    after = replace(
        wire,
        name=free_name(unit, f"{part.name}_out"),
        start=f"{part.name}.{ends[1]}",
        end=at,
        joints=(joint, kept),
        length_m=min(wire.length_m, 0.6),
    )
    wires = [before if each is wire else each for each in unit.wires]
    return _whole(unit, (*unit.parts, part), [*wires, after])


def grafted(unit: Unit, donor: Unit, names: Sequence[str], where: Mapping[str, str]) -> Unit:
    """The unit with parts of another, and the wires that these have there.

    where: for parts of the donor that stay behind, which part of the unit stands in their place.
    Raises LookupError for a wire that ends where the unit has no terminal.
    """
    new = {name: free_name(unit, name) for name in names}
    parts = tuple(replace(donor.part(name), name=new[name]) for name in names)
    grown = replace(unit, parts=(*unit.parts, *parts))
    there, wires = set(grown.terminals()), list(unit.wires)
    for wire in donor.wires:
        if not {part_of(wire.start), part_of(wire.end)} & set(names):
            continue
        start, end = (_mapped(each, {**where, **new}) for each in (wire.start, wire.end))
        if start not in there or end not in there:
            raise LookupError(f"no {start if start not in there else end}")
        name = free_name(replace(grown, wires=tuple(wires)), wire.name)
        wires.append(replace(wire, name=name, start=start, end=end))
    return _whole(unit, grown.parts, wires)


def with_kind(unit: Unit, part: str, kind: str) -> Unit:
    """The unit with a part of another kind in the place of one; it keeps its wires."""
    made = tuple(
        replace(each, kind=kind, values={}) if each.name == part else each for each in unit.parts
    )
    return replace(unit, parts=made)


def free_name(unit: Unit, wanted: str) -> str:
    """`wanted`, or with a number where a part or wire of the unit has it."""
    taken = {*unit.part_by_name, *unit.wire_by_name}
    return next(each for each in _numbered(wanted) if each not in taken)


def _numbered(wanted: str) -> Iterator[str]:
    yield wanted
    number = 2
    while True:
        yield f"{wanted}_{number}"
        number += 1


def _mapped(end: str, where: Mapping[str, str]) -> str:
    part, terminal = split_end(end)
    return f"{where.get(part, part)}.{terminal}"


def _whole(unit: Unit, parts: tuple[Part, ...], wires: Sequence[Wire]) -> Unit:
    """The unit of these parts and wires; cables keep the wires that are left."""
    left = {each.name for each in wires}
    cables = tuple(
        replace(each, wires=tuple(name for name in each.wires if name in left))
        for each in unit.cables
    )
    whole = tuple(each for each in cables if len(each.wires) > 1)
    return replace(unit, parts=parts, wires=tuple(wires), cables=whole)
