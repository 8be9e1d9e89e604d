"""A unit told at once: what it does, what it no longer does, what is odd, what is missing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from rungwise.errors import CircuitError
from rungwise.isolation import gaps_of, point_words
from rungwise.parts import Junction, Poles, Transformer, part_of
from rungwise.shaping.behavior import Behavior, Doing, behavior_of, lost_against
from rungwise.unit import Unit
from rungwise.wording import say


@dataclass(frozen=True)
class Portrait:
    """What can be said of a unit as soon as it is drawn.

    Attributes:
        doings: what its loads do, condition by condition; empty where it cannot be solved.
        lost: what it does otherwise than the arrangement that it is held against.
        odd: what a good unit does not do.
        missing: what the drawing lacks, each with what to add.
        unsolved: why it could not be solved; "" where it could.
    """

    doings: tuple[Doing, ...]
    lost: tuple[str, ...]
    odd: tuple[str, ...]
    missing: tuple[str, ...]
    unsolved: str

    @property
    def whole(self) -> bool:
        """Whether it is solved and nothing is missing."""
        return not self.missing and not self.unsolved


def portrait_of(unit: Unit, against: Unit | None = None) -> Portrait:
    """What the unit does, held against an arrangement where one is given."""
    found = behavior_of(unit)
    lost = _lost(unit, found, against) if against is not None and not found.unsolved else ()
    missing = tuple(dict.fromkeys(_missing(unit)))
    return Portrait(found.doings, lost, found.odd, missing, found.unsolved)


def _lost(unit: Unit, found: Behavior, against: Unit) -> tuple[str, ...]:
    return lost_against(unit, found, behavior_of(against), against)


def _missing(unit: Unit) -> Iterator[str]:
    bare = [part.name for part in unit.parts if not _wired(unit, part.name)]
    for name in bare:
        yield say(
            "No wire is on the {title}: add its wires, or take it out.", title=unit.part(name).title
        )
    try:
        gaps = gaps_of(unit)
    except CircuitError as error:
        yield say("The drawing cannot be followed: {error}", error=error)
        return
    for gap in gaps:
        if {part_of(end) for end in gap.terminals} - set(bare) or not gap.terminals:
            yield f"{gap.what} Next: {gap.add}."
    yield from _dead_ends(unit, bare)


def _wired(unit: Unit, part: str) -> bool:
    return any(unit.wires_at(f"{part}.{end}") for end in unit.kind_of(part).terminals)


def _dead_ends(unit: Unit, bare: Sequence[str]) -> Iterator[str]:
    """Splices with one wire, contacts with one side bare, windings with a bare end."""
    for part, junction in unit.having(Junction):
        count = sum(len(unit.wires_at(f"{part.name}.{end}"))
                    for end in unit.kind_of(part.name).terminals)  # fmt: skip
        if junction.is_splice and count == 1:
            yield say(
                "Only one wire is on the {title}: a splice joins two or more.", title=part.title
            )
    for part, poles in unit.having(Poles):
        if unit.kind_of(part.name).is_contactor and part.name not in bare:
            yield from _one_sided(unit, part.name, poles)
    for part, wound in unit.having(Transformer):
        for end in (*wound.primary, *wound.secondary) if part.name not in bare else ():
            if not unit.wires_at(f"{part.name}.{end}"):
                yield say(
                    "No wire is on {point_words}.",
                    point_words=point_words(unit, f"{part.name}.{end}"),
                )


def _one_sided(unit: Unit, part: str, poles: Poles) -> Iterator[str]:
    """A contactor's poles with wires on one side alone."""
    for line in dict.fromkeys(line for line, _ in poles.ends):
        loads = [load for first, load in poles.ends if first == line]
        fed = bool(unit.wires_at(f"{part}.{line}"))
        feeds = [load for load in loads if unit.wires_at(f"{part}.{load}")]
        if fed != bool(feeds):
            end = f"{part}.{loads[0] if fed else line}"
            yield say("No wire is on {point_words}.", point_words=point_words(unit, end))
