"""Is the transformer strong enough for all that hangs on it?"""

from __future__ import annotations

from collections.abc import Iterator

from rungwise.replacement.candidate import Candidate
from rungwise.replacement.circuits import Specimen
from rungwise.replacement.coil_volts import coil_reasons
from rungwise.replacement.reason import Reason, Weight
from rungwise.replacement.reference import Reference
from rungwise.replacement.strength import PRACTICE, AtLeast, capital, shown
from rungwise.replacement.trials import CALL, LOW_LEG_V, inrush

__all__ = ["load_reasons", "transformer_reasons"]

CONTACTORS = ("contactor_1p", "contactor_2p")
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
    had, has = reference.found.number(name, "va"), fitted.number(name, "va")
    if has < had and reference.stated(name, "va"):
        yield Reason(
            Weight.CAUTION,
            "transformer.smaller",
            f"It is smaller than the one that comes out: {shown(has, 'VA')} instead of "
            f"{shown(had, 'VA')}; nothing more may be put on it later.",
            has=has,
            needs=had,
            unit="VA",
            source=PRACTICE,
        )
    for part in fitted.unit.parts_of_kind(*CONTACTORS):
        yield from coil_reasons(fitted, part.name, coil_hz=None)


def load_reasons(fitted: Specimen) -> Iterator[Reason]:
    """Volt-amperes of each transformer with everything on it, settled and at the inrush."""
    for part in fitted.unit.parts_of_kind("transformer"):
        key = (part.name, "windings")
        volt, amp = fitted.port(CALL, key, 1)
        yield AtLeast(
            rule="transformer.va",
            figure="transformer",
            has=fitted.number(part.name, "va"),
            needs=volt * amp,
            unit="VA",
            why=f"everything on it on a call, {amp:.2f} A at {volt:.1f} V",
            otherwise="It overheats until its winding opens.",
            situation=CALL.name,
            source="from the solution",
        ).reason()
        trial = inrush(fitted.unit, LOW_LEG_V)
        volt, amp = fitted.port(trial, key, 1)
        yield Reason(
            Weight.PASSES,
            "transformer.inrush",
            f"{capital(trial.name)}, its secondary gives {volt:.1f} V at {volt * amp:.0f} VA.",
            trial.name,
            volt,
            unit="V",
            source="from the solution",
        )


def _primary(fitted: Specimen, name: str) -> Reason:
    rated = fitted.number(name, "primary_volt")
    volt, _ = fitted.port(CALL, (name, "windings"), 0)
    near = abs(volt / rated - 1) <= VOLT_SHARE
    told = f"Its primary is made for {rated:g} V and gets {volt:.0f} V"
    what = "its secondary then gives too few volts" if volt < rated else "it overheats"
    return Reason(
        Weight.PASSES if near else Weight.BARS,
        "transformer.primary",
        f"{told}." if near else f"{told}: {what}.",
        CALL.name,
        rated,
        volt,
        "V",
    )
