"""A unit with a candidate in place of its part: where each wire goes, and what must be added."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from rungwise.parts import KINDS
from rungwise.replacement.candidate import Candidate
from rungwise.replacement.candidate_kinds import Piece
from rungwise.replacement.label import values_of
from rungwise.replacement.nets import Nets
from rungwise.unit.unit import Part, Unit, Wire

__all__ = ["Seated", "in_place_of", "seat"]

KIT = "hard_start_kit"

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
    if candidate.kind_name == KIT and unit.kind_of(candidate.parts[0]).motor:
        return _kit_beside(unit, candidate.parts[0], pieces)
    moves = _moves(unit, candidate, pieces)
    on: dict[WireEnd, str] = {}
    loose: list[WireEnd] = []
    for wire, end, old in _ends_on(unit, candidate.parts):
        new = moves.get(old)
        if new is None:
            loose.append((wire.name, end))
        else:
            on[wire.name, end] = new
    added = tuple(_jumpers(candidate, pieces, moves))
    made = _rebuilt(unit, candidate.parts, pieces, on, {name for name, _ in loose}, added)
    on |= {(w.name, end): at for w in added for end, at in (("start", w.start), ("end", w.end))}
    return Seated(made, tuple(p.name for p in pieces), on, tuple(loose), added)


def in_place_of(unit: Unit, candidate: Candidate) -> Candidate:
    """A hard-start kit for a compressor that has one already takes the place of that one."""
    old = unit.parts_of_kind("potential_relay", "start_capacitor")
    if candidate.kind_name != KIT or not old:
        return candidate
    return replace(candidate, parts=tuple(part.name for part in old))


def _pieces(unit: Unit, candidate: Candidate) -> tuple[Part, ...]:
    """The parts that the candidate becomes, in the place of the first part that it is for."""
    old = unit.part(candidate.parts[0])
    label = old.label if len(candidate.kind.pieces) == 1 else ""
    return tuple(
        Part(
            _piece_name(unit, candidate, piece),
            piece.kind,
            old.place,
            label,
            values_of(candidate, piece, unit.hz),
        )
        for piece in candidate.kind.pieces
    )


def _piece_name(unit: Unit, candidate: Candidate, piece: Piece) -> str:
    """The old part's own name, where the piece is of its kind; or what it is called beside it."""
    if candidate.kind_name != KIT:
        return f"{candidate.parts[0]}{piece.suffix}"
    old = (name for name in candidate.parts if unit.part(name).kind == piece.kind)
    return next(old, f"start{piece.suffix}")


def _ends_on(unit: Unit, parts: tuple[str, ...]) -> Iterator[tuple[Wire, str, str]]:
    """Every wire end on one of the parts: wire, end, terminal."""
    for wire in unit.wires:
        for end, terminal in (("start", wire.start), ("end", wire.end)):
            if terminal.partition(".")[0] in parts:
                yield wire, end, terminal


def _moves(unit: Unit, candidate: Candidate, pieces: tuple[Part, ...]) -> dict[str, str]:
    """For each terminal of the old parts its terminal on the candidate, where there is one."""
    kinds = {unit.part(name).kind for name in candidate.parts}
    if candidate.kind_name == "two_run_capacitors" and kinds == {"dual_capacitor"}:
        return _dual_to_two(candidate, pieces)
    if candidate.kind_name == "dual_capacitor" and kinds == {"run_capacitor"}:
        return _singles_to_dual(unit, candidate, pieces[0].name)
    if candidate.kind_name == "run_capacitor" and kinds == {"dual_capacitor"}:
        old, new = candidate.parts[0], pieces[0].name
        return {f"{old}.C": f"{new}.1", f"{old}.HERM": f"{new}.2"}
    return dict(_same_names(unit, candidate, pieces))


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


def _dual_to_two(candidate: Candidate, pieces: tuple[Part, ...]) -> dict[str, str]:
    old, (herm, fan) = candidate.parts[0], pieces
    return {
        f"{old}.C": f"{herm.name}.1",
        f"{old}.HERM": f"{herm.name}.2",
        f"{old}.FAN": f"{fan.name}.2",
    }


def _singles_to_dual(unit: Unit, candidate: Candidate, new: str) -> dict[str, str]:
    """Each single's start-winding side on HERM or FAN, its other side on C."""
    nets = Nets(unit)
    moves: dict[str, str] = {}
    for name in candidate.parts:
        for side, other in (("1", "2"), ("2", "1")):
            motor = nets.motor_started_from(f"{name}.{side}")
            if motor is not None:
                moves[f"{name}.{side}"] = f"{new}.{_section(candidate, unit, motor)}"
                moves[f"{name}.{other}"] = f"{new}.C"
    return moves


def _section(candidate: Candidate, unit: Unit, motor: Part) -> str:
    """The section for a motor: by its sort, or where only one is needed, the nearer in µF."""
    if len(candidate.parts) > 1:
        return "HERM" if KINDS[motor.kind].motor == "compressor" else "FAN"
    kind = unit.kind_of(motor.name)
    wanted = motor.values.get("run_uf", kind.parameter("run_uf").default)
    figures = candidate.figures
    nearer = abs(figures["herm_uf"] - wanted) <= abs(figures["fan_uf"] - wanted)
    return "HERM" if nearer else "FAN"


def _jumpers(
    candidate: Candidate, pieces: tuple[Part, ...], moves: Mapping[str, str]
) -> Iterator[Wire]:
    """Wires between the pieces that the old part had inside."""
    if candidate.kind_name == "two_run_capacitors" and moves:
        herm, fan = (piece.name for piece in pieces)
        yield _wire("capacitor_jumper", f"{herm}.1", f"{fan}.1", awg=14, length_m=0.15)


def _kit_beside(unit: Unit, motor: str, pieces: tuple[Part, ...]) -> Seated:
    """The kit across the motor's run capacitor: relay 1-2 and start capacitor in series.

    Relay 5 goes to the motor's common lead, so that its coil sees the start winding.
    """
    nets = Nets(unit)
    relay, capacitor = (piece.name for piece in pieces)
    ends = {
        "kit_cap": (f"{capacitor}.2", f"{motor}.R", 14),
        "kit_1": (f"{relay}.1", f"{capacitor}.1", 14),
        "kit_2": (f"{relay}.2", f"{motor}.S", 14),
        "kit_5": (f"{relay}.5", f"{motor}.C", 16),
    }
    added = tuple(
        _wire(name, start, end if name == "kit_1" else _handy(nets, end), awg=awg, length_m=0.4)
        for name, (start, end, awg) in ends.items()
    )
    made = replace(unit, parts=(*unit.parts, *pieces), wires=(*unit.wires, *added))
    on = {(wire.name, "start"): wire.start for wire in added}
    on |= {("kit_1", "end"): f"{capacitor}.1"}
    return Seated(made, (relay, capacitor), on, (), added)


def _handy(nets: Nets, terminal: str) -> str:
    """A terminal on the same point at the run capacitor or contactor, where a hand gets at it."""
    for kinds in (("dual_capacitor", "run_capacitor"), ("contactor_1p", "contactor_2p")):
        for each in nets.terminals_of(terminal):
            if nets.unit.part_by_name[each.partition(".")[0]].kind in kinds:
                return each
    return terminal


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
