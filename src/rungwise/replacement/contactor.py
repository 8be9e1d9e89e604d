"""Is a contactor strong enough for this unit: contacts, coil, transformer?"""

from __future__ import annotations

from collections.abc import Iterator

from rungwise.parts import KINDS, PRACTICE, Against, Branch, Does, Heater, Motor
from rungwise.replacement.candidate import Candidate
from rungwise.replacement.control_circuit import coil_reasons, coil_va, load_reasons
from rungwise.replacement.label import ratings_of, unjudged
from rungwise.replacement.reason import AtLeast, Reason, Weight
from rungwise.replacement.reference import Reference
from rungwise.replacement.supply_circuit import heaters, poles_of
from rungwise.replacement.trials import CALL, MIDDLE_LEG_V, Specimen, Trial, held_out, stall
from rungwise.unit import Part
from rungwise.wording import joined, mark, named, say

OLD_AMPS = {
    Against.RUNNING_MOTORS: "FLA",
    Against.LOCKED_MOTORS: "LRA",
    Against.HEATERS: "Resistive",
}
"""Lines of the old label that the new one must reach."""

WELD = mark("The contacts overheat, pit and weld.")


def contactor_reasons(
    reference: Reference, fitted: Specimen, candidate: Candidate
) -> Iterator[Reason]:
    """Every strength of a contactor against what its circuit asks."""
    name = candidate.parts[0]
    motors = motors_on(reference.meant, name)
    amps = (
        *full_load(reference.meant, fitted, name, motors),
        *locked_rotor(reference.meant, fitted, name, motors),
        *_resistive(fitted, name),
    )
    yield from (each.reason() for each in amps)
    yield from _untold(fitted, candidate)
    yield from _beside_the_old(reference, fitted, name)
    coil_hz = {"50": 50.0, "60": 60.0}.get(candidate.texts.get("coil_hz", ""))
    yield from coil_reasons(fitted, name, coil_hz=coil_hz)
    yield _coil_loads(fitted, name)
    yield from load_reasons(fitted)
    yield from _welcome(reference, fitted, name)
    yield from _dead_heaters(reference)


def _untold(fitted: Specimen, candidate: Candidate) -> Iterator[Reason]:
    """Ratings that this kind's label does not tell, and that nobody can therefore judge."""
    ratings = ratings_of(fitted.unit, candidate.parts[0])
    asked = [Against.RUNNING_MOTORS, Against.LOCKED_MOTORS, Against.COIL_VOLTS]
    if heaters(fitted.unit):
        asked.append(Against.HEATERS)
    for each in ratings.lacking(*asked):
        yield unjudged(candidate, say("What is rated against the {value}", value=each.value))


def motors_on(meant: Specimen, name: str) -> tuple[Part, ...]:
    """The motors that run on a call and stand still when this contactor's plunger is held out."""
    held = held_out(name)
    return tuple(
        part
        for part, motor in meant.unit.having(Motor)
        if meant.port(CALL, (part.name, motor.element), 0)[1]
        > 2 * meant.port(held, (part.name, motor.element), 0)[1]
    )


def _pole_amp(meant: Specimen, name: str, trial: Trial) -> float:
    """Amps through its pole, on the contactor that the unit was made with."""
    return meant.amp(trial, (name, poles_of(meant.unit, name).poles[0].element))


def full_load(
    meant: Specimen, fitted: Specimen, name: str, motors: tuple[Part, ...]
) -> Iterator[AtLeast]:
    """Rated amps of its motors together against its FLA, where its kind has one."""
    key = ratings_of(fitted.unit, name).parameter(Against.RUNNING_MOTORS)
    if key is None:
        return
    rated = {part.title: fitted.number(part.name, _motor(part).amps) for part in motors}
    listed = joined(" + ", (joined(" ", (each, f"{amp:g} A")) for each, amp in rated.items()))
    yield AtLeast(
        rule="contactor.fla",
        figure=mark("FLA"),
        has=fitted.number(name, key),
        needs=sum(rated.values()),
        unit="A",
        why=say(
            "{listed}; on a call {pole_amp} A flow through a pole",
            listed=listed,
            pole_amp=f"{_pole_amp(meant, name, CALL):.1f}",
        ),
        otherwise=WELD,
        situation=CALL.name,
    )


def locked_rotor(
    meant: Specimen, fitted: Specimen, name: str, motors: tuple[Part, ...]
) -> Iterator[AtLeast]:
    """Locked amps of its motors together against its LRA, where its kind has one."""
    key = ratings_of(fitted.unit, name).parameter(Against.LOCKED_MOTORS)
    if key is None:
        return
    locked = {part.title: fitted.number(part.name, _motor(part).locked_amps) for part in motors}
    listed = joined(" + ", (joined(" ", (each, f"{amp:g} A")) for each, amp in locked.items()))
    trial = stall(meant.unit, MIDDLE_LEG_V)
    yield AtLeast(
        rule="contactor.lra",
        figure=mark("LRA"),
        has=fitted.number(name, key),
        needs=sum(locked.values()),
        unit="A",
        why=say(
            "{listed} locked; at the first instant of a start {pole_amp} A flow through a pole",
            listed=listed,
            pole_amp=f"{_pole_amp(meant, name, trial):.0f}",
        ),
        otherwise=mark("The contacts weld on a start, or break one that they cannot."),
        situation=trial.name,
    )


def _motor(part: Part) -> Motor:
    motor = KINDS[part.kind].facet(Motor)
    if motor is None:
        raise LookupError(say("{name} is no motor", name=part.name))
    return motor


def heater_amp(fitted: Specimen) -> float:
    """Amps of the heaters outdoors at their own volts."""
    outdoors = {part.name for part in heaters(fitted.unit)}
    return sum(
        fitted.number(part.name, heater.watt) / fitted.number(part.name, heater.volt)
        for part, heater in fitted.unit.having(Heater)
        if part.name in outdoors
    )


def _resistive(fitted: Specimen, name: str) -> Iterator[AtLeast]:
    key = ratings_of(fitted.unit, name).parameter(Against.HEATERS)
    if key is not None and heaters(fitted.unit):
        yield AtLeast(
            rule="contactor.resistive",
            figure=mark("resistive"),
            has=fitted.number(name, key),
            needs=heater_amp(fitted),
            unit="A",
            why=mark("what the crankcase heater takes through it"),
            otherwise=WELD,
        )


def _beside_the_old(reference: Reference, fitted: Specimen, name: str) -> Iterator[Reason]:
    """Amps equal or more than on the one that comes out, line by line of its label."""
    old, new = (ratings_of(each.unit, name) for each in (reference.found, fitted))
    told = {each: old.parameter(each) for each in OLD_AMPS}
    stated = {each: key for each, key in told.items() if key and reference.stated(name, key)}
    for against, key in stated.items():
        own = new.parameter(against)
        if own is None:
            continue
        had, has = reference.found.number(name, key), fitted.number(name, own)
        yield AtLeast(
            rule=f"contactor.old_{key}",
            figure=OLD_AMPS[against],
            has=has,
            needs=had,
            unit="A",
            why=mark("as marked on the one that comes out; the rule is equal or more"),
            otherwise=mark("The maker chose that for this unit."),
            source=PRACTICE,
        ).reason()
    if Against.RUNNING_MOTORS not in stated:
        yield Reason(
            Weight.CAUTION,
            "contactor.read_old",
            mark("Read the old one: amps equal or more. The unit file does not say them."),
            source=PRACTICE,
        )


def _coil_loads(fitted: Specimen, name: str) -> Reason:
    sealed, out = (coil_va(fitted, name, plunger_in=way) for way in (True, False))
    return Reason(
        Weight.PASSES,
        "contactor.coil_va",
        say(
            "Its coil takes {out} VA when it pulls in and {sealed} VA sealed.",
            out=f"{out:.0f}",
            sealed=f"{sealed:.1f}",
        ),
        CALL.name,
        sealed,
        unit="VA",
        source="from the solution",
    )


def _welcome(reference: Reference, fitted: Specimen, name: str) -> Iterator[Reason]:
    """Two poles in place of one, where nothing needs the bar."""
    meant = reference.meant.unit
    bar = poles_of(meant, name).bar
    if bar is not None and poles_of(fitted.unit, name).bar is None:
        branches = (e for e in meant.kind_of(name).elements if isinstance(e, Branch))
        (element,) = (each.name for each in branches if (each.a, each.b) == bar)
        amp = reference.meant.amp(held_out(name), (name, element))
        if amp < IDLE_AMP:
            yield Reason(
                Weight.NOTE,
                "contactor.two_poles",
                say(
                    "Two poles in place of one are welcome here: nothing needs the bar "
                    "(with the plunger out it carries {amp} mA), both legs open, and it "
                    "takes two welds instead of one to keep the compressor running.",
                    amp=f"{1000 * amp:.1g}",
                ),
                "thermostat off",
                amp,
                unit="A",
            )


def _dead_heaters(reference: Reference) -> Iterator[Reason]:
    """A heater that nothing ever feeds, whichever contactor the unit was meant to have."""
    told = reference.meant.load_states(reference.situations)
    for heater in heaters(reference.meant.unit):
        if not (told.code[:, told.loads.index(heater.name), 0] == Does.HEATS).any():
            unit = reference.meant.unit
            ends = joined(
                "; ",
                (
                    say("{color} wire on {end}", color=named(wire.colour),
                        end=unit.end_words(wire.end if at == "start" else wire.start))
                    for terminal in KINDS[heater.kind].terminals
                    for wire, at in unit.wires_at(f"{heater.name}.{terminal}")
                ),
            )  # fmt: skip
            yield Reason(
                Weight.CHANGE,
                "contactor.dead_heater",
                say(
                    "The {title} gets nothing in any situation, with this part as with "
                    "the old one: it is wired where it never heats ({ends}). Move an end "
                    "with this work.",
                    title=heater.title,
                    ends=ends,
                ),
                source="from the solution",
            )


IDLE_AMP = 0.005
"""A bar that carries less than this with the plunger out feeds nothing, only leakage."""
