"""What a unit does on each demand, what it no longer does, and what is odd: all from its solution.

The unit is solved healthy, once for every demand that its controls list, in a forced defrost where
it has one, and once more off in the cold. Nothing here knows what a unit ought to do but the
arrangement that it is held against.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from rungwise.circuit import (
    COLD_STANDBY,
    Asking,
    Condition,
    LoadStates,
    Plan,
    Situation,
    forced_defrost,
    load_states,
)
from rungwise.errors import CircuitError
from rungwise.isolation import list_words
from rungwise.parts import Coil, Control, Does
from rungwise.unit import Unit
from rungwise.wording import capital, joined, mark, say

COLD = mark("freezing outdoors")
DEFROST = mark("in a forced defrost")


@dataclass(frozen=True, slots=True)
class Doing:
    """What the loads do in one condition.

    Attributes:
        when: how its control stands, as it begins a line: "thermostat off".
        loads: by part what it does, coils included.
        told: in a sentence, coils left out.
    """

    when: str
    loads: Mapping[str, Does]
    told: str


@dataclass(frozen=True)
class Behavior:
    """What a unit does. unsolved: why it could not be solved, "" where it could."""

    doings: tuple[Doing, ...]
    odd: tuple[str, ...]
    unsolved: str = ""

    @property
    def by_condition(self) -> dict[str, Mapping[str, Does]]:
        """What each load does, by condition."""
        return {each.when: each.loads for each in self.doings}


def behavior_of(unit: Unit) -> Behavior:
    """What every load of the healthy unit does, and what of it is odd."""
    try:
        states = load_states(Plan(unit), _situations(unit))
    except CircuitError as error:
        return Behavior((), (), say("It cannot be solved as it is drawn: {error}", error=error))
    doings = tuple(_doing(unit, states, at) for at in range(len(states.situations)))
    return Behavior(doings, tuple(dict.fromkeys(_odd(unit, states, doings))))


def _situations(unit: Unit) -> tuple[Situation, ...]:
    """Everything that it can be asked for, off first, and off in the cold."""
    names = ["off", *(name for name in unit.demands if name != "off")]
    plain = [Situation(Asking(_when(unit, name)), Condition(name, name)) for name in names]
    melting = forced_defrost(unit)
    if melting is not None:
        plain.append(Situation(Asking(DEFROST), melting))
    return (*plain, Situation(Asking(joined(", ", (_when(unit, "off"), COLD))), COLD_STANDBY))


def _when(unit: Unit, name: str) -> str:
    """How the control that lists a demand is set."""
    for part, control in unit.having(Control):
        if name in control.demands:
            told = control.demands[name].told
            return (
                say("{title} off", title=part.title)
                if name == "off"
                else joined(" ", (part.title, told))
            )
    return mark("power on") if name == "off" else name


def _doing(unit: Unit, states: LoadStates, at: int) -> Doing:
    codes = {part: Does(int(states.code[at, load, 0])) for load, part in enumerate(states.loads)}
    shown = {part: does for part, does in codes.items() if unit.kind_of(part).facet(Coil) is None}
    return Doing(states.situations[at].name, codes, _sentence(unit, shown))


def _sentence(unit: Unit, codes: Mapping[str, Does]) -> str:
    """Those that do something first; the others are off."""
    by_what: dict[Does, list[str]] = {}
    for part, does in codes.items():
        by_what.setdefault(does, []).append(unit.part(part).title)
    parts = [
        _told(titles, does)
        for does, titles in sorted(by_what.items(), key=lambda each: each[0] == Does.OFF)
    ]
    return joined("; ", parts) if parts else mark("nothing here turns or heats")


def _told(titles: Sequence[str], does: Does) -> str:
    """`runs` of one, `run` of several."""
    things = list_words(titles, "and")
    if len(titles) == 1:
        return joined(" ", (things, does.words))
    return say(_OF_MANY[does], things=things)


_OF_MANY = {
    Does.OFF: mark("{things} are off"),
    Does.RUNS: mark("{things} run"),
    Does.HUMS: mark("{things} hum"),
    Does.BACKWARDS: mark("{things} run backwards"),
    Does.HEATS: mark("{things} heat"),
    Does.PULLED: mark("{things} pull in"),
    Does.CHATTERS: mark("{things} chatter"),
}


def _odd(unit: Unit, states: LoadStates, doings: Sequence[Doing]) -> Iterator[str]:
    """What a good unit does not do, whatever its arrangement."""
    for doing in doings:
        for part, does in doing.loads.items():
            if does in (Does.HUMS, Does.BACKWARDS, Does.CHATTERS):
                yield say(
                    "{line} the {title} {does}.",
                    line=_line(doing.when),
                    title=unit.part(part).title,
                    does=does.words,
                )
    yield from _harmed(unit, states)
    yield from _at_the_wrong_time(unit, doings)
    yield from _never(unit, doings)


def _line(when: str) -> str:
    """The beginning of a line on one condition."""
    return joined(":", (capital(when), ""))


def _harmed(unit: Unit, states: LoadStates) -> Iterator[str]:
    for number, harm in enumerate(states.harms):
        hit = states.harmed[:, number, 0]
        if hit.any():
            at = int(hit.argmax())
            when = _line(states.situations[at].name)
            yield say(
                "{line} {title}, {hurt}.",
                line=when,
                title=_title(unit, harm.part),
                hurt=harm.hurt.value,
            )


def _title(unit: Unit, block: str) -> str:
    return unit.part(block).title if block in unit.part_by_name else block


def _at_the_wrong_time(unit: Unit, doings: Sequence[Doing]) -> Iterator[str]:
    """A compressor without a call or without its fan, and a heater beside a hot compressor."""
    compressors, fans = unit.roles.compressors, unit.roles.outdoor_fans
    for doing in (each for each in doings if each.when != DEFROST):  # its fan rightly stands
        running = [name for name in compressors if doing.loads.get(name) == Does.RUNS]
        turning = [name for name in fans if doing.loads.get(name) == Does.RUNS]
        if running and doing in (doings[0], doings[-1]):
            yield say(
                "{line} the {title} runs with no call.",
                line=_line(doing.when),
                title=unit.part(running[0]).title,
            )
        elif running and fans and not turning:
            yield say("{line} the compressor runs and no outdoor fan does.", line=_line(doing.when))
        for part in unit.roles.heaters:
            if running and doing.loads.get(part) == Does.HEATS:
                title = unit.part(part).title
                yield say(
                    "The {title} heats while the compressor runs: watts for nothing.", title=title
                )


def _never(unit: Unit, doings: Sequence[Doing]) -> Iterator[str]:
    """Loads that do nothing in any condition."""
    for part in doings[0].loads:
        if all(doing.loads[part] == Does.OFF for doing in doings):
            title = unit.part(part).title
            if unit.kind_of(part).is_contactor:
                yield say("The {title} stays in on no demand.", title=title)
            elif unit.kind_of(part).facet(Coil) is not None:
                continue  # a lockout's relay is there for what no healthy unit does
            elif part in unit.roles.heaters:
                yield say("The {title} never heats, not even off in the cold.", title=title)
            else:
                yield say("The {title} does nothing on any demand.", title=title)


def lost_against(unit: Unit, found: Behavior, meant: Behavior, told_by: Unit) -> tuple[str, ...]:
    """What the unit does otherwise than the arrangement that it is held against.

    told_by: that arrangement, for the names of parts that only it has.
    """
    lines: dict[str, str] = {}
    wanted = meant.by_condition
    for doing in found.doings:
        for part, does in wanted.get(doing.when, {}).items():
            own = doing.loads.get(part)
            if own is None and part not in lines:
                lines[part] = say("There is no {title} in it.", title=told_by.part(part).title)
            elif own is not None and own != does:
                told = say(
                    "{line} the {title} {does}",
                    line=_line(doing.when),
                    title=unit.part(part).title,
                    does=own.words,
                )
                lines.setdefault(
                    f"{part} {own} {does}",
                    say("{told}; the arrangement's {words}.", told=told, words=does.words),
                )
    return tuple(lines.values())
