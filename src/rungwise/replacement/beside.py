"""What else is on a motor's circuit: contactor, breaker, disconnect, conductors.

A motor that asks more than the one before it is refused where a part that carries or guards it is
stated too small.  What the unit file does not say refuses nothing; it is told what it must have.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from rungwise.replacement.circuits import Specimen
from rungwise.replacement.conductors import as_in_the_arrangement, carries_at_most_a, outdoor_run
from rungwise.replacement.contactor import full_load, locked_rotor, motors_on
from rungwise.replacement.nec.ampacity import AMPACITY_SOURCE
from rungwise.replacement.nec.circuit_size import (
    DISCONNECT,
    MARKING,
    disconnect_a,
    maximum_overcurrent,
    minimum_ampacity_a,
)
from rungwise.replacement.plate_figures import circuit_loads
from rungwise.replacement.reason import Reason, Weight
from rungwise.replacement.reference import CONTACTORS, Reference
from rungwise.replacement.strength import PRACTICE, AtLeast

__all__ = ["parts_beside"]

MOTOR_SHARE = 1.25
"""Amps of a circuit with one motor over that motor's own: NEC 430.22."""


def parts_beside(reference: Reference, fitted: Specimen, motor: str) -> Iterator[Reason]:
    """Every other stated part on the circuit of `motor`, a new one, against what it asks."""
    reasons = list(_asked(reference, fitted, motor))
    yield from (each for each, told in reasons if told)
    had, has = (each.number(motor, "rated_a") for each in (reference.found, fitted))
    unread = [each for each, told in reasons if not told]
    short = [each for each in unread if has > had or each.weight is Weight.BARS]
    if short:
        listed = "; ".join(
            f"{each.text.partition(',')[0]}, needs {each.needs:.1f} A" for each in short
        )
        yield Reason(
            Weight.CAUTION,
            "beside.unread",
            f"It draws {has:g} A, the one before {had:g} A, and the unit file does not say what "
            f"else carries them. Read these first; the figure beside each is only the usual one: "
            f"{listed}.",
            has=has,
            needs=had,
            unit="A",
            source=PRACTICE,
        )


def _asked(reference: Reference, fitted: Specimen, motor: str) -> Iterator[tuple[Reason, bool]]:
    """Each comparison, and whether the unit file says the figure that it rests on."""
    yield from _contactors(reference, fitted, motor)
    if fitted.unit.part(motor).place == "outdoor":
        yield from _outdoor(reference, fitted)
    else:
        yield from _indoor(reference, fitted, motor)


def _contactors(
    reference: Reference, fitted: Specimen, motor: str
) -> Iterator[tuple[Reason, bool]]:
    for part in fitted.unit.parts_of_kind(*CONTACTORS):
        motors = motors_on(reference.meant, part.name)
        if motor not in {each.name for each in motors}:
            continue
        for key, compared in (("fla_a", full_load), ("lra_a", locked_rotor)):
            reason = compared(reference.meant, fitted, part.name, motors)
            text = f"The {part.title} that is in it: {reason.text}"
            told = reference.stated(part.name, key)
            yield replace(reason, rule=f"beside.{part.name}.{key}", text=text), told


def _outdoor(reference: Reference, fitted: Specimen) -> Iterator[tuple[Reason, bool]]:
    loads = circuit_loads(fitted.unit)
    least, most = minimum_ampacity_a(loads), maximum_overcurrent(loads).size_a
    for part in fitted.unit.parts:
        if part.kind == "breaker_2p":
            yield (
                _device(part.title, fitted.number(part.name, "rating_a"), least),
                (reference.stated(part.name, "rating_a")),
            )
        if part.kind == "disconnect_fused":
            yield (
                _device(f"fuses of the {part.title}", fitted.number(part.name, "fuse_a"), least),
                (reference.stated(part.name, "fuse_a")),
            )
        if part.kind.startswith("disconnect"):
            yield (
                _disconnect(part.title, fitted, part.name, disconnect_a(loads)),
                (reference.stated(part.name, "rating_a")),
            )
    yield from _conductors(fitted, least)
    yield from _too_large(reference, fitted, float(most))


def _device(what: str, has: float, least: float) -> Reason:
    return AtLeast(
        rule="beside.device",
        figure=f"the {what}",
        has=has,
        needs=least,
        unit="A",
        why="minimum circuit ampacity, 1.25 times the largest motor and the rest",
        otherwise="It opens on a long hot day with nothing wrong.",
        source=MARKING.text,
    ).reason()


def _disconnect(what: str, fitted: Specimen, name: str, needs: float) -> Reason:
    return AtLeast(
        rule="beside.disconnect",
        figure=f"the {what}",
        has=fitted.number(name, "rating_a"),
        needs=needs,
        unit="A",
        why="115 % of the loads",
        otherwise="Its jaws overheat.",
        source=DISCONNECT.text,
    ).reason()


def _conductors(fitted: Specimen, least: float) -> Iterator[tuple[Reason, bool]]:
    run = outdoor_run(fitted.unit)
    usual = as_in_the_arrangement(fitted.unit, run)
    for awg, told in sorted({(wire.awg, wire.name not in usual) for wire in run}):
        may = carries_at_most_a(awg)
        if may is not None:
            yield (
                AtLeast(
                    rule="beside.conductors",
                    figure=f"conductors of {awg:g} AWG copper",
                    has=may,
                    needs=least,
                    unit="A",
                    why="minimum circuit ampacity; they carry that on 75 °C terminals, less on "
                    "others",
                    otherwise="They overheat in the wall.",
                    source=AMPACITY_SOURCE.text,
                ).reason(),
                told,
            )


def _too_large(
    reference: Reference, fitted: Specimen, most: float
) -> Iterator[tuple[Reason, bool]]:
    """A breaker larger than the new motor's circuit may have: the old plate's mark is no excuse."""
    marked = float(reference.found.unit.nameplate.get("mocp_a", 0.0))
    for part in fitted.unit.parts_of_kind("breaker_2p"):
        has = fitted.number(part.name, "rating_a")
        if has > max(most, marked) and reference.stated(part.name, "rating_a"):
            yield (
                Reason(
                    Weight.CAUTION,
                    "beside.device_large",
                    f"The {part.title} of {has:g} A is more than the {most:g} A that 2.25 times "
                    "the largest motor and the rest allow.",
                    has=has,
                    needs=most,
                    unit="A",
                    source=MARKING.text,
                ),
                True,
            )


def _indoor(reference: Reference, fitted: Specimen, motor: str) -> Iterator[tuple[Reason, bool]]:
    amp = fitted.number(motor, "rated_a")
    for kind, share, source in (
        ("breaker_1p", MOTOR_SHARE, "NEC 430.22"),
        ("service_switch", 1.0, PRACTICE),
    ):
        for part in fitted.unit.parts_of_kind(kind):
            yield (
                AtLeast(
                    rule="beside.device",
                    figure=f"the {part.title}",
                    has=fitted.number(part.name, "rating_a"),
                    needs=share * amp,
                    unit="A",
                    why=f"{share:g} times the motor's {amp:g} A",
                    otherwise="It opens or overheats in ordinary use.",
                    source=source,
                ).reason(),
                reference.stated(part.name, "rating_a"),
            )
