"""What must be known before hands go near the wires. Signal words as in ANSI Z535.4."""

from __future__ import annotations

from collections.abc import Iterator
from functools import reduce

from rungwise.parts import LIVE_VOLT, Capacitor, Caution, Coil, Supply, part_of
from rungwise.rewiring.wires_record import WiresRecord
from rungwise.unit import Unit
from rungwise.wording import mark, say

TERMINAL_COVER = mark(
    "Under the compressor's terminal cover a terminal can blow out "
    "under pressure. Leave the cover on if its leads can be told by "
    "their ohms; else glasses on, face aside, no force on the "
    'terminals. Write "can\'t reach" to be asked something else.'
)
"""Before a lead goes to the compressor's own terminals (common practice, no source)."""


def cautions(unit: Unit, record: WiresRecord) -> tuple[Caution, ...]:
    """Everything to know before the first wire is touched, worst first."""
    return (*_power(unit, _place(unit, record)), *_work(record))


def _place(unit: Unit, record: WiresRecord) -> str:
    """Where the hands will be."""
    parts = [record.part, *(part_of(terminal) for terminal in record.off)]
    return next((unit.part(part).place for part in parts if part), "outdoor")


def _power(unit: Unit, place: str) -> Iterator[Caution]:
    yield Caution(
        "DANGER",
        say(
            "First lock out and verify: {supplies}. Follow local codes;"
            " licensed practice where required.",
            supplies=_supplies(unit),
        ),
    )
    held = [part.title for part, _ in unit.having(Capacitor) if part.place == place]
    if held:
        yield Caution(
            "WARNING",
            say(
                "Discharge the {things} through a resistor and measure, before a "
                "hand comes near: a charge stays when the power is off.",
                things=", the ".join(held),
            ),
        )


def _supplies(unit: Unit) -> str:
    """What feeds it: by what opens each circuit of the panel, since there are one, two or more."""
    fed = {
        other
        for part, supply in unit.having(Supply)
        for leg in supply.legs
        for other in unit.wired_together(f"{part.name}.{leg.terminal}")
    }
    at_the_source = {part_of(end) for end in fed}
    opens = [p.title for p in unit.parts
             if p.name in at_the_source and unit.kind_of(p.name).isolates]  # fmt: skip
    if len(opens) == 2:
        return say("both its supplies, the outdoor circuit and {control}", control=_control(unit))
    if len(opens) == 1:
        return say("its one supply, the {opens}", opens=opens[0])
    if not opens:
        return mark("every supply it has")
    things = reduce(lambda told, each: say("{told}, the {each}", told=told, each=each), opens)
    return say("each of its supplies, the {things}", things=things)


def _control(unit: Unit) -> str:
    """What the coil hangs on: 24 V from indoors, or line volts of a circuit of their own."""
    coils = [unit.part(name).number(coil.volt) for name, coil in _switching(unit)]
    line = [volt for volt in coils if volt > LIVE_VOLT]
    return (
        say("the {max} V of its control circuit", max=f"{max(line):g}")
        if line
        else mark("the 24 V from indoors")
    )


def _switching(unit: Unit) -> Iterator[tuple[str, Coil]]:
    for part, _ in unit.roles.made_as_contactors:
        coil = unit.kind_of(part.name).facet(Coil)
        if coil is not None and coil.volt:
            yield part.name, coil


def _work(record: WiresRecord) -> Iterator[Caution]:
    if record.part:
        yield Caution(
            "NOTICE",
            mark(
                "Take a photo of every terminal before the first wire moves, and "
                "tag each wire with the terminal that it comes from."
            ),
        )
