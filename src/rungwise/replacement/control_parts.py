"""Delay, relay, heater thermostat and switches: judged by what their labels say, else not judged.

The behaviour of the circuit with them is solved as for every part; a setting, or the amps of a
contact, is known from a label only.
"""

from __future__ import annotations

from collections.abc import Iterator

from rungwise.parts import KINDS
from rungwise.replacement.candidate import Candidate
from rungwise.replacement.circuits import Specimen
from rungwise.replacement.reason import Reason, Weight
from rungwise.replacement.reference import Reference
from rungwise.replacement.strength import PRACTICE, AtLeast, fahrenheit
from rungwise.replacement.trials import CALL

__all__ = ["delay_reasons", "heater_stat_reasons", "relay_reasons", "unjudged"]

LEAST_DELAY_S = 180.0
"""Three minutes let the pressures of a small unit equalize (common practice, no source)."""

SETTING_K = 3.0
"""Settings of a heater's thermostat that count as the same (common practice, no source)."""


def unjudged(candidate: Candidate, what: str) -> Reason:
    """Nobody can say that it serves, because `what` is not known."""
    return Reason(
        Weight.UNJUDGED,
        "strength.unjudged",
        f"{what} of the {candidate.title} cannot be judged from what is given: compare its label "
        "with the one that comes out, line by line.",
    )


def delay_reasons(
    reference: Reference, _fitted: Specimen, candidate: Candidate
) -> Iterator[Reason]:
    """Seconds at least those of the old one, or where nobody read it, of what is usual."""
    name = candidate.parts[0]
    if "delay_s" not in candidate.figures:
        yield unjudged(candidate, "The time")
        return
    has, had = candidate.figures["delay_s"], reference.found.number(name, "delay_s")
    stated = reference.stated(name, "delay_s")
    needs = had if stated else LEAST_DELAY_S
    compared = AtLeast(
        rule="delay.seconds",
        figure="delay",
        has=has,
        needs=needs,
        unit="s",
        why="as in the one that comes out" if stated else "the usual least; read the old one",
        otherwise="The compressor starts against pressure and stalls.",
        situation=CALL.name,
        source=PRACTICE,
    ).reason()
    yield compared if stated or has >= needs else unjudged(candidate, "So short a time")


def relay_reasons(reference: Reference, fitted: Specimen, candidate: Candidate) -> Iterator[Reason]:
    """Contact amps against what it switches; coil volts are seen by whether it pulls in."""
    name = candidate.parts[0]
    if "coil_volt" not in candidate.figures:
        yield unjudged(candidate, "The coil")
    if "rating_a" not in candidate.figures:
        yield unjudged(candidate, "The contact")
        return
    motors = [part for part in reference.meant.unit.parts if KINDS[part.kind].motor]
    fed = [each for each in motors if _feeds(reference, name, each.name)]
    yield AtLeast(
        rule="relay.amps",
        figure="contact",
        has=candidate.figures["rating_a"],
        needs=sum(fitted.number(each.name, "rated_a") for each in fed),
        unit="A",
        why=", ".join(f"{each.title} {fitted.number(each.name, 'rated_a'):g} A" for each in fed)
        or "nothing hangs on it",
        otherwise="It burns or welds.",
        situation=CALL.name,
        source=PRACTICE,
    ).reason()


def _feeds(reference: Reference, relay: str, motor: str) -> bool:
    """Whether a motor's amps on a call go through the relay's contact."""
    meant = reference.meant
    through, drawn = (
        meant.amp(CALL, (relay, "contact")),
        meant.amp(CALL, (motor, "common")),
    )
    return drawn > 0 and abs(through / drawn - 1) < SAME_AMPS


SAME_AMPS = 0.05
"""A contact that carries a motor's amps within this share feeds it."""


def heater_stat_reasons(
    reference: Reference, fitted: Specimen, candidate: Candidate
) -> Iterator[Reason]:
    """Its setting against the old one's, and the heater's amps against its contact."""
    name = candidate.parts[0]
    if "close_below_c" not in candidate.figures:
        yield unjudged(candidate, "The setting")
    else:
        had, has = reference.found.number(name, "close_below_c"), candidate.figures["close_below_c"]
        same, stated = abs(has - had) <= SETTING_K, reference.stated(name, "close_below_c")
        yield Reason(
            Weight.PASSES if same else Weight.BARS if stated else Weight.CAUTION,
            "heater_stat.setting",
            f"It closes below {fahrenheit(has):.0f} °F, the one that comes out below "
            f"{fahrenheit(had):.0f} °F"
            + ("." if same else ": in between the oil is cold, or heated for nothing."),
            source=PRACTICE,
        )
    if "rating_a" not in candidate.figures:
        yield unjudged(candidate, "The contact")
        return
    heaters = fitted.unit.parts_of_kind("crankcase_heater")
    amp = sum(fitted.number(h.name, "watt") / fitted.number(h.name, "volt") for h in heaters)
    yield AtLeast(
        rule="heater_stat.amps",
        figure="contact",
        has=candidate.figures["rating_a"],
        needs=amp,
        unit="A",
        why="what the heater takes",
        otherwise="It burns.",
        source=PRACTICE,
    ).reason()
