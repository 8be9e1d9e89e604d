"""A unit with a hidden fault for an apprentice to work on, read as a meter would read it.

Nothing is powered and nothing can be hurt: every reading comes from the solved circuit of one
drawn specimen, with the error of the meter that the check asks for.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np

from rungwise.diagnosis import Bench, Check
from rungwise.evaluation.sources import EngineSource
from rungwise.evaluation.technician import Technician
from rungwise.evaluation.truth import Truth, draw_truth
from rungwise.faults import WHOLE, Suspect, SuspectSet
from rungwise.unit import Unit
from rungwise.wording import mark

LevelName = Literal["plain", "any", "deep"]

TRIPPED = 0.5
"""A fuse's or an overload's state above this is open."""


@dataclass(frozen=True, slots=True)
class Level:
    """How hard a practice call is. told: what may be wrong, in a sentence's words."""

    name: LevelName
    title: str
    told: str


LEVELS = (
    Level("plain", mark("One part"), mark("one part has failed; every wire is good")),
    Level("any", mark("As it comes"), mark("any fault, as often as calls bring it")),
    Level(
        "deep",
        mark("Behind it"),
        mark("a wire, wires on wrong terminals, or a fault that made a second"),
    ),
)
"""Easiest first."""


def draw_fault(suspects: SuspectSet, level: LevelName, seed: int) -> str:
    """Id of one of a level's suspects, drawn by weight; never one that is outside the circuit."""
    fitting = [each for each in suspects if _fits(suspects.unit, each, level)]
    weight = np.array([each.weight for each in fitting])
    rng = np.random.default_rng([seed, 0])
    return fitting[int(rng.choice(len(fitting), p=weight / weight.sum()))].id


def _fits(unit: Unit, suspect: Suspect, level: LevelName) -> bool:
    if suspect.block == WHOLE:
        return False
    parts = {part.name for part in unit.parts}
    plain = suspect.block in parts and suspect.mode != "swapped" and not suspect.effect
    return level == "any" or plain == (level == "plain")


@dataclass(frozen=True, slots=True)
class Judged:
    """What came of naming a part and the cause behind it.

    kind: "whole" when all that is at fault is named; "part" when what is named is open or broken,
    and something behind it or beside it is not named; "wrong" when something good is named.
    wrong: the blocks named that have nothing.
    """

    kind: Literal["whole", "part", "wrong"]
    wrong: tuple[str, ...] = ()


class HiddenUnit:
    """A specimen of a unit with a fault. The same unit, fault and seed give the same readings.

    checks: of the unit, by id. Raises UnknownName for a fault that the unit cannot have.
    """

    def __init__(self, unit: Unit, fault: str, seed: int, checks: Mapping[str, Check]) -> None:
        suspects = SuspectSet(unit)
        rng = np.random.default_rng([seed, 1])
        self.unit = unit
        self.truth: Truth = draw_truth(suspects, rng, suspects.suspect(fault))
        self._bench = Bench(
            self.truth.plan, self.truth.values, 1, np.array([float(self.truth.still_hot)])
        )
        self._technician = Technician(
            self._bench, self.truth.suspect, checks, EngineSource(self._bench), seed
        )

    def take(self, check: str, time: int = 0) -> float | str:
        """What the meter shows or the eye sees: a number of the check's unit (inf: OL), a choice.

        time: how often it was taken before. Raises KeyError for a check that the unit lacks.
        """
        return self._technician.take(check, time)

    def followed(self) -> frozenset[str]:
        """Fuses, overloads and pressure switches that the fault opens, by the circuit itself."""
        states = self._bench.calling.batch.states
        return frozenset(
            block
            for block, rule in self.truth.plan.rules
            if rule.opens != "never" and float(np.max(states[(block, rule.state)])) > TRIPPED
        )

    def judge(self, *named: str) -> Judged:
        """Whether the blocks that are named, part and cause, are what is at fault.

        Where two conductors touch, either names the fault; so does each wire on a wrong terminal.
        """
        given = set(named) - {""}
        first, second = self._first(), self.truth.faulty_blocks - self._first()
        followed = self.followed() - first
        wrong = given - first - second - followed
        if wrong or not given:
            return Judged("wrong", tuple(sorted(wrong)))
        found = bool(given & first) and (not self._made_second or bool(given & second))
        return Judged("whole" if found else "part")

    @property
    def _made_second(self) -> bool:
        return bool(self.truth.suspect.effect)

    def _first(self) -> frozenset[str]:
        """The blocks that name the first fault."""
        block = self.truth.suspect.block
        own = {block, *self.truth.suspect.blocks}
        return frozenset(own if self._made_second else own | self.truth.faulty_blocks)
