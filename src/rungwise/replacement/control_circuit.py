"""The control circuit: volts that a contactor's coil gets, and what its transformer gives.

Asked for a new contactor and for a new transformer alike: it is one question to one circuit.
"""

from __future__ import annotations

from collections.abc import Iterator

from rungwise.parts import PRACTICE, Coil, Transformer
from rungwise.replacement.candidate import Candidate
from rungwise.replacement.reason import AtLeast, Reason, Weight, shown
from rungwise.replacement.reference import Reference
from rungwise.replacement.supply_circuit import contactors
from rungwise.replacement.trials import (
    CALL,
    LOW_LEG_V,
    LOWEST_LEG_V,
    MIDDLE_LEG_V,
    Specimen,
    Trial,
    inrush,
    stall,
)
from rungwise.unit import Part
from rungwise.wording import capital, mark, say

PULLS_IN_BY = 0.85
"""Every coil is in by this share of its rated volts: IEC 60947-4-1, clause from memory."""

MOST_SHARE = 1.15
"""Rated share over which a coil runs hot: 110% (IEC 60947-4-1) and what a 24 V transformer on
light load usually gives above it (27 V; common practice, no source)."""


def coil_reasons(fitted: Specimen, contactor: str, *, coil_hz: float | None) -> Iterator[Reason]:
    """Pull-in on low supply, hold while the compressor starts, and volts on a settled call.

    coil_hz: what the coil is made for, None where its file does not say or it takes both.
    """
    rated = fitted.number(contactor, _coil(fitted, contactor).volt)
    # A coil pulls by its amps; at another frequency the same volts drive other amps through it.
    worth = (coil_hz or fitted.unit.hz) / fitted.unit.hz
    pulls = _pulls_in(fitted, contactor, rated, worth)
    yield pulls
    yield _holds(fitted, contactor, rated, worth)
    if pulls.weight is Weight.PASSES:
        yield from _worst(fitted, contactor, rated, worth)
    yield from _too_many(fitted, contactor, rated, worth)


def coil_va(fitted: Specimen, contactor: str, *, plunger_in: bool) -> float:
    """Volt-amperes that the coil takes, plunger in (sealed) or still out (inrush)."""
    trial = CALL if plunger_in else inrush(fitted.unit, MIDDLE_LEG_V)
    return _volt(fitted, contactor, trial) * fitted.amp(
        trial, (contactor, _coil(fitted, contactor).element)
    )


def _volt(fitted: Specimen, contactor: str, trial: Trial) -> float:
    a, b = _coil(fitted, contactor).ends
    return fitted.volt(trial, f"{contactor}.{a}", f"{contactor}.{b}")


def _coil(fitted: Specimen, contactor: str) -> Coil:
    coil = fitted.unit.kind_of(contactor).facet(Coil)
    if coil is None:
        raise LookupError(say("{contactor} has no coil", contactor=contactor))
    return coil


def _pulls_in(fitted: Specimen, contactor: str, rated: float, worth: float) -> Reason:
    trial = inrush(fitted.unit, LOW_LEG_V)
    volt = worth * _volt(fitted, contactor, trial)
    needs = rated * fitted.number(contactor, "pull_in_ratio")
    return AtLeast(
        rule="contactor.pull_in",
        figure=mark("coil volts"),
        has=volt,
        needs=needs,
        unit="V",
        why=say(
            "{name}, with everything else on the transformer, to pull in its {rated} V coil",
            name=trial.name,
            rated=f"{rated:g}",
        ),
        otherwise=mark("It stays out or chatters, and the contacts burn."),
        situation=trial.name,
        source="supply: ANSI C84.1 range A; check your own copy; pull-in: the part's own ratio",
    ).reason()


def _holds(fitted: Specimen, contactor: str, rated: float, worth: float) -> Reason:
    trial = stall(fitted.unit, LOW_LEG_V)
    volt = worth * _volt(fitted, contactor, trial)
    return AtLeast(
        rule="contactor.hold",
        figure=mark("coil volts"),
        has=volt,
        needs=rated * fitted.number(contactor, "drop_out_ratio"),
        unit="V",
        why=say("{name}, so that it does not let go", name=trial.name),
        otherwise=mark("It drops out when the compressor starts and chatters; the contacts weld."),
        situation=trial.name,
        source="drop-out: IEC 60947-4-1; check your own copy",
    ).reason()


def _worst(fitted: Specimen, contactor: str, rated: float, worth: float) -> Iterator[Reason]:
    """A specimen that needs the full 85% and a supply at the lower end of its marking."""
    for leg, share, whose in (
        (LOW_LEG_V, PULLS_IN_BY, mark("a coil that needs the full 85% that the standard allows")),
        (LOWEST_LEG_V, fitted.number(contactor, "pull_in_ratio"), mark("its own coil")),
    ):
        trial = inrush(fitted.unit, leg)
        volt = worth * _volt(fitted, contactor, trial)
        if volt < share * rated:
            yield Reason(
                Weight.CAUTION,
                "contactor.pull_in_worst",
                say(
                    "{capital}, the coil gets {volt} V and {whose} asks for {share} V: "
                    "on such a day it chatters.",
                    capital=capital(trial.name),
                    volt=f"{volt:.1f}",
                    whose=whose,
                    share=f"{share * rated:.1f}",
                ),
                trial.name,
                volt,
                share * rated,
                "V",
                "IEC 60947-4-1; check your own copy",
            )
            return


def _too_many(fitted: Specimen, contactor: str, rated: float, worth: float) -> Iterator[Reason]:
    volt = _volt(fitted, contactor, CALL)
    # Volts at another frequency heat a coil by its amps too.
    if volt * worth > MOST_SHARE * rated:
        yield Reason(
            Weight.BARS,
            "contactor.coil_volts",
            say(
                "On a call its {rated} V coil gets {volt} V{own}: it overheats and burns out.",
                rated=f"{rated:g}",
                volt=f"{volt:.1f}",
                own=say(", worth {volt} V at its own frequency", volt=f"{volt * worth:.1f}")
                if worth != 1
                else "",
            ),
            CALL.name,
            volt * worth,
            MOST_SHARE * rated,
            "V",
            "IEC 60947-4-1: at most 110%; check your own copy; the rest rule of thumb",
        )


VOLT_SHARE = 0.10
"""Primary volts may differ from those of the label by this share (as NEMA MG 1-12.44 for motors;
for transformers common practice, no source)."""


def transformer_reasons(
    reference: Reference, fitted: Specimen, candidate: Candidate
) -> Iterator[Reason]:
    """Volt-amperes and volts of a control transformer, and every coil on it."""
    name = candidate.parts[0]
    yield from load_reasons(fitted)
    yield _primary(fitted, name)
    (va,) = (winding.volt_amperes for part, winding in _transformers(fitted) if part.name == name)
    had, has = reference.found.number(name, va), fitted.number(name, va)
    if has < had:
        told = say(
            "It is smaller than the one that comes out: {shown} instead of {shown2}; "
            "nothing more may be put on it later.",
            shown=shown(has, "VA"),
            shown2=shown(had, "VA"),
        )
        unsure = mark("Read the VA of the old one: equal or more. The unit file does not say them.")
        yield Reason(
            Weight.CAUTION,
            "transformer.smaller",
            told if reference.stated(name, va) else unsure,
            has=has,
            needs=had,
            unit="VA",
            source=PRACTICE,
        )
    for part in contactors(fitted.unit):
        yield from coil_reasons(fitted, part.name, coil_hz=None)


def load_reasons(fitted: Specimen) -> Iterator[Reason]:
    """Volt-amperes of each transformer with everything on it, settled and at the inrush."""
    for part, winding in _transformers(fitted):
        key = (part.name, winding.element)
        volt, amp = fitted.port(CALL, key, 1)
        yield AtLeast(
            rule="transformer.va",
            figure=mark("transformer"),
            has=fitted.number(part.name, winding.volt_amperes),
            needs=volt * amp,
            unit="VA",
            why=say(
                "everything on it on a call, {amp} A at {volt} V",
                amp=f"{amp:.2f}",
                volt=f"{volt:.1f}",
            ),
            otherwise=mark("It overheats until its winding opens."),
            situation=CALL.name,
            source="from the solution",
        ).reason()
        trial = inrush(fitted.unit, LOW_LEG_V)
        volt, amp = fitted.port(trial, key, 1)
        yield Reason(
            Weight.PASSES,
            "transformer.inrush",
            say(
                "{capital}, its secondary gives {volt} V at {volt2} VA.",
                capital=capital(trial.name),
                volt=f"{volt:.1f}",
                volt2=f"{volt * amp:.0f}",
            ),
            trial.name,
            volt,
            unit="V",
            source="from the solution",
        )


def _primary(fitted: Specimen, name: str) -> Reason:
    (winding,) = (each for part, each in _transformers(fitted) if part.name == name)
    rated = fitted.number(name, winding.primary_volt)
    volt, _ = fitted.port(CALL, (name, winding.element), 0)
    near = abs(volt / rated - 1) <= VOLT_SHARE
    told = say(
        "Its primary is made for {rated} V and gets {volt} V",
        rated=f"{rated:g}",
        volt=f"{volt:.0f}",
    )
    what = mark("its secondary then gives too few volts") if volt < rated else mark("it overheats")
    return Reason(
        Weight.PASSES if near else Weight.BARS,
        "transformer.primary",
        say("{told}.", told=told) if near else say("{told}: {what}.", told=told, what=what),
        CALL.name,
        rated,
        volt,
        "V",
    )


def _transformers(fitted: Specimen) -> tuple[tuple[Part, Transformer], ...]:
    return fitted.unit.having(Transformer)
