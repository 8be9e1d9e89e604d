"""Readings that tell the circuit as found from the circuit that its arrangement means."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from rungwise.circuit import intended
from rungwise.diagnosis import CheckCard, Expected, Outcome, expected_readings, reading_text
from rungwise.services.wording.band_words import band_text
from rungwise.unit import Unit
from rungwise.wording import say

MARGIN = 0.1
"""Of the band's middle: meter error, generously."""


@dataclass(frozen=True, slots=True)
class Witness:
    """A reading that fits the circuit as found and not the intended one.

    read: as taken. here, intended: what the two circuits make it, healthy.
    """

    card: CheckCard
    read: str
    here: str
    intended: str

    def line(self) -> str:
        """In words."""
        return say(
            "{title}: {read} fits this circuit ({here}), and not the one that its "
            "arrangement means ({intended}).",
            title=self.card.title,
            read=self.read,
            here=self.here,
            intended=self.intended,
        )


def witnesses(unit: Unit, outcomes: Iterable[Outcome]) -> tuple[Witness, ...]:
    """The readings of a call that show how the unit differs from its arrangement."""
    meant = {each.id: each for each in expected_readings(intended(unit))}
    here = {each.id: each for each in expected_readings(unit)}
    return tuple(_witnesses(outcomes, here, meant))


def _witnesses(
    outcomes: Iterable[Outcome], here: dict[str, Expected], meant: dict[str, Expected]
) -> Iterator[Witness]:
    for each in outcomes:
        name = each.card.id
        if not isinstance(each.value, float) or name not in meant or name not in here:
            continue
        if _fits(here[name], each.value) and not _fits(meant[name], each.value):
            read = reading_text(each.card, each.value)
            yield Witness(each.card, read, band_text(here[name]), band_text(meant[name]))


def _fits(expected: Expected, value: float) -> bool:
    """Whether a reading lies within the band, meter error allowed for."""
    if expected.low is None or expected.high is None or expected.typical is None:
        return True
    margin = MARGIN * abs(expected.typical) + 0.05
    return expected.low - margin <= value <= expected.high + margin
