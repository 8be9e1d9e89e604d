"""Thermostat, delay, relay, heater and its thermostat: judged by their labels, else not judged.

The behaviour of the circuit with them is solved as for every part; a setting, or the amps of a
contact, is known from a label only.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from rungwise.parts import PRACTICE, Against, Coil, Heater, Motor
from rungwise.replacement.candidate import Candidate
from rungwise.replacement.contactor import heater_amp
from rungwise.replacement.label import ratings_of, unjudged
from rungwise.replacement.reason import AtLeast, Reason, Weight, fahrenheit, shown
from rungwise.replacement.reference import Reference
from rungwise.replacement.supply_circuit import poles_of
from rungwise.replacement.trials import (
    CALL,
    COLD,
    OFF,
    Specimen,
    defrost_call,
    heat_call,
    usual_trials,
)
from rungwise.wording import joined, mark, measured, say

LEAST_DELAY_S = 180.0
"""Three minutes let the pressures of a small unit equalize (common practice, no source)."""

SETTING_K = 3.0
"""Settings of a heater's thermostat that count as the same (common practice, no source)."""


def delay_reasons(
    reference: Reference, _fitted: Specimen, candidate: Candidate
) -> Iterator[Reason]:
    """Seconds at least those of the old one, or where nobody read it, of what is usual."""
    name = candidate.parts[0]
    key = ratings_of(reference.found.unit, name).parameter(Against.TIME)
    if key is None or key not in candidate.figures:
        yield unjudged(candidate, mark("The time"))
        return
    has, had = candidate.figures[key], reference.found.number(name, key)
    stated = reference.stated(name, key)
    needs = had if stated else LEAST_DELAY_S
    compared = AtLeast(
        rule="delay.seconds",
        figure=mark("delay"),
        has=has,
        needs=needs,
        unit="s",
        why=mark("as in the one that comes out")
        if stated
        else mark("the usual least; read the old one"),
        otherwise=mark("The compressor starts against pressure and stalls."),
        situation=CALL.name,
        source=PRACTICE,
    ).reason()
    yield compared if stated or has >= needs else unjudged(candidate, mark("So short a time"))


def relay_reasons(reference: Reference, fitted: Specimen, candidate: Candidate) -> Iterator[Reason]:
    """Contact amps against what it switches; coil volts are seen by whether it pulls in."""
    name = candidate.parts[0]
    ratings = ratings_of(fitted.unit, name)
    if ratings.parameter(Against.COIL_VOLTS) not in candidate.figures:
        yield unjudged(candidate, mark("The coil"))
    heats = ratings.parameter(Against.HEATERS)
    key = heats or ratings.parameter(Against.RUNNING_MOTORS)
    if key is None or key not in candidate.figures:
        yield unjudged(candidate, mark("The contact"))
        return
    if heats is not None:
        yield _carries_heat(reference, candidate, key)
        return
    fed = {
        part.title: fitted.number(part.name, motor.amps)
        for part, motor in reference.meant.unit.having(Motor)
        if _feeds(reference, name, part.name)
    }
    yield AtLeast(
        rule="relay.amps",
        figure=mark("contact"),
        has=candidate.figures[key],
        needs=sum(fed.values()),
        unit="A",
        why=joined(", ", (joined(" ", (each, f"{amp:g} A")) for each, amp in fed.items()))
        or mark("nothing hangs on it"),
        otherwise=mark("It burns or welds."),
        situation=CALL.name,
        source=PRACTICE,
    ).reason()


def _carries_heat(reference: Reference, candidate: Candidate, key: str) -> Reason:
    """The contact against the amps of the elements behind it, as solved on a call for heat."""
    meant, name = reference.meant, candidate.parts[0]
    heat = heat_call(meant.unit)
    if heat is None:
        return unjudged(candidate, mark("The contact"))
    poles = poles_of(meant.unit, name).poles
    return AtLeast(
        rule="relay.amps",
        figure=mark("contact"),
        has=candidate.figures[key],
        needs=max(meant.amp(heat, (name, pole.element)) for pole in poles),
        unit="A",
        why=mark("what the elements behind it take on a call for heat"),
        otherwise=mark("It burns or welds."),
        situation=heat.name,
        source=PRACTICE,
    ).reason()


def _feeds(reference: Reference, relay: str, motor: str) -> bool:
    """Whether a motor's amps on a call go through the relay's contact."""
    meant = reference.meant
    through, drawn = (
        meant.amp(CALL, (relay, poles_of(meant.unit, relay).poles[0].element)),
        meant.line_amp(CALL, motor),
    )
    return drawn > 0 and abs(through / drawn - 1) < SAME_AMPS


SAME_AMPS = 0.05
"""A contact that carries a motor's amps within this share feeds it."""


def heater_stat_reasons(
    reference: Reference, fitted: Specimen, candidate: Candidate
) -> Iterator[Reason]:
    """Its setting against the old one's, and the heater's amps against its contact."""
    name = candidate.parts[0]
    ratings = ratings_of(fitted.unit, name)
    setting, contact = ratings.parameter(Against.SETTING), ratings.parameter(Against.HEATERS)
    if setting is None or setting not in candidate.figures:
        yield unjudged(candidate, mark("The setting"))
    else:
        had, has = reference.found.number(name, setting), candidate.figures[setting]
        same, stated = abs(has - had) <= SETTING_K, reference.stated(name, setting)
        yield Reason(
            Weight.PASSES if same else Weight.BARS if stated else Weight.UNJUDGED,
            "heater_stat.setting",
            joined(" ", (_settings_told(has, had, same=same), *([] if stated else [_UNREAD_STAT]))),
            source=PRACTICE,
        )
    if contact is None or contact not in candidate.figures:
        yield unjudged(candidate, mark("The contact"))
        return
    yield AtLeast(
        rule="heater_stat.amps",
        figure=mark("contact"),
        has=candidate.figures[contact],
        needs=heater_amp(fitted),
        unit="A",
        why=mark("what the heater takes"),
        otherwise=mark("It burns."),
        source=PRACTICE,
    ).reason()


_UNREAD_STAT = mark("The unit file does not say the old one's setting, only the usual: read it.")


def _settings_told(has: float, had: float, *, same: bool) -> str:
    """What it closes below, and the one that comes out."""
    told = say(
        "It closes below {has}, the one that comes out below {had}",
        has=measured(f"{fahrenheit(has):.0f}", "°F"),
        had=measured(f"{fahrenheit(had):.0f}", "°F"),
    )
    return told + ("." if same else mark(": in between the oil is cold, or heated for nothing."))


LINE_VOLT = 100.0
"""A thermostat for more than this switches line volts, not a 24 V control circuit."""

HEATER_SHARE = 0.15
"""Watts that count as the same heater (common practice, no source)."""


HEATER_VOLT_SHARE = 1.1
"""Volts over a heater's own from which it burns out in time (common practice, no source)."""


CONTACT_VOLT_SHARE = 1.2
"""Volts over a contact's own that are another system's: a 24 V transformer may give 28 V."""


def _of_other_volts(volt: float, gets: float) -> str:
    """What happens where a thermostat is made for other volts than it switches; "" for none."""
    if gets > CONTACT_VOLT_SHARE * volt:
        return mark("Its contacts burn, and it is no barrier to these volts.")
    if volt > LINE_VOLT > gets:
        return mark("Its contacts and its works are for line volts.")
    return ""


def thermostat_reasons(
    reference: Reference, fitted: Specimen, candidate: Candidate
) -> Iterator[Reason]:
    """Volts, contact amps, and whether it needs a common wire that is not there."""
    name = candidate.parts[0]
    ratings = ratings_of(fitted.unit, name)
    key, contacts = ratings.parameter(Against.VOLTS), ratings.parameter(Against.CURRENT)
    if key is None or key not in candidate.figures:
        yield unjudged(candidate, mark("The volts"))
        return
    volt = candidate.figures[key]
    poles = poles_of(fitted.unit, name).poles
    gets = max(fitted.volt(OFF, f"{name}.{pole.line}", f"{name}.{pole.load}") for pole in poles)
    told = say(
        "It is made for {volt} V; here it switches {gets} V.", volt=f"{volt:g}", gets=f"{gets:.0f}"
    )
    against = _of_other_volts(volt, gets)
    yield Reason(
        Weight.BARS if against else Weight.PASSES,
        "thermostat.volts",
        joined(" ", (told, against)) if against else told,
        OFF.name,
        volt,
        gets,
        "V",
        "from the solution",
    )
    if contacts is not None and contacts in candidate.figures:
        amp = max(fitted.amp(CALL, (name, pole.element)) for pole in poles)
        yield AtLeast(
            rule="thermostat.amps",
            figure=mark("contacts"),
            has=candidate.figures[contacts],
            needs=amp,
            unit="A",
            why=mark("what goes through one of them on a call"),
            otherwise=mark("They burn or stick."),
            situation=CALL.name,
            source="from the solution",
        ).reason()
    if candidate.texts.get("needs_common") == "yes":
        yield _common(reference, name)


def _common(reference: Reference, name: str) -> Reason:
    """A thermostat that lives off the 24 V needs C, and most cables have a spare wire or none."""
    unit = reference.found.unit
    wires = [
        w.carries for t in unit.kind_of(name).terminals for w, _ in unit.wires_at(f"{name}.{t}")
    ]
    return Reason(
        Weight.CHANGE,
        "thermostat.common",
        say(
            "It needs a common wire; the cable brings {join} and no C. Use a spare "
            "conductor to the board's C, or pull another cable.",
            join=joined(", ", wires),
        ),
        "thermostat off",
    )


VALVE_PULLS_SHARE = 0.85
"""Of its rated volts a valve's coil pulls (common practice, no source)."""


def valve_reasons(
    _reference: Reference, fitted: Specimen, candidate: Candidate
) -> Iterator[Reason]:
    """The most volts that any demand brings to its coil; the rest of a valve is not judged."""
    name = candidate.parts[0]
    (coil,) = (each for part, each in fitted.unit.having(Coil) if part.name == name)
    ends = tuple(f"{name}.{end}" for end in coil.ends)
    unit = fitted.unit
    trials = (*usual_trials(unit), *filter(None, (heat_call(unit), defrost_call(unit))))
    asked = {trial.name: fitted.volt(trial, *ends) for trial in trials}
    situation = max(asked, key=lambda each: asked[each])
    yield AtLeast(
        rule="valve.coil_volts",
        figure=mark("coil volts"),
        has=asked[situation],
        needs=VALVE_PULLS_SHARE * fitted.number(name, coil.volt),
        unit="V",
        why=say(
            "what its coil gets, and {share}% of the {volt} V that it is made for",
            share=f"{100 * VALVE_PULLS_SHARE:.0f}",
            volt=f"{fitted.number(name, coil.volt):g}",
        ),
        otherwise=mark("It does not pull, or buzzes until it burns out."),
        situation=situation,
        source="from the solution",
    ).reason()
    yield unjudged(candidate, mark("All but the coil's volts"))


class _Warmed(NamedTuple):
    """What a heater warms: when, and what too few or too many watts do."""

    when: str
    less: str
    more: str


_WARMED: Mapping[str, _Warmed] = {
    "oil": _Warmed(
        mark("with the thermostat off in the cold"),
        mark("the oil stays colder than it should"), mark("the oil is overheated"),
    ),
    "air": _Warmed(
        mark("on a call for heat"),
        mark("the house stays colder than it should"),
        mark("its wires, switch and breaker carry too much"),
    ),
    "ice": _Warmed(
        mark("in a defrost"),
        mark("ice stays on the coil"), mark("its wires, timer and breaker carry too much"),
    ),
}  # fmt: skip


def heater_reasons(
    reference: Reference, fitted: Specimen, candidate: Candidate
) -> Iterator[Reason]:
    """Watts as before, and as the circuit really feeds it."""
    name = candidate.parts[0]
    (heater,) = (each for part, each in fitted.unit.having(Heater) if part.name == name)
    had, has = (each.number(name, heater.watt) for each in (reference.found, fitted))
    called = {"air": heat_call, "ice": defrost_call}.get(heater.warms)
    at_work = (called(fitted.unit) if called is not None else None) or COLD
    solved = fitted.watt(at_work, (name, heater.element))
    same = abs(has / had - 1) <= HEATER_SHARE
    told = say(
        "{has} in place of {had}; {when} it gets {solved} W",
        has=shown(has, "W"),
        had=shown(had, "W"),
        when=_WARMED[heater.warms].when,
        solved=f"{solved:.0f}",
    )
    short = _WARMED[heater.warms].less if has < had else _WARMED[heater.warms].more
    stated = reference.stated(name, heater.watt)
    unread = mark("The unit file does not say the old one's watts: read them.")
    yield Reason(
        Weight.PASSES if same else Weight.BARS if stated else Weight.UNJUDGED,
        "heater.watts",
        say("{told}.", told=told)
        if same
        else joined(
            " ", (say("{told}: {short}.", told=told, short=short), *([] if stated else [unread]))
        ),
        at_work.name,
        has,
        had,
        "W",
    )
    supply = fitted.volt(at_work, *(f"{name}.{end}" for end in heater.ends))
    rated = fitted.number(name, heater.volt)
    if supply > HEATER_VOLT_SHARE * rated:
        yield Reason(
            Weight.BARS,
            "heater.volts",
            say(
                "It is made for {rated} V and gets {supply} V: {solved} W burn it out.",
                rated=f"{rated:g}",
                supply=f"{supply:.0f}",
                solved=f"{solved:.0f}",
            ),
            at_work.name,
            rated,
            supply,
            "V",
            "from the solution",
        )
