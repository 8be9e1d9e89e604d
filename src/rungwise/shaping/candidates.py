"""What a new unit may start from: the arrangements that ship, and those that a shop keeps."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cache, cached_property

from rungwise.shaping.facts import Facts, facts_of
from rungwise.unit import ARRANGEMENTS, Unit, arrangement


@dataclass(frozen=True)
class Candidate:
    """An arrangement that a unit may start from.

    base: the shipped arrangement that a file of it names; None where the file says all itself.
    own: whether the shop keeps it.
    """

    name: str
    unit: Unit
    base: Unit | None
    own: bool = False

    @cached_property
    def facts(self) -> Facts:
        """What it answers to each question."""
        return facts_of(self.unit)

    @cached_property
    def kinds(self) -> frozenset[str]:
        """The kinds of its parts."""
        return frozenset(part.kind for part in self.unit.parts)


@cache
def shipped_candidates() -> tuple[Candidate, ...]:
    """Every arrangement that ships."""
    units = ((name, arrangement(name)) for name in ARRANGEMENTS)
    return tuple(Candidate(name, unit, unit) for name, unit in units)


def own_candidate(name: str, unit: Unit) -> Candidate:
    """An arrangement that a shop keeps under a name; its nameplate stays behind."""
    shipped = arrangement(unit.arrangement) if unit.arrangement in ARRANGEMENTS else None
    return Candidate(name, replace(unit, nameplate={}), shipped, own=True)


def having(candidates: Iterable[Candidate], question: str, answer: str) -> tuple[Candidate, ...]:
    """The candidates of which an answer is true."""
    return tuple(each for each in candidates if answer in each.facts[question])
