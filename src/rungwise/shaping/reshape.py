"""Shaping an arrangement: each answer that it gives otherwise is brought about by one change.

What a change needs is taken from another arrangement that has it, so a part comes with its own
wires. After all changes the unit is asked the same questions again: one that does not answer as
the person did is never handed on.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from rungwise.parts import KINDS, Coil, Control, Heater, PartKind, Timer, part_of, terminal_of
from rungwise.shaping.candidates import Candidate, having
from rungwise.shaping.edits import (
    grafted,
    put_in_series,
    taken_out,
    way_through,
    with_kind,
    without_part,
)
from rungwise.shaping.facts import (
    delays_of,
    facts_of,
    heater_branch,
    main_poles,
    start_kit_of,
)
from rungwise.unit import Part, Unit, Wire
from rungwise.wording import joined, mark, say


@dataclass(frozen=True, slots=True)
class Change:
    """What was done to an arrangement, in a sentence."""

    words: str


Shaped = tuple[Unit, tuple[Change, ...]]


def reshaped(candidate: Candidate, told: Mapping[str, str], every: Sequence[Candidate]) -> Shaped:
    """The candidate's unit, brought to answer as told.

    Raises LookupError where it cannot be brought to it.
    """
    unit, changes = candidate.unit, []
    for question, shape in _SHAPES.items():
        wanted = told.get(question)
        if wanted is not None and wanted not in facts_of(unit)[question]:
            unit, change = shape(unit, wanted, every)
            changes.append(change)
    facts = facts_of(unit)
    missed = [key for key, answer in told.items() if answer not in facts[key]]
    if missed:
        raise LookupError(say("it still answers otherwise: {join}", join=joined(", ", missed)))
    return unit, tuple(changes)


def _poles(unit: Unit, wanted: str, every: Sequence[Candidate]) -> tuple[Unit, Change]:
    """Another contactor in the same place, on the same wires."""
    del every  # a contactor of another make needs no other unit
    if "3" in {wanted, *facts_of(unit)["poles"]}:
        raise LookupError(mark("three phases are another unit, not another contactor"))
    main = unit.roles.main_contactor
    if not main:
        raise LookupError(mark("it has no contactor"))
    wired = set(_wired(unit, main))
    kinds = [
        kind
        for kind in KINDS.values()
        if kind.is_contactor
        and str(len(main_poles(kind))) == wanted
        and wired <= set(kind.terminals)
    ]
    if not kinds:
        raise LookupError(say("no contactor with {wanted} poles has its terminals", wanted=wanted))
    kind = min(kinds, key=lambda each: len(each.terminals))
    words = say("The {title} is a {title2}.", title=unit.part(main).title, title2=kind.title)
    return with_kind(unit, main, kind.name), Change(words)


def _wired(unit: Unit, part: str) -> Iterator[str]:
    """The terminals of a part on which wires are."""
    for end in KINDS[unit.part(part).kind].terminals:
        if unit.wires_at(f"{part}.{end}"):
            yield end


def _heater(unit: Unit, wanted: str, every: Sequence[Candidate]) -> tuple[Unit, Change]:
    """The heater out, with its thermostat; then wired as another arrangement has it."""
    held = [unit.part(name) for name in unit.roles.heaters]
    for heater in held:
        for name in heater_branch(unit, heater.name):
            unit = taken_out(unit, name)
    if wanted == "none":
        return unit, Change(mark("The crankcase heater is taken out."))
    if wanted in ("line", "load"):
        return _heater_straight(unit, wanted, held, every)
    donor = _donor(every, "heater", wanted, main_poles(_contactor_kind(unit)))
    names = heater_branch(donor, donor.roles.heaters[0])
    where = {donor.roles.main_contactor: unit.roles.main_contactor}
    fitted = _with_terminals(unit, donor, names)
    made = grafted(fitted, donor, names, where)
    return made, Change(say("The crankcase heater is wired {HEATER}.", HEATER=_HEATER[wanted]))


_HEATER = {
    "pole": mark("across the open pole"),
    "line_stat": mark("across the line with its thermostat"),
    "line": mark("across the line, always on"),
    "aux": mark("through an auxiliary contact"),
    "load": mark("on the load side"),
}


def _heater_straight(
    unit: Unit, side: str, held: Sequence[Part], every: Sequence[Candidate]
) -> tuple[Unit, Change]:
    """Both leads of a heater on one side of the contactor, as no arrangement may have it."""
    donor = next((each.unit for each in every if each.unit.roles.heaters), None)
    if donor is None and not held:
        raise LookupError(mark("no arrangement has a heater"))
    name = donor.roles.heaters[0] if donor is not None else held[0].name
    part = held[0] if held else donor.part(name) if donor is not None else held[0]
    main, kind = unit.roles.main_contactor, _contactor_kind(unit)
    ends = _both_of_a_side(kind, side)
    facet = KINDS[part.kind].facet(Heater)
    if facet is None:
        raise LookupError(mark("no heater"))
    wires = [
        Wire(f"heater_{number}", f"{main}.{at}", f"{part.name}.{end}", "orange", 16, 1.2,
             ("push-on", "splice"), "heater")
        for number, (at, end) in enumerate(zip(ends, facet.ends, strict=True), start=1)
    ]  # fmt: skip
    whole = replace(unit, parts=(*unit.parts, part), wires=(*unit.wires, *wires))
    return whole, Change(say("The crankcase heater is wired {HEATER}.", HEATER=_HEATER[side]))


def _both_of_a_side(kind: PartKind, side: str) -> tuple[str, str]:
    """The terminals of two legs on the line or load side of a contactor, bar included."""
    ends = [(pole.line, pole.load) for pole in main_poles(kind)]
    found = [each[side == "load"] for each in ends]
    if len(found) < 2:  # the other leg passes by a solid bar
        found += [each for each in kind.terminals if each[0] == found[0][0] and each != found[0]]
    if len(found) < 2:
        raise LookupError(mark("the contactor has one leg only"))
    return found[0], found[1]


def _contactor_kind(unit: Unit) -> PartKind:
    main = unit.roles.main_contactor
    if not main:
        raise LookupError(mark("it has no contactor"))
    return unit.kind_of(main)


def _with_terminals(unit: Unit, donor: Unit, names: Sequence[str]) -> Unit:
    """The unit, with the donor's contactor where its own lacks a terminal of the donor's wires."""
    main, theirs = unit.roles.main_contactor, donor.roles.main_contactor
    asked = {
        terminal_of(end)
        for wire in donor.wires
        if {part_of(wire.start), part_of(wire.end)} & set(names)
        for end in (wire.start, wire.end)
        if part_of(end) == theirs
    }
    own = set(unit.kind_of(main).terminals)
    if asked <= own:
        return unit
    if len(main_poles(donor.kind_of(theirs))) != len(main_poles(unit.kind_of(main))):
        raise LookupError(mark("the contactors have not the same poles"))
    if not set(_wired(unit, main)) <= set(donor.kind_of(theirs).terminals):
        raise LookupError(mark("the other contactor lacks terminals"))
    swapped = with_kind(unit, main, donor.part(theirs).kind)
    # What feeds the auxiliary contact on its own part goes along.
    inner = [w for w in donor.wires if part_of(w.start) == part_of(w.end) == theirs]
    ends = [[f"{main}.{terminal_of(end)}" for end in (w.start, w.end)] for w in inner]
    renamed = [replace(w, start=a, end=b) for w, (a, b) in zip(inner, ends, strict=True)]
    return replace(swapped, wires=(*swapped.wires, *renamed))


def _donor(
    every: Sequence[Candidate], question: str, answer: str, poles: Sequence[object] = ()
) -> Unit:
    """A unit of which an answer is true, rather one with as many poles."""
    found = having(every, question, answer)
    if not found:
        raise LookupError(say("no arrangement answers {question} so", question=question))
    return min(
        (each.unit for each in found),
        key=lambda unit: abs(len(main_poles(_contactor_kind(unit))) - len(poles)) if poles else 0,
    )


def _kit(unit: Unit, wanted: str, every: Sequence[Candidate]) -> tuple[Unit, Change]:
    """The start kit out, then in as another arrangement has it."""
    for name in start_kit_of(unit):
        unit = taken_out(unit, name)
    if wanted == "none":
        return unit, Change(mark("The start kit is taken out."))
    donor = _donor(every, "kit", wanted)
    where = dict(_stands_for(unit, donor))
    made = grafted(unit, donor, start_kit_of(donor), where)
    return made, Change(mark("A start kit is added."))


def _stands_for(unit: Unit, donor: Unit) -> Iterator[tuple[str, str]]:
    """For the donor's contactor, compressor and its capacitor those of the unit."""
    yield donor.roles.main_contactor, unit.roles.main_contactor
    for theirs, own in zip(donor.roles.compressors, unit.roles.compressors, strict=False):
        yield theirs, own
        there, here = (
            [
                each.capacitor
                for each in other.roles.sections_serving(motor)
                if each.section.purpose == "run"
            ]
            for other, motor in ((donor, theirs), (unit, own))
        )
        yield from zip(there[:1], here[:1], strict=False)


def _pressure(unit: Unit, wanted: str, every: Sequence[Candidate]) -> tuple[Unit, Change]:
    """High and low switches in series with the coil: out, or in where they are told."""
    want = {"both": {"high", "low"}, "none": set[str]()}.get(wanted, {wanted})
    told = []
    for side in ("high", "low"):
        held = unit.roles.opening_on(f"{side} pressure")
        if side not in want:
            for name in held:
                unit = without_part(unit, name)
            told += [say("no {side}-pressure switch", side=side)] if held else []
        elif not held:
            unit = _in_series(unit, _switch(every, f"{side} pressure"), before_delay=True)
            told.append(say("a {side}-pressure switch", side=side))
    brief = ", ".join(told)
    return unit, Change(say("In the control wiring now: {brief}.", brief=brief))


def _switch(every: Sequence[Candidate], what: str) -> Part:
    units = [each.unit for each in every if each.unit.roles.opening_on(what)]
    if not units:
        raise LookupError(say("no arrangement has a switch for {what}", what=what))
    return units[0].part(units[0].roles.opening_on(what)[0])


def _board(unit: Unit, wanted: str, every: Sequence[Candidate]) -> tuple[Unit, Change]:
    """The time delay out, or in ahead of the coil; another board is never guessed."""
    if wanted == "other" or "other" in facts_of(unit)["board"]:
        raise LookupError(mark("a board is not put in or taken out by itself"))
    if wanted == "none":
        for name in delays_of(unit):
            unit = without_part(unit, name)
        return unit, Change(mark("The time delay is taken out."))
    donor = _donor(every, "board", "delay")
    part = donor.part(delays_of(donor)[0])
    grown = _in_series(unit, part, before_delay=False)
    return _with_common(grown, part, donor), Change(mark("A time delay is added."))


def _with_common(unit: Unit, part: Part, donor: Unit) -> Unit:
    """A delay's own supply: its common on the other end of the coil."""
    timer = KINDS[part.kind].facet(Timer)
    if timer is None or not timer.common:
        return unit
    like = donor.wires_at(f"{part.name}.{timer.common}")[0][0]
    _, other = _coil_ends(unit)
    wire = Wire(f"{part.name}_c", other, f"{part.name}.{timer.common}", like.colour, like.awg,
                like.length_m, like.joints, like.carries)  # fmt: skip
    return replace(unit, wires=(*unit.wires, wire))


def _in_series(unit: Unit, part: Part, *, before_delay: bool) -> Unit:
    """A part in the wire that brings the demand to the main contactor's coil."""
    if part.name in unit.part_by_name:
        raise LookupError(say("there is a part called {name} already", name=part.name))
    ends = way_through(part.kind)
    if ends is None:
        raise LookupError(mark("it has no way through"))
    at, _ = _coil_ends(unit)
    for name in delays_of(unit) if before_delay else ():
        held = unit.kind_of(name).facet(Timer)
        if held is not None and at in unit.wired_together(f"{name}.{held.signal_out}"):
            at = f"{name}.{held.signal_in}"
    return put_in_series(unit, at, part, ends)


def _coil_ends(unit: Unit) -> tuple[str, str]:
    """The coil's end that a demand is brought to, and the other.

    Found by following wires and what is in series from what asks the unit to run.
    """
    main = unit.roles.main_contactor
    coil = unit.kind_of(main).facet(Coil) if main else None
    if coil is None:
        raise LookupError(mark("it has no coil to put it before"))
    one, other = (f"{main}.{end}" for end in coil.ends)
    reached = _asked(unit, stop={one, other})
    if (one in reached) == (other in reached):
        raise LookupError(mark("no demand reaches just one end of its coil"))
    return (one, other) if one in reached else (other, one)


def _asked(unit: Unit, stop: set[str]) -> set[str]:
    """Every terminal that a demand reaches over wires, switches in series and delays."""
    ways = [
        (f"{part.name}.{way[0]}", f"{part.name}.{way[1]}")
        for part in unit.parts
        if (way := way_through(part.kind)) is not None
    ]
    asks = [
        f"{part.name}.{end}"
        for part, control in unit.having(Control)
        for name, demand in control.demands.items()
        if name not in ("off", "fan")
        for end in demand.energizes
    ]
    found: set[str] = set()
    waiting = [net for end in asks for net in unit.wired_together(end)]
    while waiting:
        end = waiting.pop()
        if end in found:
            continue
        found.add(end)
        if end not in stop:
            beside = [b if end == a else a for a, b in ways if end in (a, b)]
            waiting += [net for each in beside for net in unit.wired_together(each)]
    return found


_SHAPES: Mapping[str, Callable[[Unit, str, Sequence[Candidate]], tuple[Unit, Change]]] = {
    "kit": _kit, "board": _board, "pressure": _pressure, "heater": _heater, "poles": _poles,
}  # fmt: skip
"""In this order: what hangs on the contactor is moved before it is another one."""
