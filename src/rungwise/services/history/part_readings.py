"""Readings of what wears in one part, out of the calls on its unit."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from rungwise.errors import BadInput
from rungwise.maintenance.history import Reading
from rungwise.maintenance.measure import MEASURES
from rungwise.maintenance.ways import family_of
from rungwise.quantity import parse
from rungwise.records import rows as records
from rungwise.records.past_calls import PastCall
from rungwise.unit.unit import Part, Unit

__all__ = ["PartReading", "amps_checks", "rated_of", "taken_of", "worn"]

_SECTIONS = {"HERM": "herm_uf", "FAN": "fan_uf"}


@dataclass(frozen=True)
class PartReading:
    """One reading of a followed quantity. place: the check, which tells section or pole."""

    call: int
    after: bool
    place: str
    rated: float
    reading: Reading


def taken_of(unit: Unit, part: Part, calls: Sequence[PastCall]) -> Iterator[PartReading]:
    """Readings of what is followed of a part, by call.

    µF and insulation are taken on a dead unit, before the repair or after it. A drop and amps
    count after it only, because before it the fault itself may have moved them.
    """
    dead, live = _checks(unit, part)
    for number, each in enumerate(calls):
        for after, rows in ((False, each.readings), (True, each.proofs)):
            for row in rows:
                told = dead.get(row.check) or (live.get(row.check) if after else None)
                value = _value(row, told[0]) if told else None
                if told and value is not None:
                    reading = Reading(each.call.day, told[0], value)
                    yield PartReading(number, after, row.check, told[1], reading)


def _checks(
    unit: Unit, part: Part
) -> tuple[dict[str, tuple[str, float]], dict[str, tuple[str, float]]]:
    """The checks whose readings are followed, with quantity and rated figure: dead and live."""
    family, name = family_of(part.kind), part.name
    if part.kind == "dual_capacitor":
        sections = {f"uf-{name}-{end}-C": part.values.get(key, 0.0)
                    for end, key in _SECTIONS.items()}  # fmt: skip
        return {key: ("capacitance", rated) for key, rated in sections.items() if rated}, {}
    if part.kind == "run_capacitor" and part.values.get("run_uf"):
        return {f"uf-{name}-2-1": ("capacitance", part.values["run_uf"])}, {}
    if family == "contactor":
        poles = (f"drop-{name}-L1-T1", f"drop-{name}-L2-T2")
        return {}, dict.fromkeys(poles, ("contact_drop", 1.0))
    if family == "compressor":
        return {f"insulation-{name}": ("insulation", 1.0)}, {}
    if family == "fan motor" and part.values.get("rated_a"):
        return {}, dict.fromkeys(amps_checks(unit, part), ("amps", part.values["rated_a"]))
    return {}, {}


def amps_checks(unit: Unit, part: Part) -> Iterator[str]:
    """The check of the amps in a motor's common lead."""
    yield from (f"amps-{wire.name}" for wire, _ in unit.wires_at(f"{part.name}.C")[:1])


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
    key = _SECTIONS.get(
        taken.place.split("-")[2] if taken.place.startswith("uf-") else "", "run_uf"
    )
    if label and taken.reading.quantity == "capacitance" and key in label:
        return parse(str(label[key]), "µF")
    if label and taken.reading.quantity == "amps" and "rated_a" in label:
        return parse(str(label["rated_a"]), "A")
    return taken.rated


def worn(taken: PartReading, rated: float) -> float:
    """How far a reading is on its way from new, 0, to worn out, 1."""
    measure = MEASURES[taken.reading.quantity]
    return (measure.on_scale(taken.reading.value, rated) - measure.new) / measure.span
