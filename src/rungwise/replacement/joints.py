"""Whether every wire finds its place on the candidate's terminals, and what work that takes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from scipy.optimize import linear_sum_assignment

from rungwise.parts import JOINT_WORDS, PLACE_WORDS, part_of, terminal_of, work_for
from rungwise.replacement.candidate import Candidate
from rungwise.replacement.reason import Reason, Weight
from rungwise.replacement.seating import Seated, WireEnd
from rungwise.unit import Unit, Wire
from rungwise.wording import joined, mark, named, say

TORQUE = "terminal.torque"
"""The rule of the work that only a part that goes in asks for."""


def joint_reasons(unit: Unit, candidate: Candidate, seated: Seated) -> Iterator[Reason]:
    """Wires without a terminal, wires to be moved or added, and joints to be re-made."""
    yield from _loose(unit, seated)
    yield from _added(candidate, seated)
    yield from _renamed(unit, candidate, seated)
    untold = []
    for terminal, ends in _by_terminal(seated).items():
        if part_of(terminal) not in seated.pieces:
            continue
        if terminal_of(terminal) in candidate.terminals:
            yield from _places(unit, candidate, seated, terminal, ends)
        elif len(ends) > 1:
            joints = joined(", ", (JOINT_WORDS[joint] for _, joint in _joints(unit, seated, ends)))
            untold.append(
                say(
                    "{terminal} takes {len} wires ({joints})",
                    terminal=seated.unit.end_words(terminal),
                    len=len(ends),
                    joints=joints,
                )
            )
    if untold:
        yield _not_told(untold)


def _loose(unit: Unit, seated: Seated) -> Iterator[Reason]:
    for name, end in seated.loose:
        wire = unit.wire_by_name[name]
        terminal = wire.start if end == "start" else wire.end
        yield Reason(
            Weight.BARS,
            "terminal.missing",
            say(
                "The {colour} wire from {terminal} finds no terminal on it.",
                colour=named(wire.colour),
                terminal=unit.end_words(terminal),
            ),
            source=mark("from the wires of the unit file"),
        )


def _added(candidate: Candidate, seated: Seated) -> Iterator[Reason]:
    if not seated.added:
        return
    ends = seated.unit.end_words
    listed = joined(
        "; ",
        (
            say("{start} to {end} ({awg} AWG)", start=ends(w.start), end=ends(w.end),
                awg=f"{w.awg:g}")
            for w in seated.added
        ),
    )  # fmt: skip
    kit = candidate.kind.beside_motor
    yield Reason(
        Weight.CHANGE,
        "wire.added",
        say(
            "{it}: {listed}.",
            it=mark("Connect its wires")
            if kit
            else mark("Add what the old part had inside, a wire"),
            listed=listed,
        ),
        source=mark("from the wires of the unit file"),
    )


def _renamed(unit: Unit, candidate: Candidate, seated: Seated) -> Iterator[Reason]:
    """Wires whose terminal has another name on the candidate."""
    moved = []
    for (name, end), new in seated.on.items():
        wire = unit.wire_by_name.get(name)
        if wire is not None:
            old = wire.start if end == "start" else wire.end
            if terminal_of(old) != terminal_of(new):
                held = {"old": unit.end_words(old), "new": seated.unit.end_words(new)}
                moved.append(say("{colour} from {old} to {new}", colour=named(wire.colour), **held))
    if moved:
        yield Reason(
            Weight.CHANGE,
            "terminal.renamed",
            say(
                "The terminals of a {candidate} have other names: {things}.",
                candidate=candidate.title,
                things=joined("; ", moved),
            ),
            source=mark("from the wires of the unit file"),
        )


def _by_terminal(seated: Seated) -> dict[str, list[WireEnd]]:
    found: dict[str, list[WireEnd]] = {}
    for end, terminal in seated.on.items():
        found.setdefault(terminal, []).append(end)
    return found


def _places(
    unit: Unit, candidate: Candidate, seated: Seated, terminal: str, ends: Sequence[WireEnd]
) -> Iterator[Reason]:
    places = candidate.terminals[terminal_of(terminal)]
    wires = _joints(unit, seated, ends)
    chosen = _seating([joint for _, joint in wires], places)
    called = seated.unit.end_words(terminal)
    for at, (wire, joint) in enumerate(wires):
        place = chosen.get(at)
        if place is None:
            yield _no_place(called, wire, len(wires), len(places))
        elif work_for(joint, places[place]):
            yield _work(called, wire, joint, places[place])


def _joints(unit: Unit, seated: Seated, ends: Sequence[WireEnd]) -> list[tuple[Wire, str]]:
    """Each wire with the joint at the end that sits here."""
    wires = [unit.wire_by_name.get(name) or seated.unit.wire_by_name[name] for name, _ in ends]
    return [(w, w.joints[end == "end"]) for w, (_, end) in zip(wires, ends, strict=True)]


def _seating(joints: Sequence[str], places: Sequence[str]) -> dict[int, int]:
    """Which joint goes to which place, with as few to be re-made as can be."""
    if not places:
        return {}
    work = np.array([[bool(work_for(joint, place)) for place in places] for joint in joints])
    rows, columns = linear_sum_assignment(work.astype(float))
    return {int(row): int(column) for row, column in zip(rows, columns, strict=True)}


def _not_told(untold: Sequence[str]) -> Reason:
    return Reason(
        Weight.NOTE,
        "terminal.not_told",
        say(
            "The candidate's file does not say what places its terminals have. "
            "Count them before the old part comes out: {things}.",
            things=joined("; ", untold),
        ),
    )


def torque_reasons(candidate: Candidate) -> Iterator[Reason]:
    """The torque of its lugs, which is read and never made up."""
    if "torque_source" not in candidate.kind.texts:
        return
    read = candidate.figures.get("torque_in_lb")
    source = candidate.texts.get("torque_source", mark("source not given"))
    told = (
        say(
            "Tighten its lugs with a torque tool to {read} in-lb ({source}) and write that down.",
            read=f"{read:g}",
            source=source,
        )
        if read is not None
        else mark(
            "Tighten its lugs with a torque tool to the in-lb marked on the "
            "part, and write down the figure and where it stands; where none is"
            " marked, NEC Annex I has a table. Aluminum conductors only under "
            "lugs marked for them."
        )
    )
    yield Reason(Weight.NOTE, TORQUE, told, source="NEC 110.14(D)")


def _no_place(terminal: str, wire: Wire, wires: int, places: int) -> Reason:
    return Reason(
        Weight.CHANGE,
        "terminal.places",
        say(
            "{terminal} has {places} place{places2} for {wires} wires: join the"
            " {colour} wire and another of its size to one tail with a listed "
            "connector, and put the tail there.",
            terminal=terminal,
            places=places or mark("no"),
            places2="" if places == 1 else "s",
            wires=wires,
            colour=named(wire.colour),
        ),
        has=float(places),
        needs=float(wires),
    )


def _work(terminal: str, wire: Wire, joint: str, place: str) -> Reason:
    return Reason(
        Weight.CHANGE,
        "joint.remade",
        say(
            "The {colour} wire ({awg} AWG, {joint}) at {terminal} meets a {place}: {work_for}.",
            colour=named(wire.colour),
            awg=f"{wire.awg:g}",
            joint=JOINT_WORDS[joint],
            terminal=terminal,
            place=PLACE_WORDS[place],
            work_for=work_for(joint, place),
        ),
    )
