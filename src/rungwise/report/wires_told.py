"""The wires as they were left, line by line, with what each wrong one does."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from rungwise.diagnosis import sentence
from rungwise.parts import Caution
from rungwise.rewiring import Consequence, Judged, LeftCheck, rewired, with_new_part
from rungwise.services import RewireAnswer, crowded_text, moved_words
from rungwise.unit import Unit
from rungwise.wording import joined, mark, say

SHOWN = 5
"""Consequences told of one group of wires."""

ALL_RIGHT = "Solved with the wires as left, the unit does all it should, in every situation."
NOT_RIGHT = "Do not power up. Fix this first. Solved so, this is what it does:"


def wires_told(answer: RewireAnswer) -> tuple[str, ...]:
    """What the solved circuit says of the wires as left; nothing where only the moves are known."""
    left = answer.found.left
    return tuple(_told(answer, left)) if left is not None else ()


def moved_wires(answer: RewireAnswer) -> frozenset[str]:
    """The wires that are elsewhere than meant."""
    left = answer.found.left
    return (
        frozenset(name for each in left.groups for name in each.group.left) if left else frozenset()
    )


def unit_as_left(answer: RewireAnswer) -> Unit:
    """The unit with its new part, and every wire where it was left; wires added are not in it."""
    found = answer.found
    unit, record = found.unit, found.record
    if record.new is not None:
        unit = with_new_part(unit, record.part, record.new)
    wiring = {
        name: ends
        for each in (found.left.groups if found.left else ())
        for name, ends in each.group.left.items()
        if name in unit.wire_by_name
    }
    return replace(rewired(unit, wiring), name=unit.name)


def _told(answer: RewireAnswer, left: LeftCheck) -> Iterator[str]:
    yield ALL_RIGHT if left.passes else NOT_RIGHT
    for crowd in answer.found.crowded:
        yield sentence(crowded_text(answer.found.unit, crowd))
    for judged in left.groups:
        yield sentence(joined(": ", (_where(answer, judged), mark(judged.status))))
        if judged.status == "wrong":
            yield from _consequences(answer, judged.does)
        elif judged.why:
            yield sentence(judged.why)
        if judged.live:
            text = say(
                "with the thermostat off these stay live now: {ends}.",
                ends=joined(", ", map(answer.found.unit.end_words, judged.live)),
            )
            yield str(Caution("WARNING", text))
        if judged.label:
            yield say("In the door: {label}", label=judged.label)
    if left.part:
        text = mark("the new part itself, with every wire where it belongs:")
        yield str(Caution("NOTICE", text))
        yield from _consequences(answer, left.part)


def _consequences(answer: RewireAnswer, does: tuple[Consequence, ...]) -> Iterator[str]:
    for each in does[:SHOWN]:
        told = answer.situations[each.situations[0]].clause
        more = len(each.situations) - 1
        if more:
            told = say("{told}, and in {more} more situations", told=told, more=more)
        yield sentence(joined(": ", (told, each.text)))


def _where(answer: RewireAnswer, judged: Judged) -> str:
    unit = answer.found.unit
    return joined("; ", (moved_words(unit, *each) for each in judged.group.moves()))
