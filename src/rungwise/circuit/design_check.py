"""Whether a unit as found does all that its arrangement means it to do, and what is in the way.

A repair can leave a unit that cools and has lost something without a word: a two-pole contactor
in place of a one-pole takes the crankcase heater's way through the windings and the bar.  Both
circuits are solved; each difference is then undone alone, to see which one brings the load back.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from rungwise.circuit.netlist import Plan
from rungwise.circuit.states_of_loads import LoadState, usual_states
from rungwise.parts import Does
from rungwise.unit import Part, Unit, Wire, arrangement
from rungwise.wording import say


@dataclass(frozen=True, slots=True)
class Shortfall:
    """A load that does not do what the arrangement means it to.

    found, intended: the load in the two circuits, in the same condition. remedies: each change
    back that alone brings the load back; empty if none does alone.
    """

    found: LoadState
    intended: LoadState
    remedies: tuple[str, ...]

    def line(self) -> str:
        """In words, with both figures from the solutions."""
        found, meant = self.found, self.intended
        told = (
            f"In {found.condition} the {found.title} {found.does.words} ({found.watt:.0f} W); "
            f"the arrangement means that it {meant.does.words} ({meant.watt:.0f} W)."
        )
        back = f" With {self.remedies[0]} it {meant.does.words} again." if self.remedies else ""
        return f"{told}{back}"


@dataclass(frozen=True, slots=True)
class _Difference:
    """One thing in which the unit differs from its arrangement: the way back, and the unit then."""

    text: str
    undone: Unit


def shortfalls(unit: Unit) -> tuple[Shortfall, ...]:
    """Where the healthy unit as found does not do what its arrangement does.

    Loads are compared by part name in each of `load_states.CONDITIONS`; a load that only one of the
    two circuits has is not compared, and one that falls short in the same way in several
    conditions is told once.  No arrangement, or nothing that differs: no shortfall.
    """
    if not unit.arrangement:
        return ()
    meant = intended(unit)
    differences = tuple(_differences(unit, meant))
    if not differences:
        return ()
    wanted = {(each.condition, each.part): each for each in usual_states(Plan(meant))}
    short: dict[tuple[str, Does, Does], tuple[LoadState, LoadState]] = {}
    for state in usual_states(Plan(unit)):
        other = wanted.get((state.condition, state.part))
        if other is not None and other.does != state.does:
            short.setdefault((state.part, state.does, other.does), (state, other))
    if not short:
        return ()
    tried = [(each.text, usual_states(Plan(each.undone))) for each in differences]
    return tuple(_shortfall(state, other, tried) for state, other in short.values())


def intended(unit: Unit) -> Unit:
    """The unit's arrangement as it ships, with the unit's own values where the kinds agree."""
    base = arrangement(unit.arrangement)
    parts = tuple(_with_values(part, unit) for part in base.parts)
    return replace(base, name=unit.name, hz=unit.hz, parts=parts)


def _with_values(part: Part, unit: Unit) -> Part:
    own = unit.part_by_name.get(part.name)
    return replace(part, values=own.values) if own and own.kind == part.kind else part


def _shortfall(
    found: LoadState, meant: LoadState, tried: list[tuple[str, tuple[LoadState, ...]]]
) -> Shortfall:
    back = tuple(
        text
        for text, states in tried
        if any(
            (each.condition, each.part, each.does) == (meant.condition, meant.part, meant.does)
            for each in states
        )
    )
    return Shortfall(found, meant, back)


def _differences(unit: Unit, meant: Unit) -> Iterator[_Difference]:
    for part in meant.parts:
        own = unit.part_by_name.get(part.name)
        if own is not None and own.kind != part.kind:
            text = say(
                "a {new} in place of the {old}",
                new=_kind_title(meant, part),
                old=_kind_title(unit, own),
            )
            parts = tuple(part if each.name == part.name else each for each in unit.parts)
            yield from _if_whole(text, replace(unit, parts=parts))
    for wire in meant.wires:
        yield from _wire_difference(unit, meant, wire)
    for wire in unit.wires:
        if wire.name not in meant.wire_by_name:
            yield from _if_whole(
                say("the {wire} taken out", wire=unit.wire_title(wire)), _without(unit, wire)
            )


def _wire_difference(unit: Unit, meant: Unit, wire: Wire) -> Iterator[_Difference]:
    own = unit.wire_by_name.get(wire.name)
    if own is None:
        text = say("the {wire} put back", wire=meant.wire_title(wire))
        yield from _if_whole(text, replace(unit, wires=(*unit.wires, wire)))
    elif {own.start, own.end} != {wire.start, wire.end}:
        wires = tuple(wire if each is own else each for each in unit.wires)
        text = say(
            "the {wire} moved to {start} and {end}",
            wire=unit.wire_title(own),
            start=meant.end_words(wire.start),
            end=meant.end_words(wire.end),
        )
        yield from _if_whole(text, replace(unit, wires=wires))


def _without(unit: Unit, wire: Wire) -> Unit:
    """The unit without a wire; cables go with it, for they are about nothing but ghosts."""
    rest = tuple(each for each in unit.wires if each is not wire)
    return replace(unit, wires=rest, cables=())


def _if_whole(text: str, undone: Unit) -> Iterator[_Difference]:
    """The difference, unless undoing it alone leaves a wire without its terminal."""
    terminals = set(undone.terminals())
    if all(wire.start in terminals and wire.end in terminals for wire in undone.wires):
        yield _Difference(text, undone)


def _kind_title(unit: Unit, part: Part) -> str:
    return unit.kind_of(part.name).title
