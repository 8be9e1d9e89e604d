"""Where the leads of a check go, as terminals that the diagram can mark."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from rungwise.diagnosis import Check, checks_of
from rungwise.errors import BadInput
from rungwise.parts import EARTH
from rungwise.services import RESULTS, unit_from_text
from rungwise.unit import Unit
from rungwise.wording import mark

EARTH_METAL: str = mark("bare metal (ground)")


@dataclass(frozen=True)
class Leads:
    """red, black: terminals, or `EARTH_METAL`, or "" where there is no such lead.

    jaw: the wire that the clamp goes around, or "". off: terminals whose wires come off first.
    """

    red: str = ""
    black: str = ""
    jaw: str = ""
    off: tuple[str, ...] = ()

    @property
    def on_terminals(self) -> dict[Literal["red", "black"], str]:
        """The leads that sit on a terminal of the unit, by colour."""
        both: dict[Literal["red", "black"], str] = {"red": self.red, "black": self.black}
        return {colour: end for colour, end in both.items() if end and end != EARTH_METAL}


NONE = Leads()


@RESULTS.shelf("checks").per_unit
def checks_held(unit: Unit) -> dict[str, Check]:
    """The checks of a unit by id."""
    return {check.card.id: check for check in checks_of(unit)}


def titles_in(unit_text: str) -> dict[str, str]:
    """The titles of the checks of a unit file's text, by id; none where it cannot be used."""
    try:
        unit = unit_from_text(unit_text) if unit_text else None
    except BadInput:
        unit = None
    return {key: each.card.title for key, each in checks_held(unit).items()} if unit else {}


def leads_of(unit: Unit, check: str) -> Leads:
    """Where the leads of a check go; none of them for a look, or a check the unit lacks."""
    found = checks_held(unit).get(check)
    return _leads(found) if found else NONE


def _leads(check: Check) -> Leads:
    card = check.card
    return Leads(_end(card.red), _end(card.black), card.jaw, check.off)


def _end(node: str) -> str:
    return EARTH_METAL if node == EARTH else node
