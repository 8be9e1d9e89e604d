"""Live checks that are worked out from two readings: microfarads under load."""

from __future__ import annotations

from collections.abc import Iterator

from rungwise.circuit import CLAMP, VOLTS
from rungwise.diagnosis.check import Check
from rungwise.diagnosis.checks_dead import PLACE_MINUTES
from rungwise.diagnosis.checks_live import CLAMP_RISK, HANDS, LINE_RISK, LIVE_PARTS
from rungwise.diagnosis.fault_table import CheckCard
from rungwise.diagnosis.look_card import ON_CALL
from rungwise.diagnosis.readers import LoadMicrofaradReader
from rungwise.parts import Capacitor
from rungwise.unit import Unit

__all__ = ["load_microfarads"]


def load_microfarads(unit: Unit) -> Iterator[Check]:
    """Of every section outdoors on which a motor runs."""
    sections = [
        (part, section)
        for part, capacitor in unit.having(Capacitor)
        for section in capacitor.sections
        if section.purpose == "run" and part.place == "outdoor"
    ]
    for part, section in sections:
        one, other = section.ends
        for wire, _ in unit.wires_at(f"{part.name}.{one}")[:1]:
            card = CheckCard(
                f"loaduf-{part.name}-{one}",
                f"microfarads under load, {one} section, from amps and volts",
                "number",
                unit="µF",
                minutes=2 * PLACE_MINUTES[part.place],
                risk=LINE_RISK + CLAMP_RISK,
                live=True,
                instrument=f"{CLAMP.name} and {VOLTS.name}",
                where=f"jaw around the {wire.title}; leads {one} to {other} of the capacitor",
                condition=ON_CALL,
                cautions=(LIVE_PARTS, HANDS),
                quantity="microfarads",
                touches=(part.name,),
            )
            ends = (f"{part.name}.{one}", f"{part.name}.{other}")
            yield Check(card, LoadMicrofaradReader(wire.name, *ends))
