"""Thermostat and crankcase heater: what their labels must agree with."""

from __future__ import annotations

from collections.abc import Iterator

from rungwise.replacement.candidate import Candidate
from rungwise.replacement.circuits import Specimen
from rungwise.replacement.reason import Reason, Weight
from rungwise.replacement.reference import Reference
from rungwise.replacement.strength import AtLeast, shown
from rungwise.replacement.trials import CALL, COLD

__all__ = ["heater_reasons", "thermostat_reasons"]

LINE_VOLT = 100.0
"""A thermostat for more than this switches line volts, not a 24 V control circuit."""

HEATER_SHARE = 0.15
"""Watts that count as the same heater (common practice, no source)."""


HEATER_VOLT_SHARE = 1.1
"""Volts over a heater's own from which it burns out in time (common practice, no source)."""


def thermostat_reasons(
    reference: Reference, fitted: Specimen, candidate: Candidate
) -> Iterator[Reason]:
    """Volts, contact amps, and whether it needs a common wire that is not there."""
    name, volt = candidate.parts[0], candidate.figures["volt"]
    gets = max((fitted.port(CALL, (each.name, "windings"), 1)[0]
                for each in fitted.unit.parts_of_kind("transformer")), default=0.0)  # fmt: skip
    line = volt > LINE_VOLT
    yield Reason(
        Weight.BARS if line else Weight.PASSES,
        "thermostat.volts",
        f"It is made for {volt:g} V; here it switches {gets:.0f} V"
        + (": its contacts and its works are for line volts." if line else "."),
        CALL.name,
        volt,
        gets,
        "V",
        "from the solution",
    )
    if "rating_a" in candidate.figures:
        amp = max(fitted.amp(CALL, (name, contact)) for contact in ("y", "g"))
        yield AtLeast(
            rule="thermostat.amps",
            figure="contacts",
            has=candidate.figures["rating_a"],
            needs=amp,
            unit="A",
            why="what goes through one of them on a call",
            otherwise="They burn or stick.",
            situation=CALL.name,
            source="from the solution",
        ).reason()
    if candidate.texts.get("needs_common") == "yes":
        yield _common(reference, name)


def _common(reference: Reference, name: str) -> Reason:
    """A thermostat that lives off the 24 V needs C, and most cables have a spare wire or none."""
    wires = [w.carries for t in ("R", "Y", "G")
             for w, _ in reference.found.unit.wires_at(f"{name}.{t}")]  # fmt: skip
    return Reason(
        Weight.CHANGE,
        "thermostat.common",
        f"It needs a common wire; the cable brings {', '.join(wires)} and no C. Use a spare "
        "conductor to the board's C, or pull another cable.",
        "thermostat off",
    )


def heater_reasons(
    reference: Reference, fitted: Specimen, candidate: Candidate
) -> Iterator[Reason]:
    """Watts as before, and as the circuit really feeds it."""
    name = candidate.parts[0]
    had, has = (each.number(name, "watt") for each in (reference.found, fitted))
    solved = fitted.watt(COLD, (name, "element"))
    same = abs(has / had - 1) <= HEATER_SHARE
    told = f"{shown(has, 'W')} in place of {shown(had, 'W')}; with the thermostat off in the cold "
    told += f"it gets {solved:.0f} W"
    short = "the oil stays colder than it should" if has < had else "the oil is overheated"
    stated = reference.stated(name, "watt")
    unread = "" if stated else " The unit file does not say the old one's watts: read them."
    yield Reason(
        Weight.PASSES if same else Weight.BARS if stated else Weight.CAUTION,
        "heater.watts",
        f"{told}." if same else f"{told}: {short}.{unread}",
        COLD.name,
        has,
        had,
        "W",
    )
    supply = fitted.volt(COLD, f"{name}.1", f"{name}.2")
    rated = fitted.number(name, "volt")
    if supply > HEATER_VOLT_SHARE * rated:
        yield Reason(
            Weight.BARS,
            "heater.volts",
            f"It is made for {rated:g} V and gets {supply:.0f} V: {solved:.0f} W burn it out.",
            COLD.name,
            rated,
            supply,
            "V",
            "from the solution",
        )
