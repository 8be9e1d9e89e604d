"""What was checked, subject by subject, for whoever pays: how it stands, and no figure of a meter.

Every row comes from the levels of readings and figures, as the proof's limits and the solved unit
give them. The readings themselves stand in the technician's record.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from fnmatch import fnmatchcase
from typing import Literal

from rungwise.parts import KINDS
from rungwise.parts.facets import Motor
from rungwise.report.content import Measured
from rungwise.report.good_bands import GoodBands
from rungwise.report.worked import Worked
from rungwise.services import RepairProof
from rungwise.unit.unit import Part, Unit

__all__ = ["SUBJECTS", "Grade", "Stand", "Subject", "charge_state", "rows_of", "stands_of",
           "subject_of", "subject_of_part"]  # fmt: skip

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

CHARGE_FIGURES = ("superheat", "subcooling", "charge", "gauges", "evaporating temperature",
                  "condensing over the outdoor air")  # fmt: skip
AIR_FIGURES = ("air split", "supply air", "total capacity")
CHARGE_STATES: Mapping[tuple[int, int], tuple[str, str]] = {
    (1, -1): ("There is too little refrigerant in the system",
              "find the leak, mend it, and put in the right amount of refrigerant"),
    (-1, 1): ("There is too much refrigerant in the system",
              "bring the refrigerant to the right amount"),
    (1, 1): ("Something holds the refrigerant back", "find what holds the refrigerant back"),
    (-1, -1): ("Too little air goes through the indoor coil",
               "look at the filter, the blower and the ducts"),
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
        return {"good": good, "watch": told.watch, "again": "to be measured again",
                "not": told.bad}[self.worst]  # fmt: skip


def stands_of(worked: Worked) -> tuple[Stand, ...]:
    """Each subject of which something was read, in the order of `SUBJECTS`.

    After the repair where there is a proof; else, where nothing was found wrong, of the call.
    """
    unit = worked.answer.opened.unit
    graded = _of_proof(worked.proved) if worked.proved else _of_call(worked)
    worst: dict[str, Grade] = {}
    measured = set()
    for check, grade in graded:
        name = subject_of(unit, check)
        if name:
            worst[name] = max(worst.get(name, "good"), grade, key=GRADES.index)
            measured |= set() if check.startswith("look-") else {name}
    return tuple(Stand(name, worst[name], name in measured) for name in SUBJECTS if name in worst)


def rows_of(stands: Iterable[Stand], air: str = "") -> Iterator[Measured]:
    """The rows of the page. air: how far it was cooled, in words."""
    for each in stands:
        text = f"{air}; {each.text}" if air and each.name == "air" else each.text
        verdict: Literal["good", "watch", "not"] = (
            "good" if each.worst == "good" else "not" if each.worst == "not" else "watch"
        )
        yield Measured(each.subject.title, text, verdict=verdict)


def charge_state(proved: RepairProof | None) -> tuple[str, str] | None:
    """What superheat and subcooling together say, and what comes next; None where all is well."""
    found = {each.id: each for each in proved.proof.findings} if proved else {}
    heat, cool = found.get("superheat"), found.get("subcooling")
    return CHARGE_STATES.get((heat.side, cool.side)) if heat and cool else None


def subject_of(unit: Unit, check: str) -> str:
    """The subject of a reading or a figure by its id, "" for none that an owner is told of."""
    looks = {"look-compressor": "compressor", "look-fan": "fan", "look-blower": "blower",
             "look-idle": "stop", "compressor amps": "compressor", "fan amps": "fan",
             "supply": "supply", "sag": "supply", "unbalance": "supply"}  # fmt: skip
    if check in looks:
        return looks[check]
    if check in CHARGE_FIGURES:
        return "refrigerant"
    if check in AIR_FIGURES:
        return "air"
    if check.startswith(("coil ", "volts-coil", "start-volts-coil")):
        return "control"
    return _by_quantity(unit, check.removeprefix("idle-").removeprefix("start-"))


def subject_of_part(part: Part) -> str:
    """The subject that a part is read by, "" where it has none of its own."""
    motor = KINDS[part.kind].facet(Motor)
    if motor is not None:
        fan = "fan" if part.place == "outdoor" else "blower"
        return motor.drives if motor.compresses else fan
    kinds = {"contactor": "contactor_*", "capacitor": "*_capacitor", "heater": "crankcase_heater"}
    return next((name for name, kind in kinds.items() if fnmatchcase(part.kind, kind)), "")


def _by_quantity(unit: Unit, check: str) -> str:
    quantity, _, rest = check.partition("-")
    part = next((it for it in unit.parts if f"{rest}-".startswith(f"{it.name}-")), None)
    kind = part.kind if part else ""
    contactor = kind.startswith("contactor_")
    told = {
        "uf": "capacitor",
        "loaduf": "capacitor",
        "insulation": "insulation",
        "drop": "contactor" if contactor else "wiring",
        "volts": "supply" if contactor else "control" if kind else "",
        "ohms": "heater" if kind == "crankcase_heater" else "",
    }
    return _driven(unit, rest) if quantity == "amps" else told.get(quantity, "")


def _driven(unit: Unit, wire: str) -> str:
    """The subject of the amps in a wire: the motor or the heater at one of its ends."""
    found = unit.wire_by_name.get(wire)
    ends = (found.start, found.end) if found else ()
    parts = [unit.part(end.partition(".")[0]) for end in ends]
    driven = (subject_of_part(part) for part in parts)
    return next((it for it in driven if it in ("compressor", "fan", "blower", "heater")), "")


def _of_proof(proved: RepairProof) -> Iterator[tuple[str, Grade]]:
    yield from ((each.id, OF_LEVEL[each.level]) for each in proved.proof.checks)
    for finding in proved.proof.findings:
        if finding.level in OF_LEVEL:
            yield finding.id, OF_LEVEL[finding.level]


def _of_call(worked: Worked) -> Iterator[tuple[str, Grade]]:
    if worked.answer.verdict.kind != "nothing_wrong_now":
        return
    bands = GoodBands(worked.answer)
    for outcome in worked.answer.outcomes:
        if outcome.value is not None:
            yield outcome.card.id, OF_LEVEL[bands.level(outcome)]
