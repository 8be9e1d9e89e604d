"""Live checks across contacts that are no poles: at rest and on a call, at what they switch."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from rungwise.circuit import VOLTS
from rungwise.diagnosis.check import UNNAMED, Check
from rungwise.diagnosis.checks_dead import PLACE_MINUTES
from rungwise.diagnosis.checks_live import CONTROL_RISK, LINE_RISK, LIVE_PARTS, LOW_VOLTS
from rungwise.diagnosis.fault_table import CheckCard
from rungwise.diagnosis.look_card import IDLE, ON_CALL
from rungwise.diagnosis.readers import VoltReader
from rungwise.parts import CONTROL_SIGNALS, Probes, end_mark
from rungwise.unit import Part, Unit, two_ends
from rungwise.wording import mark, say

_HELD = (mark("set the meter to hold the highest reading, then let it start"),)


def across_contacts(unit: Unit) -> Iterator[Check]:
    """Volts across each wired contact that its kind wants read: nearly none while it is closed."""
    for part, probes in unit.having(Probes):
        for a, b in probes.across:
            if unit.is_wired(part.name, a, b):
                yield from _both_ways(unit, part, a, b)


def _both_ways(unit: Unit, part: Part, a: str, b: str) -> Iterator[Check]:
    red, black = f"{part.name}.{a}", f"{part.name}.{b}"
    carried = {wire.carries for end in (red, black) for wire, _ in unit.wires_at(end)}
    control = bool(carried & {*CONTROL_SIGNALS})
    title = say(
        "volts across {a} to {b} of the {part}", a=end_mark(a), b=end_mark(b), part=part.title
    )
    on_call = CheckCard(
        UNNAMED,
        title,
        "number",
        unit="V",
        minutes=PLACE_MINUTES[part.place],
        risk=CONTROL_RISK if control else LINE_RISK,
        live=True,
        instrument=VOLTS.name,
        where=two_ends(unit, red, black),
        condition=ON_CALL,
        cautions=(LOW_VOLTS if control else LIVE_PARTS,),
        quantity="volts",
        touches=(part.name,),
    )
    yield Check(on_call, VoltReader("calling", red, black, VOLTS))
    at_rest = replace(
        on_call,
        title=say("{title}, thermostat off", title=title),
        condition=IDLE,
    )
    yield Check(at_rest, VoltReader("standby", red, black, VOLTS))
    # What an open contact brings about may have stopped the unit by the time that it is read.
    held = replace(
        on_call,
        title=say("{title}, held as it starts", title=title),
        needs=_HELD,
    )
    yield Check(held, VoltReader("starting", red, black, VOLTS))
