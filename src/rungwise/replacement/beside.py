"""What else is on a motor's circuit: contactor, breaker, disconnect, conductors.

A motor that asks more than the one before it is refused where a part that carries or guards it is
stated too small.  What the unit file does not say refuses nothing; it is told what it must have.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from rungwise.parts import PRACTICE, Against, Motor
from rungwise.replacement.contactor import full_load, locked_rotor, motors_on
from rungwise.replacement.label import ratings_of
from rungwise.replacement.nec.ampacity import AMPACITY_SOURCE
from rungwise.replacement.nec.circuit_size import (
    DISCONNECT,
    MARKING,
    disconnect_a,
    maximum_overcurrent,
    minimum_ampacity_a,
)
from rungwise.replacement.plate_figures import circuit_loads
from rungwise.replacement.reason import AtLeast, Reason, Weight
from rungwise.replacement.reference import Reference
from rungwise.replacement.supply_circuit import (
    as_in_the_arrangement,
    branch_breakers,
    branch_switches,
    carries_at_most_a,
    contactors,
    disconnects,
    guards,
    opens_at,
    outdoor_breakers,
    outdoor_run,
)
from rungwise.replacement.trials import Specimen
from rungwise.wording import joined, mark, say

MOTOR_SHARE = 1.25
"""Amps of a circuit with one motor over that motor's own: NEC 430.22."""


@dataclass(frozen=True, slots=True)
class _Beside:
    """A part beside the motor: what is read off it, how it compares, whether the unit file says."""

    read: str
    reason: Reason
    told: bool


def parts_beside(reference: Reference, fitted: Specimen, motor: str) -> Iterator[Reason]:
    """Every other stated part on the circuit of `motor`, a new one, against what it asks."""
    asked = list(_asked(reference, fitted, motor))
    yield from (each.reason for each in asked if each.told)
    had, has = (each.number(motor, _amps(each, motor)) for each in (reference.found, fitted))
    unread = [each for each in asked if not each.told]
    short = [each for each in unread if has > had or each.reason.weight is Weight.BARS]
    if short:
        listed = joined(
            "; ",
            (
                say("{read}, needs {needs} A", read=each.read, needs=f"{each.reason.needs:.1f}")
                for each in short
            ),
        )
        yield Reason(
            Weight.CAUTION,
            "beside.unread",
            say(
                "It draws {has} A, the one before {had} A, and the unit file does not "
                "say what else carries them. Read these first; the figure beside each is "
                "only the usual one: {listed}.",
                has=f"{has:g}",
                had=f"{had:g}",
                listed=listed,
            ),
            has=has,
            needs=had,
            unit="A",
            source=PRACTICE,
        )


def _amps(specimen: Specimen, motor: str) -> str:
    """The parameter of a motor's amps."""
    return next(each.amps for part, each in specimen.unit.having(Motor) if part.name == motor)


def _asked(reference: Reference, fitted: Specimen, motor: str) -> Iterator[_Beside]:
    """Each comparison, and whether the unit file says the figure that it rests on."""
    yield from _contactors(reference, fitted, motor)
    if fitted.unit.part(motor).place == "outdoor":
        yield from _outdoor(reference, fitted)
    else:
        yield from _indoor(reference, fitted, motor)


def _contactors(reference: Reference, fitted: Specimen, motor: str) -> Iterator[_Beside]:
    for part in contactors(fitted.unit):
        motors = motors_on(reference.meant, part.name)
        if motor not in {each.name for each in motors}:
            continue
        ratings, start = (
            ratings_of(fitted.unit, part.name),
            say("The {title} that is in it: ", title=part.title),
        )
        for against, compared in _AMPS.items():
            key = ratings.parameter(against)
            for each in compared(reference.meant, fitted, part.name, motors):
                reason = each.reason()
                text, rule = joined("", (start, reason.text)), f"beside.{part.name}.{key}"
                told = key is not None and reference.stated(part.name, key)
                yield _Beside(
                    joined("", (start, each.read)), replace(reason, rule=rule, text=text), told
                )


_AMPS = {Against.RUNNING_MOTORS: full_load, Against.LOCKED_MOTORS: locked_rotor}


def _compared(each: AtLeast, *, told: bool) -> _Beside:
    return _Beside(each.read, each.reason(), told)


def _outdoor(reference: Reference, fitted: Specimen) -> Iterator[_Beside]:
    loads, unit = circuit_loads(fitted.unit), fitted.unit
    least, most = minimum_ampacity_a(loads), maximum_overcurrent(loads).size_a
    breakers, opening = outdoor_breakers(unit), disconnects(unit)
    for part in unit.parts:
        fuses = part in opening and guards(unit, part, "melts")
        if part in breakers or fuses:
            key, what = opens_at(unit, part.name), say("fuses of the {title}", title=part.title)
            has = fitted.number(part.name, key)
            device = _device(what if fuses else part.title, has, least)
            yield _compared(device, told=reference.stated(part.name, key))
        opens = ratings_of(unit, part.name).parameter(Against.CIRCUIT)
        if part in opening and opens is not None:
            compared = _disconnect(part.title, fitted.number(part.name, opens), disconnect_a(loads))
            yield _compared(compared, told=reference.stated(part.name, opens))
    yield from _conductors(fitted, least)
    yield from _too_large(reference, fitted, float(most))


def _device(what: str, has: float, least: float) -> AtLeast:
    return AtLeast(
        rule="beside.device",
        figure=say("the {what}", what=what),
        has=has,
        needs=least,
        unit="A",
        why=mark("minimum circuit ampacity, 1.25 times the largest motor and the rest"),
        otherwise=mark("It opens on a long hot day with nothing wrong."),
        source=MARKING.text,
    )


def _disconnect(what: str, has: float, needs: float) -> AtLeast:
    return AtLeast(
        rule="beside.disconnect",
        figure=say("the {what}", what=what),
        has=has,
        needs=needs,
        unit="A",
        why=mark("115% of the loads"),
        otherwise=mark("Its jaws overheat."),
        source=DISCONNECT.text,
    )


def _conductors(fitted: Specimen, least: float) -> Iterator[_Beside]:
    run = outdoor_run(fitted.unit)
    usual = as_in_the_arrangement(fitted.unit, run)
    for awg, told in sorted({(wire.awg, wire.name not in usual) for wire in run}):
        may = carries_at_most_a(awg)
        if may is not None:
            yield _compared(
                AtLeast(
                    rule="beside.conductors",
                    figure=say("conductors of {awg} AWG copper", awg=f"{awg:g}"),
                    has=may,
                    needs=least,
                    unit="A",
                    why=mark(
                        "minimum circuit ampacity; they carry that on 75 °C terminals, less on "
                        "others"
                    ),
                    otherwise=mark("They overheat in the wall."),
                    source=AMPACITY_SOURCE.text,
                ),
                told=told,
            )


def _too_large(reference: Reference, fitted: Specimen, most: float) -> Iterator[_Beside]:
    """A breaker larger than the new motor's circuit may have: the old plate's mark is no excuse."""
    marked = float(reference.found.unit.nameplate.get("mocp_a", 0.0))
    for part in outdoor_breakers(fitted.unit):
        key = opens_at(fitted.unit, part.name)
        has = fitted.number(part.name, key)
        if has > max(most, marked) and reference.stated(part.name, key):
            reason = Reason(
                Weight.CAUTION,
                "beside.device_large",
                say(
                    "The {title} of {has} A is more than the {most} A that 2.25 times "
                    "the largest motor and the rest allow.",
                    title=part.title,
                    has=f"{has:g}",
                    most=f"{most:g}",
                ),
                has=has,
                needs=most,
                unit="A",
                source=MARKING.text,
            )
            yield _Beside(part.title, reason, told=True)


def _indoor(reference: Reference, fitted: Specimen, motor: str) -> Iterator[_Beside]:
    amp, unit = fitted.number(motor, _amps(fitted, motor)), fitted.unit
    carried = [(part, opens_at(unit, part.name), MOTOR_SHARE, "NEC 430.22")
               for part in branch_breakers(unit)]  # fmt: skip
    for part in branch_switches(unit):
        key = ratings_of(unit, part.name).parameter(Against.CURRENT)
        if key is not None:
            carried.append((part, key, 1.0, PRACTICE))
    for part, key, share, source in carried:
        yield _compared(
            AtLeast(
                rule="beside.device",
                figure=say("the {title}", title=part.title),
                has=fitted.number(part.name, key),
                needs=share * amp,
                unit="A",
                why=say("{share} times the motor's {amp} A", share=f"{share:g}", amp=f"{amp:g}"),
                otherwise=mark("It opens or overheats in ordinary use."),
                source=source,
            ),
            told=reference.stated(part.name, key),
        )
