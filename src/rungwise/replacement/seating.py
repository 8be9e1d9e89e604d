"""A unit with a candidate in place of its part: where each wire goes, and what must be added."""

from __future__ import annotations

from collections.abc import Container, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import chain, count

from rungwise.parts import KINDS, Capacitor, Coil, Motor, PackagePart, Poles, Section, part_of
from rungwise.replacement.candidate import Candidate
from rungwise.replacement.label import values_of
from rungwise.replacement.reference import is_run_capacitor
from rungwise.replacement.supply_circuit import contactors, start_capacitors, start_relays
from rungwise.unit import Part, Unit, Wire

WireEnd = tuple[str, str]
"""A wire's name and which of its ends, `start` or `end`."""


@dataclass(frozen=True)
class Seated:
    """The unit with a candidate fitted.

    pieces: the names of the parts it became. on: every wire end that sits on it, with its terminal
    (`part.terminal`). loose: wire ends for which it has no terminal; their wires are left out of
    `unit`. added: wires that come with it.
    """

    unit: Unit
    pieces: tuple[str, ...]
    on: Mapping[WireEnd, str]
    loose: tuple[WireEnd, ...] = ()
    added: tuple[Wire, ...] = ()


def seat(unit: Unit, candidate: Candidate) -> Seated:
    """`unit` with `candidate` in place of the parts it is for.

    Every part that it is for must be in the unit.
    """
    pieces = _pieces(unit, candidate)
    beside = [(part, motor) for part, motor in unit.having(Motor) if part.name in candidate.parts]
    if candidate.kind.beside_motor and beside:
        return _kit_beside(unit, *beside[0], pieces)
    moves = _moves(unit, candidate, pieces)
    on: dict[WireEnd, str] = {}
    loose: list[WireEnd] = []
    for wire, end, old in _ends_on(unit, candidate.parts):
        new = moves.get(old)
        if new is None:
            loose.append((wire.name, end))
        else:
            on[wire.name, end] = new
    added = tuple(_jumpers(pieces, moves))
    made = _rebuilt(unit, candidate.parts, pieces, on, {name for name, _ in loose}, added)
    on |= {(w.name, end): at for w in added for end, at in (("start", w.start), ("end", w.end))}
    return Seated(made, tuple(p.name for p in pieces), on, tuple(loose), added)


def in_place_of(unit: Unit, candidate: Candidate) -> Candidate:
    """A hard-start kit for a compressor that has one already takes the place of that one."""
    starting = (*start_relays(unit), *start_capacitors(unit))
    old = tuple(part.name for part in unit.parts if part in starting)
    if not candidate.kind.beside_motor or not old:
        return candidate
    return replace(candidate, parts=old)


def _pieces(unit: Unit, candidate: Candidate) -> tuple[Part, ...]:
    """The parts that the candidate becomes, in the place of the first part that it is for."""
    old = unit.part(candidate.parts[0])
    label = old.label if len(candidate.kind.pieces) == 1 else ""
    return tuple(
        Part(
            _piece_name(unit, candidate, piece),
            piece.kind,
            old.place,
            label or piece.title,
            values_of(candidate, piece, unit.hz),
            old.circuit,
        )
        for piece in candidate.kind.pieces
    )


def _piece_name(unit: Unit, candidate: Candidate, piece: PackagePart) -> str:
    """The old part's own name, where the piece is of its kind; or what it is called beside it."""
    if not candidate.kind.beside_motor:
        return f"{candidate.parts[0]}{piece.suffix}"
    old = (name for name in candidate.parts if unit.part(name).kind == piece.kind)
    return next(old, None) or free_name(f"start{piece.suffix}", unit.part_by_name)


def _ends_on(unit: Unit, parts: tuple[str, ...]) -> Iterator[tuple[Wire, str, str]]:
    """Every wire end on one of the parts: wire, end, terminal."""
    for wire in unit.wires:
        for end, terminal in (("start", wire.start), ("end", wire.end)):
            if part_of(terminal) in parts:
                yield wire, end, terminal


def _moves(unit: Unit, candidate: Candidate, pieces: tuple[Part, ...]) -> dict[str, str]:
    """For each terminal of the old parts its terminal on the candidate, where there is one."""
    old, new = ([can for each in parts if (can := _run_capacitor(each))]
                for parts in ([unit.part(name) for name in candidate.parts], pieces))  # fmt: skip
    if len(old) == len(candidate.parts) and len(new) == len(pieces):
        had, have = ({len(each.sections) for each in cans} for cans in (old, new))
        if had == {1} and have != {1}:
            return _singles_to_dual(unit, candidate, pieces[0].name, new[0])
        if had != {1} and have == {1}:
            return _dual_to_singles(candidate.parts[0], old[0], pieces, new)
    return dict(_same_names(unit, candidate, pieces))


def _run_capacitor(part: Part) -> Capacitor | None:
    return KINDS[part.kind].facet(Capacitor) if is_run_capacitor(part.kind) else None


def _same_names(
    unit: Unit, candidate: Candidate, pieces: tuple[Part, ...]
) -> Iterator[tuple[str, str]]:
    """Like for like: each old part's terminals on the piece of its kind, or on the only piece."""
    for name in candidate.parts:
        kind = unit.part(name).kind
        piece = next((p for p in pieces if p.kind == kind), pieces[0])
        for terminal in KINDS[kind].terminals:
            if terminal in KINDS[piece.kind].terminals:
                yield f"{name}.{terminal}", f"{piece.name}.{terminal}"


def _dual_to_singles(
    old: str, dual: Capacitor, pieces: tuple[Part, ...], singles: Sequence[Capacitor]
) -> dict[str, str]:
    """Each section's own terminal on a single; what they share on the first of them."""
    moves = {f"{old}.{dual.common}": f"{pieces[0].name}.{singles[0].common}"}
    for section, piece, single in zip(dual.sections, pieces, singles, strict=False):
        own = _apart(single.sections[0], single)
        moves[f"{old}.{_apart(section, dual)}"] = f"{piece.name}.{own}"
    return moves


def _apart(section: Section, capacitor: Capacitor) -> str:
    """The terminal of a section that it shares with no other."""
    return next(end for end in section.ends if end != capacitor.common)


def _singles_to_dual(unit: Unit, candidate: Candidate, new: str, dual: Capacitor) -> dict[str, str]:
    """Each single's start-winding side on its section, its other side on what they share."""
    starts = {f"{part.name}.{motor.starting}": (part, motor) for part, motor in unit.having(Motor)}
    moves: dict[str, str] = {}
    for name in candidate.parts:
        for side in KINDS[unit.part(name).kind].terminals:
            together = unit.wired_together(f"{name}.{side}")
            for started in filter(together.__contains__, starts):
                section = _section(candidate, dual, *starts[started])
                moves[f"{name}.{side}"] = f"{new}.{_apart(section, dual)}"
                for other in set(KINDS[unit.part(name).kind].terminals) - {side}:
                    moves[f"{name}.{other}"] = f"{new}.{dual.common}"
    return moves


def _section(candidate: Candidate, dual: Capacitor, part: Part, motor: Motor) -> Section:
    """The section for a motor: by its sort, or where only one is needed, the nearest in µF."""
    if len(candidate.parts) > 1:
        return next((s for s in dual.sections if s.marked_for == motor.drives), dual.sections[-1])
    wanted = part.number("run_uf")
    return min(dual.sections, key=lambda s: abs(candidate.figures[s.microfarads] - wanted))


def _jumpers(pieces: tuple[Part, ...], moves: Mapping[str, str]) -> Iterator[Wire]:
    """Wires between the pieces that the old part had inside."""
    cans = [can for piece in pieces if (can := _run_capacitor(piece))]
    if len(pieces) == len(cans) > 1 and moves:
        herm, fan = (f"{p.name}.{can.common}" for p, can in zip(pieces, cans, strict=True))
        yield _wire("capacitor_jumper", herm, fan, awg=14, length_m=0.15)


def _kit_beside(unit: Unit, part: Part, motor: Motor, pieces: tuple[Part, ...]) -> Seated:
    """The kit across the motor's run capacitor: its relay's contact and its capacitor in series.

    The relay's coil goes to the motor's common lead, so that it sees the start winding.
    """
    relay, capacitor = pieces
    poles, coil = KINDS[relay.kind].facet(Poles), KINDS[relay.kind].facet(Coil)
    can = KINDS[capacitor.kind].facet(Capacitor)
    if poles is None or coil is None or can is None:
        raise LookupError("a kit is a relay and a capacitor")
    near, far = (f"{capacitor.name}.{end}" for end in can.sections[0].ends)
    contact, name = poles.poles[0], part.name
    (coil_end,) = set(coil.ends) - {contact.line, contact.load}
    ends = {
        "kit_cap": (far, _handy(unit, f"{name}.{motor.run}"), 14),
        "kit_1": (f"{relay.name}.{contact.line}", near, 14),
        "kit_2": (f"{relay.name}.{contact.load}", _handy(unit, f"{name}.{motor.start}"), 14),
        "kit_5": (f"{relay.name}.{coil_end}", _handy(unit, f"{name}.{motor.common}"), 16),
    }
    added = tuple(
        _wire(free_name(wire, unit.wire_by_name), start, end, awg=awg, length_m=0.4)
        for wire, (start, end, awg) in ends.items()
    )
    made = replace(unit, parts=(*unit.parts, *pieces), wires=(*unit.wires, *added))
    on = {(wire.name, "start"): wire.start for wire in added}
    on |= {(wire.name, "end"): wire.end for wire in added if wire.end == near}
    return Seated(made, (relay.name, capacitor.name), on, (), added)


def _handy(unit: Unit, terminal: str) -> str:
    """A terminal on the same point at the run capacitor or contactor, where a hand gets at it."""
    joined = unit.wired_together(terminal)
    same_point = [each for each in unit.terminals() if each in joined]
    capacitors = [part for part in unit.parts if is_run_capacitor(part.kind)]
    for parts in (capacitors, contactors(unit)):
        names = {part.name for part in parts}
        for each in same_point:
            if part_of(each) in names:
                return each
    return terminal


def free_name(name: str, taken: Container[str]) -> str:
    """The name, with a number where the unit has one such already."""
    numbered = (f"{name}_{n}" for n in count(2))
    return next(each for each in chain((name,), numbered) if each not in taken)


def _wire(name: str, start: str, end: str, *, awg: float, length_m: float) -> Wire:
    return Wire(name, start, end, "black", awg, length_m, ("push-on", "push-on"), "power")


def _rebuilt(
    unit: Unit,
    old: tuple[str, ...],
    pieces: tuple[Part, ...],
    on: Mapping[WireEnd, str],
    gone: set[str],
    added: tuple[Wire, ...],
) -> Unit:
    parts: list[Part] = []
    for part in unit.parts:
        if part.name == old[0]:
            parts += pieces
        elif part.name not in old:
            parts.append(part)
    moved = (
        replace(
            wire,
            start=on.get((wire.name, "start"), wire.start),
            end=on.get((wire.name, "end"), wire.end),
        )
        for wire in unit.wires
        if wire.name not in gone
    )
    # A jumper between two singles has nothing left to join once both its ends sit on one terminal.
    wires = [wire for wire in moved if wire.start != wire.end]
    cables = tuple(
        replace(cable, wires=kept)
        for cable in unit.cables
        if len(kept := tuple(name for name in cable.wires if name not in gone)) > 1
    )
    return replace(unit, parts=tuple(parts), wires=(*wires, *added), cables=cables)
