"""The drop over one leg from the disconnect's line side to the contactor's load side.

One reading sees all that the leg goes through there: clips or contacts of the disconnect, both
joints of the wire, and the contactor's pole. What is high is then halved by the drop over each.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from rungwise.circuit import FINE_VOLTS
from rungwise.diagnosis.check import Check
from rungwise.diagnosis.checks_live import WHEN_TOLD, When, heats, volts_check
from rungwise.parts import Junction, Poles, Reverses, end_mark, split_end
from rungwise.unit import Unit
from rungwise.wording import mark, say

LEG_DROP = "leg_drop"
"""The quantity: no reading on any one part, so that it shows none of them to be bad."""

_LONG_LEAD = (mark("one lead long enough to reach from the disconnect to the contactor"),)


def leg_drops(unit: Unit) -> Iterator[Check]:
    """One check a leg of each contactor that a disconnect feeds, through lugs and blocks alone."""
    for part, poles in unit.having(Poles):
        if unit.kind_of(part.name).is_contactor:
            for line, load in poles.ends:
                source = _source_of(unit, f"{part.name}.{line}", frozenset())
                for setting in _settings(unit) if source else ():
                    yield _leg_drop(unit, source, f"{part.name}.{load}", setting)


def _settings(unit: Unit) -> tuple[When, ...]:
    """On which calls its compressor runs."""
    turns_round = heats(unit) and bool(unit.having(Reverses))
    return ("calling", "heating") if turns_round else ("calling",)


def _source_of(unit: Unit, end: str, seen: frozenset[str]) -> str:
    """The line terminal of the first disconnect on the way to a terminal; "" without one at hand.

    seen: terminals that were gone through.
    """
    seen |= {end}
    for wire, which in unit.wires_at(end):
        other = wire.end if which == "start" else wire.start
        if other not in seen:
            found = _through(unit, other, seen)
            if found:
                return found
    return ""


def _through(unit: Unit, end: str, seen: frozenset[str]) -> str:
    name, terminal = split_end(end)
    part, kind = unit.part(name), unit.kind_of(name)
    poles = kind.facet(Poles)
    if kind.facet(Junction) is not None:
        return _source_of(unit, end, seen)
    if poles is None or poles.moved_by != "hand" or part.place not in _AT_HAND:
        return ""
    line = next((line for line, load in poles.ends if load == terminal), "")
    return line and (_source_of(unit, f"{name}.{line}", seen) or f"{name}.{line}")


_AT_HAND = ("outdoor", "disconnect")


def _leg_drop(unit: Unit, source: str, load: str, setting: When) -> Check:
    (isolator, line), (contactor, end) = split_end(source), split_end(load)
    title = say(
        "drop over a leg: {line} of the {isolator} to {load} of the {contactor}{when_told}",
        line=end_mark(line), isolator=unit.part(isolator).title,
        load=end_mark(end), contactor=unit.part(contactor).title,
        when_told=WHEN_TOLD[setting],
    )  # fmt: skip
    check = volts_check(
        unit, title, source, load,
        place="disconnect", setting=setting, instrument=FINE_VOLTS, quantity=LEG_DROP,
    )  # fmt: skip
    return replace(check, card=replace(check.card, needs=_LONG_LEAD))
