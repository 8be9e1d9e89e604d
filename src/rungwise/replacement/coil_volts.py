"""Whether a contactor's coil gets volts enough to pull in and to hold, and not too many.

Used for a new contactor and for a new transformer alike: it is one question to one circuit.
"""

from __future__ import annotations

from collections.abc import Iterator

from rungwise.replacement.circuits import Specimen, Trial
from rungwise.replacement.reason import Reason, Weight
from rungwise.replacement.strength import AtLeast, capital
from rungwise.replacement.trials import (
    CALL,
    LOW_LEG_V,
    LOWEST_LEG_V,
    MIDDLE_LEG_V,
    inrush,
    stall,
)

__all__ = ["MOST_SHARE", "PULLS_IN_BY", "coil_reasons", "coil_va"]

PULLS_IN_BY = 0.85
"""Every coil is in by this share of its rated volts: IEC 60947-4-1, clause from memory."""

MOST_SHARE = 1.15
"""Rated share over which a coil runs hot: 110 % (IEC 60947-4-1) and what a 24 V transformer on
light load usually gives above it (27 V; common practice, no source)."""


def coil_reasons(fitted: Specimen, contactor: str, *, coil_hz: float | None) -> Iterator[Reason]:
    """Pull-in on low supply, hold while the compressor starts, and volts on a settled call.

    coil_hz: what the coil is made for, None where its file does not say or it takes both.
    """
    rated = fitted.number(contactor, "coil_volt")
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
    return _volt(fitted, contactor, trial) * fitted.amp(trial, (contactor, "coil"))


def _volt(fitted: Specimen, contactor: str, trial: Trial) -> float:
    return fitted.volt(trial, f"{contactor}.coil1", f"{contactor}.coil2")


def _pulls_in(fitted: Specimen, contactor: str, rated: float, worth: float) -> Reason:
    trial = inrush(fitted.unit, LOW_LEG_V)
    volt = worth * _volt(fitted, contactor, trial)
    needs = rated * fitted.number(contactor, "pull_in_ratio")
    return AtLeast(
        rule="contactor.pull_in",
        figure="coil volts",
        has=volt,
        needs=needs,
        unit="V",
        why=f"{trial.name}, with everything else on the transformer, to pull in its {rated:g} V "
        "coil",
        otherwise="It stays out or chatters, and the contacts burn.",
        situation=trial.name,
        source="supply: ANSI C84.1 range A; check your own copy; pull-in: the part's own ratio",
    ).reason()


def _holds(fitted: Specimen, contactor: str, rated: float, worth: float) -> Reason:
    trial = stall(fitted.unit, LOW_LEG_V)
    volt = worth * _volt(fitted, contactor, trial)
    return AtLeast(
        rule="contactor.hold",
        figure="coil volts",
        has=volt,
        needs=rated * fitted.number(contactor, "drop_out_ratio"),
        unit="V",
        why=f"{trial.name}, so that it does not let go",
        otherwise="It lets go under the sag of the start and chatters; the contacts weld.",
        situation=trial.name,
        source="drop-out: IEC 60947-4-1; check your own copy",
    ).reason()


def _worst(fitted: Specimen, contactor: str, rated: float, worth: float) -> Iterator[Reason]:
    """A specimen that needs the full 85 % and a supply at the lower end of its marking."""
    for leg, share, whose in (
        (LOW_LEG_V, PULLS_IN_BY, "a coil that needs the full 85 % that the standard allows"),
        (LOWEST_LEG_V, fitted.number(contactor, "pull_in_ratio"), "its own coil"),
    ):
        trial = inrush(fitted.unit, leg)
        volt = worth * _volt(fitted, contactor, trial)
        if volt < share * rated:
            yield Reason(
                Weight.CAUTION,
                "contactor.pull_in_worst",
                f"{capital(trial.name)}, the coil gets {volt:.1f} V and "
                f"{whose} asks for {share * rated:.1f} V: on such a day it chatters.",
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
            f"On a call its {rated:g} V coil gets {volt:.1f} V"
            f"{'' if worth == 1 else f', worth {volt * worth:.1f} V at its own frequency'}: "
            "it overheats and burns out.",
            CALL.name,
            volt * worth,
            MOST_SHARE * rated,
            "V",
            "IEC 60947-4-1: at most 110 %; check your own copy; the rest rule of thumb",
        )
