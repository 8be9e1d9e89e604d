"""A check as it is asked of a person: where the leads go, in which state, what may be answered."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from rungwise.diagnosis import DEAD, LOOKING, CheckCard
from rungwise.unit import Unit
from rungwise.web.leads import leads_of
from rungwise.web.schemas import CautionLine
from rungwise.web.shown import Shown
from rungwise.web.spots import mark_at, part_at, wire_words, wires_at
from rungwise.wording import mark

OF_WIRES = ("look:joints", "look:rubbed")
"""Looks whose answers are wires, or parts beside them."""

UNITS = {
    "Ω": ("Ω", "kΩ", "MΩ"),
    "MΩ": ("MΩ", "GΩ", "kΩ", "Ω"),
    "V": ("V", "mV"),
    "A": ("A", "mA"),
    "µF": ("µF",),
}
"""The units that a meter may show where the first of them is asked."""


class Choice(Shown):
    """One answer to a look. label: what a person calls it."""

    value: str
    label: str


class LeadLine(Shown):
    """Where both leads go. red, black: terminals, or bare metal.

    *_mark: what is marked there, or "splice"; *_part: what they sit on; *_wires: those in a joint.
    """

    red: str = ""
    red_mark: str = ""
    red_part: str = ""
    red_wires: str = ""
    black: str = ""
    black_mark: str = ""
    black_part: str = ""
    black_wires: str = ""
    jaw: str = Field("", description="the wire that the clamp goes around")
    off: list[str] = Field([], description="terminals whose wires come off first")


class Ask(Shown):
    """One check, told to whoever makes it."""

    id: str
    title: str
    unit: str
    units: list[str]
    choices: list[Choice]
    instrument: str
    live: bool
    state: Literal["unit live", "unit dead", "nothing touched"]
    condition: str
    leads: LeadLine | None
    needs: list[str]
    cautions: list[CautionLine]
    minutes: float


def ask_of(unit: Unit, card: CheckCard) -> Ask:
    """The check of a card, with its terminals and wires called by their names."""
    return Ask(
        id=card.id,
        title=card.title,
        unit=card.unit,
        units=list(UNITS.get(card.unit, (card.unit,))),
        choices=choices_of(unit, card),
        instrument=mark(card.instrument),
        live=card.live,
        state=_state(card),
        condition=card.condition,
        leads=_leads(unit, card),
        needs=list(card.needs),
        cautions=list(card.cautions),
        minutes=card.minutes,
    )


SAID = {
    "calls": mark("it calls"),
    "clear": mark("all clear"),
    "it sits": mark("it is"),
    "stands": mark("stopped"),
    "look:board_light on": mark("it is on"),
    "look:board_light off": mark("it is off"),
    "look:by_hand stuck": mark("stuck or stiff"),
    "look:joints none": mark("none of them"),
    "look:line cold": mark("cold to the touch"),
    "look:line hot": mark("hot to the touch"),
    "look:rod clean": mark("clean, whole"),
    "look:screen on": mark("it is on"),
    "look:water dry": mark("the pan is dry"),
    "look:water water": mark("water in it"),
}
"""Answers that their keys say otherwise than they are kept: a word that means another thing
elsewhere, or one that does not answer this question in every language."""


def choices_of(unit: Unit, card: CheckCard) -> list[Choice]:
    """The answers to a look; wires by colour and ends and parts by title, not as in the file."""
    labels: dict[str, str] = {}
    if card.quantity in OF_WIRES:
        labels |= {name: wire_words(unit, wire) for name, wire in unit.wire_by_name.items()}
        labels |= {part.name: part.title for part in unit.parts}
    return [
        Choice(value=each, label=labels.get(each) or _said(card.quantity, each))
        for each in card.choices
    ]


def _said(quantity: str, answer: str) -> str:
    return SAID.get(f"{quantity} {answer}") or SAID.get(answer) or mark(answer)


def _state(card: CheckCard) -> Literal["unit live", "unit dead", "nothing touched"]:
    if card.condition == LOOKING:
        return "nothing touched"
    return "unit dead" if card.condition == DEAD else "unit live"


def _leads(unit: Unit, card: CheckCard) -> LeadLine | None:
    found = leads_of(unit, card.id)
    if not (found.red or found.jaw):
        return None
    return LeadLine(
        red=found.red,
        red_mark=mark_at(unit, found.red),
        red_part=part_at(unit, found.red),
        red_wires=wires_at(unit, found.red),
        black=found.black,
        black_mark=mark_at(unit, found.black),
        black_part=part_at(unit, found.black),
        black_wires=wires_at(unit, found.black),
        jaw=wire_words(unit, unit.wire_by_name[found.jaw]) if found.jaw else "",
        off=list(found.off),
    )
