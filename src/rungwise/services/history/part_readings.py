"""Readings of what wears in one part, out of the calls on its unit."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from rungwise import records
from rungwise.diagnosis import id_of
from rungwise.errors import BadInput
from rungwise.maintenance import MEASURES, Reading
from rungwise.parts import Capacitor, Motor, Poles, Wear
from rungwise.quantity import parse
from rungwise.records import PastCall
from rungwise.unit import Part, Unit


@dataclass(frozen=True)
class PartReading:
    """One reading of a followed quantity. place: the check, which tells section or pole.

    label: the parameter of its rated figure on a part's label, "" where it has none.
    """

    call: int
    after: bool
    place: str
    rated: float
    reading: Reading
    label: str = ""


def taken_of(unit: Unit, part: Part, calls: Sequence[PastCall]) -> Iterator[PartReading]:
    """Readings of what is followed of a part, by call.

    µF and insulation are taken on a dead unit, before the repair or after it. A drop and amps
    count after it only, because before it the fault itself may have moved them.
    """
    followed = {each.check: each for each in _followed(unit, part)}
    for number, each in enumerate(calls):
        for after, rows in ((False, each.readings), (True, each.proofs)):
            for row in rows:
                told = followed.get(row.check)
                if told is None or (told.after_only and not after):
                    continue
                value = _value(row, told.quantity)
                if value is not None:
                    reading = Reading(each.call.day, told.quantity, value)
                    yield PartReading(number, after, row.check, told.rated, reading, told.label)


@dataclass(frozen=True)
class _Followed:
    """A check whose readings are followed. label: the parameter of its rated figure, or ""."""

    check: str
    quantity: str
    rated: float
    label: str = ""
    after_only: bool = False


def _followed(unit: Unit, part: Part) -> Iterator[_Followed]:
    """What is followed of a part: by what its kind wears in (`Wear`)."""
    kind, name = unit.kind_of(part.name), part.name
    capacitor, poles, wear = kind.facet(Capacitor), kind.facet(Poles), kind.facet(Wear)
    measures = {way.measure for way in wear.family.ways} if wear is not None else set()
    for section in capacitor.sections if capacitor is not None else ():
        rated = part.values.get(section.microfarads, 0.0)
        if rated and section.purpose == "run":
            check = id_of("uf", name, *section.ends)
            yield _Followed(check, "capacitance", rated, section.microfarads)
    if "contact_drop" in measures and poles is not None:
        for line, load in poles.ends:
            yield _Followed(id_of("drop", name, line, load), "contact_drop", 1.0, after_only=True)
    if "insulation" in measures:
        yield _Followed(id_of("insulation", name), "insulation", 1.0)
    motor = kind.facet(Motor)
    rated = part.values.get(motor.amps, 0.0) if motor is not None else 0.0
    if "amps" in measures and motor is not None and rated:
        for check in amps_checks(unit, part.name, motor):
            yield _Followed(check, "amps", rated, motor.amps, after_only=True)


def amps_checks(unit: Unit, part: str, motor: Motor) -> Iterator[str]:
    """The check of the amps in a motor's common lead."""
    yield from (id_of("amps", wire.name) for wire, _ in unit.wires_at(f"{part}.{motor.common}")[:1])


def _value(row: records.Reading, quantity: str) -> float | None:
    """The reading in the unit of its meter; None for OL, for 0, and for what cannot be read."""
    unit = MEASURES[quantity].meter.unit
    try:
        value = row.number if row.unit == unit else parse(row.typed, unit)
    except BadInput:
        return None
    return value if value is not None and math.isfinite(value) and value > 0.0 else None


def rated_of(taken: PartReading, label: Mapping[str, Any] | None) -> float:
    """The rated figure of the section, by the label of the part put in, else by the unit's file."""
    if label and taken.label in label:
        unit = "µF" if taken.reading.quantity == "capacitance" else "A"
        return parse(str(label[taken.label]), unit)
    return taken.rated


def worn(taken: PartReading, rated: float) -> float:
    """How far a reading is on its way from new, 0, to worn out, 1."""
    measure = MEASURES[taken.reading.quantity]
    return (measure.on_scale(taken.reading.value, rated) - measure.new) / measure.span
