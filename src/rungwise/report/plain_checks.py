"""What was checked, subject by subject, for whoever pays: how it stands, and no figure of a meter.

Every row comes from the levels of readings and figures, as the proof's limits and the solved unit
give them. The readings themselves stand in the technician's record.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from rungwise.diagnosis import CheckCard
from rungwise.parts import (
    CONTROL_SIGNALS,
    EARTH,
    Capacitor,
    ElectronicMotor,
    Heater,
    Motor,
    part_of,
)
from rungwise.report.content import Measured
from rungwise.report.good_bands import GoodBands
from rungwise.report.worked import Worked
from rungwise.services import RepairProof
from rungwise.unit import Unit
from rungwise.wording import joined, mark

Grade = Literal["good", "watch", "again", "not"]
GRADES: tuple[Grade, ...] = ("good", "watch", "again", "not")
"""From the best to the worst; a subject stands as its worst reading does."""

OF_LEVEL: Mapping[str, Grade] = {
    "good": "good", "caution": "watch", "again": "again", "refuse": "not",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Subject:
    """One row. good, watch, bad: what stands in it. unread: how it is called where not read.

    then: what comes next where it is bad, to follow "we". seen: stands in place of `good` where
    eyes and ears are all that it rests on.
    """

    title: str
    good: str
    watch: str
    bad: str
    unread: str
    then: str
    seen: str = ""

    def __post_init__(self) -> None:
        for name in ("title", "good", "watch", "bad", "unread", "then", "seen"):
            object.__setattr__(self, name, mark(getattr(self, name)))


SUBJECTS: Mapping[str, Subject] = {
    "compressor": Subject(
        "Compressor", "runs, within its nameplate", "runs, at the edge of its nameplate",
        "does not run as it should", "how the compressor runs",
        "find why the compressor does not run as it should", "was seen to run"),
    "fan": Subject(
        "Outdoor fan", "turns, within its nameplate", "turns, at the edge of its nameplate",
        "does not turn as it should", "how the outdoor fan runs",
        "find why the outdoor fan does not turn as it should", "was seen to turn"),
    "blower": Subject(
        "Indoor blower", "turns as it should", "turns, not quite as it should",
        "does not turn as it should", "how the indoor blower runs",
        "find why the indoor blower does not turn as it should", "was seen to turn"),
    "stop": Subject(
        "Stops by the thermostat", "yes", "yes", "no",
        "whether the thermostat stops it", "find why it does not stop"),
    "supply": Subject(
        "Power at the unit", "within the unit's range", "at the edge of the unit's range",
        "outside the unit's range",
        "the power at the unit",
        "find why the power is not right, with the electric utility if need be"),
    "capacitor": Subject(
        "Capacitor", "within the limit marked on it", "weaker than marked; it still works",
        "outside its limit", "the strength of the capacitor", "replace the capacitor"),
    "contactor": Subject(
        "Contactor, the main switch", "good", "worn; it still works",
        "worn out", "the contacts of the contactor", "replace the contactor"),
    "control": Subject(
        "Control circuit", "good", "works, not quite as it should", "not as it should be",
        "the control circuit", "find what is wrong in the control circuit"),
    "wiring": Subject(
        "Wires and connections", "good", "one is worth another look", "one is not as it should be",
        "the wires and connections at work", "make the connection again"),
    "heater": Subject(
        "Compressor's heater", "works", "works, not quite as it should", "does not work",
        "the compressor's heater", "replace the compressor's heater"),
    "insulation": Subject(
        "Insulation of the motors", "good", "lower than usual; we measure it again next time",
        "too low", "the insulation of the motors", "talk with you about the motor"),
    "refrigerant": Subject(
        "Refrigerant", "as it should be", "worth another look", "not as it should be",
        "the refrigerant", "bring the refrigerant to the right amount"),
    "air": Subject(
        "Cooling of the air", "good", "worth another look", "not as it should be",
        "how far the air is cooled", "find what holds the cooling back"),
}  # fmt: skip

FIGURES: Mapping[str, str] = {
    **dict.fromkeys(("supply", "sag", "unbalance"), "supply"),
    **dict.fromkeys(("coil sealed", "coil at the start"), "control"),
    "compressor amps": "compressor", "fan amps": "fan",
    **dict.fromkeys(("superheat", "subcooling", "charge", "gauges", "evaporating temperature",
                     "condensing over the outdoor air"), "refrigerant"),
    **dict.fromkeys(("air split", "supply air", "total capacity"), "air"),
}  # fmt: skip
"""By the id of a figure that is no reading of its own."""

AMPS = frozenset({"amps", "winding_amps", "held_amps", "inrush"})
VOLTS = frozenset({"volts", "ghost", "sag"})
RUNNING = frozenset({"look:turns", "look:sound"})

CHARGE_STATES: Mapping[tuple[int, int], tuple[str, str]] = {
    (1, -1): (mark("There is too little refrigerant in the system"),
              mark("find the leak, repair it, and put in the right amount of refrigerant")),
    (-1, 1): (mark("There is too much refrigerant in the system"),
              mark("bring the refrigerant to the right amount")),
    (1, 1): (mark("Something holds the refrigerant back"),
             mark("find what holds the refrigerant back")),
    (-1, -1): (mark("Too little air goes through the indoor coil"),
               mark("look at the filter, the blower and the ducts")),
}  # fmt: skip
"""By the sides of superheat and subcooling: what it is, and what comes next."""


@dataclass(frozen=True, slots=True)
class Stand:
    """How one subject stands. worst: its worst reading's grade. measured: not by eye alone."""

    name: str
    worst: Grade
    measured: bool

    @property
    def subject(self) -> Subject:
        """What it is about."""
        return SUBJECTS[self.name]

    @property
    def text(self) -> str:
        """In words."""
        told = self.subject
        good = told.good if self.measured else told.seen or told.good
        return {"good": good, "watch": told.watch, "again": mark("to be measured again"),
                "not": told.bad}[self.worst]  # fmt: skip


def stands_of(worked: Worked) -> tuple[Stand, ...]:
    """Each subject of which something was read, in the order of `SUBJECTS`.

    After the repair where there is a proof; else, where nothing was found wrong, of the call.
    """
    worst: dict[str, Grade] = {}
    measured = set()
    for name, by_meter, grade in _of_proof(worked) if worked.proved else _of_call(worked):
        if name:
            worst[name] = max(worst.get(name, "good"), grade, key=GRADES.index)
            measured |= {name} if by_meter else set()
    return tuple(Stand(name, worst[name], name in measured) for name in SUBJECTS if name in worst)


def rows_of(stands: Iterable[Stand], air: str = "") -> Iterator[Measured]:
    """The rows of the page. air: how far it was cooled, in words."""
    for each in stands:
        text = joined("; ", (air, each.text)) if air and each.name == "air" else each.text
        verdict: Literal["good", "watch", "not"] = (
            "good" if each.worst == "good" else "not" if each.worst == "not" else "watch"
        )
        yield Measured(each.subject.title, text, verdict=verdict)


def charge_state(proved: RepairProof | None) -> tuple[str, str] | None:
    """What superheat and subcooling together say, and what comes next; None where all is well."""
    found = {each.id: each for each in proved.proof.findings} if proved else {}
    heat, cool = found.get("superheat"), found.get("subcooling")
    return CHARGE_STATES.get((heat.side, cool.side)) if heat and cool else None


def subject_of(unit: Unit, card: CheckCard) -> str:
    """The subject of a check, "" for none that an owner is told of."""
    if card.quantity in AMPS:
        return _driven(unit, card.jaw)
    if card.quantity in VOLTS:
        return _of_volts(unit, card)
    touched = [name for name in card.touches if name in unit.part_by_name]
    of_part = subject_of_part(unit, touched[0]) if touched else ""
    if card.quantity == "drop":
        return of_part if of_part == "contactor" else _of_drop(unit, touched)
    if card.quantity == "look:idle":
        outdoors = {*unit.roles.compressors, *unit.roles.outdoor_fans}
        return "stop" if outdoors & set(touched) else ""
    if card.quantity in RUNNING or (card.quantity == "ohms" and of_part == "heater"):
        return of_part
    return {"microfarads": "capacitor", "megohms": "insulation"}.get(card.quantity, "")


def subject_of_part(unit: Unit, name: str) -> str:
    """The subject that a part is read by, "" where it has none of its own."""
    kind, roles = unit.kind_of(name), unit.roles
    if kind.facet(Motor) is not None or kind.facet(ElectronicMotor) is not None:
        outdoors = "fan" if name in roles.outdoor_fans else "blower"
        return "compressor" if name in roles.compressors else outdoors
    if kind.is_contactor:
        return "contactor"
    if kind.facet(Capacitor) is not None:
        return "capacitor"
    return "heater" if kind.facet(Heater) is not None else ""


def _driven(unit: Unit, wire: str) -> str:
    """The subject of the amps in a wire: the motor or the heater at one of its ends."""
    found = unit.wire_by_name.get(wire)
    ends = (found.start, found.end) if found else ()
    driven = (subject_of_part(unit, part_of(end)) for end in ends)
    return next((it for it in driven if it in ("compressor", "fan", "blower", "heater")), "")


def _of_volts(unit: Unit, card: CheckCard) -> str:
    """Volts of the control circuit where a lead is on one of its wires, else of the supply."""
    leads = [end for end in (card.red, card.black) if end and end != EARTH]
    carried = {wire.carries for end in leads for wire, _ in unit.wires_at(end)}
    if not leads:
        return ""
    return "control" if carried & {*CONTROL_SIGNALS} else "supply"


def _of_drop(unit: Unit, touched: Sequence[str]) -> str:
    """Volts across a switch of the control circuit tell of that, any other of wires."""
    ends = [f"{name}.{end}" for name in touched for end in unit.kind_of(name).terminals]
    carried = {wire.carries for end in ends for wire, _ in unit.wires_at(end)}
    return "control" if carried & {*CONTROL_SIGNALS} else "wiring"


Graded = tuple[str, bool, Grade]
"""A subject, whether a meter told it, and how it stands."""


def _of_proof(worked: Worked) -> Iterator[Graded]:
    proved, unit = worked.proved, worked.answer.opened.unit
    cards = {card.id: card for card in worked.answer.belief.table.checks}
    for each in proved.proof.checks if proved else ():
        card = cards.get(each.id)
        if card is not None:
            yield subject_of(unit, card), card.form == "number", OF_LEVEL[each.level]
    for finding in proved.proof.findings if proved else ():
        card = cards.get(finding.id)
        name = subject_of(unit, card) if card is not None else FIGURES.get(finding.id, "")
        if finding.level in OF_LEVEL:
            yield name, True, OF_LEVEL[finding.level]


def _of_call(worked: Worked) -> Iterator[Graded]:
    if worked.answer.verdict.kind != "nothing_wrong_now":
        return
    bands, unit = GoodBands(worked.answer), worked.answer.opened.unit
    for outcome in worked.answer.outcomes:
        if outcome.value is not None:
            card = outcome.card
            yield subject_of(unit, card), card.form == "number", OF_LEVEL[bands.level(outcome)]
