"""Failures that a reading from leg to leg hides: the reason why each leg is measured to earth."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import permutations

from rungwise.isolation.devices import Failure
from rungwise.isolation.limits import DEAD_VOLT
from rungwise.isolation.probes import Pair
from rungwise.isolation.proof_table import ProofTable
from rungwise.isolation.proving_check import ProvingCheck
from rungwise.unit.element import EARTH


@dataclass(frozen=True, slots=True)
class Trap:
    """A failure that the line-to-line reading hides.

    Between ``legs`` the meter shows ``line_to_line_volt``, as good as nothing, while they stand
    at ``to_earth_volt``.
    """

    failure: Failure
    stage: int
    legs: Pair
    line_to_line_volt: float
    to_earth_volt: tuple[float, float]


def traps(table: ProofTable, checks: Sequence[ProvingCheck]) -> tuple[Trap, ...]:
    """One trap for each one-pole failure that reads dead between the legs where it is proved."""
    by_pole = {reading.failure: check for check in checks for reading in check.live if reading.sure}
    one_pole = [failure for failure in by_pole if not failure.whole]
    found: dict[Failure, Trap] = {}
    for failure, other in permutations(one_pole, 2):
        here, there = by_pole[failure], by_pole[other]
        apart = here.pair != there.pair
        together = apart and (here.stage, here.place) == (there.stage, there.place)
        if failure.device == other.device and together and failure not in found:
            trap = _trap(table, failure, here.stage, (here.pair[0], there.pair[0]))
            if trap.line_to_line_volt < DEAD_VOLT:
                found[failure] = trap
    return tuple(found.values())


def _trap(table: ProofTable, failure: Failure, stage: int, legs: Pair) -> Trap:
    opened = table.opened_sets[stage - 1]
    first, second = (table.reading(opened, failure, (leg, EARTH)) for leg in legs)
    return Trap(failure, stage, legs, table.reading(opened, failure, legs), (first, second))
