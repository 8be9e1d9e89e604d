"""Facet of the customer's page: a part and its faults, for who has never opened a unit.

No name of a terminal, no value and no chance stands in these words. `{noun}` stands for what the
part is called, `{stopped}` for a half sentence that it had stopped the unit.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from enum import Enum, unique
from typing import Final

from rungwise.parts.trade import Facet
from rungwise.wording import mark


@unique
class LeaveOff(Enum):
    """What the customer leaves off while a fault is not yet fixed."""

    COOLING = "the cooling, at the thermostat"
    DOES_NOT_STOP = "the unit's breaker, since the thermostat does not stop it"
    BREAKER = "the unit's breaker, which must not be reset"
    MAIN = "the main breaker of the house"


@dataclass(frozen=True, slots=True)
class Plain:
    """A fault in plain words.

    Attributes:
        was: what was wrong, a sentence.
        then: what is done about it, to follow "to" or "we".
        off: what stays off meanwhile.
    """

    was: str
    then: str = "replace the {noun}"
    off: LeaveOff = LeaveOff.COOLING

    def __post_init__(self) -> None:
        for name in ("was", "then"):
            object.__setattr__(self, name, mark(getattr(self, name)))

    def staying_off(self, off: LeaveOff) -> Plain:
        """The same words, with something else to leave off."""
        return Plain(self.was, self.then, off)


@dataclass(frozen=True, slots=True)
class Words(Facet):
    """What a customer is told of the part, and of each of its fault modes by name.

    Attributes:
        noun: what it is called; "" where its title serves.
        purpose: what it is for, a sentence; "" where nobody needs to be told.
        modes: one for every mode of the kind, which a test holds.
        opens_by_itself: it opens by what happens around it, so that what put it right was done
            elsewhere.
    """

    noun: str = ""
    purpose: str = ""
    modes: Mapping[str, Plain] = field(default_factory=dict)
    opens_by_itself: bool = False

    def __post_init__(self) -> None:
        for name in ("noun", "purpose"):
            object.__setattr__(self, name, mark(getattr(self, name)))


def told(plain: Plain, names: Iterable[str]) -> dict[str, Plain]:
    """The same words for several modes."""
    return dict.fromkeys(names, plain)


SOMETHING: Final = Plain("Something was wrong with the {noun}.", "look further into the {noun}")
FAILED: Final = Plain("The {noun} had failed.")
SWITCHED_OFF: Final = Plain("The {noun} was switched off.", "find out why it was switched off")
