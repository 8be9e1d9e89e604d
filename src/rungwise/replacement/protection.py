"""Fuse, breaker and disconnect: the same amps, poles enough, and the code's limits."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from rungwise.circuit import CALLING, Key
from rungwise.parts import CONTROL_SIGNALS, Against, conductors_of
from rungwise.replacement.candidate import Candidate
from rungwise.replacement.label import ratings_of, unjudged
from rungwise.replacement.nec.ampacity import AIR_CONDITIONING, SMALL
from rungwise.replacement.nec.circuit_size import CircuitLoads, disconnect_a
from rungwise.replacement.plate_figures import circuit_loads, marked_or_computed
from rungwise.replacement.reason import AtLeast, Reason, Weight, shown
from rungwise.replacement.reference import Reference
from rungwise.replacement.supply_circuit import (
    as_in_the_arrangement,
    behind,
    carries_at_most_a,
    device_at_most_a,
    feeds_outdoors,
    guards,
    opens_at,
    outdoor_breakers,
    outdoor_run,
    poles_of,
)
from rungwise.replacement.trials import (
    CALL,
    MIDDLE_LEG_V,
    START,
    Specimen,
    Trial,
    heat_call,
    inrush,
)
from rungwise.unit import Unit
from rungwise.wording import capital, joined, mark, say

SAME_AMPS = "the rule is the same amps and the same type, after finding what blew it"
ENDLESS_A = 1e6

CONTINUOUS = 1.25
"""A breaker carries 80% of its rating for hours: NEC 210.20(A)."""

LARGEST_USUAL_A = 5.0
"""3 and 5 A are the usual fuses of a 24 V circuit (common practice, no source)."""

CARRIES = 1.35
"""The kind opens a fuse from this share of its rating on, sooner or later."""


_USUAL_WIRE = mark("That is the arrangement's size: read it off the wire.")


def fuse_reasons(reference: Reference, fitted: Specimen, candidate: Candidate) -> Iterator[Reason]:
    """A fuse: same amps; of a low-voltage one told by what a short of Y to C would do to it."""
    name = candidate.parts[0]
    low_volts = _guards_control(fitted.unit, name)
    key, link = opens_at(fitted.unit, name), _first_pole(fitted.unit, name)
    had, has = (each.number(name, key) for each in (reference.found, fitted))
    call = fitted.amp(CALL, link)
    carries = max(CARRIES * call, fitted.amp(inrush(fitted.unit, MIDDLE_LEG_V), link))
    stated = reference.stated(name, key)
    most = had if stated or not low_volts else max(had, LARGEST_USUAL_A)
    told = (
        say(
            "{shown} in place of {shown2}; {SAME_AMPS}.",
            shown=shown(has, "A"),
            shown2=shown(had, "A"),
            SAME_AMPS=SAME_AMPS,
        )
        if stated
        else say(
            "{shown}; {SAME_AMPS}. The unit file does not say the old fuse: read it{it}.",
            shown=shown(has, "A"),
            SAME_AMPS=SAME_AMPS,
            it=mark(" (3 and 5 A are usual)") if low_volts else "",
        )
    )
    if has > most and not low_volts:
        told += " A larger one leaves what is behind it to burn before it opens."
    elif has > most:
        amp = _amp_in_a_short(fitted, name)
        told += say(
            " With Y shorted to C in the field cable it carries {amp} A: it {when}, the "
            "right one {when2}, and the transformer burns first.",
            amp=f"{amp:.1f}",
            when=_when(fitted, name, has, amp),
            when2=_when(fitted, name, had, amp),
        )
    elif has < had:
        told += say(
            " On a call it carries {call} A, and more at every pull-in: it ages and opens.",
            call=f"{call:.2f}",
        )
    yield Reason(
        _weight_of_a_fuse(has, had, most, carries),
        "fuse.amps",
        told,
        "on a call, Y shorted to C" if has > most and low_volts else CALL.name,
        has,
        had,
        "A",
    )


def _guards_control(unit: Unit, fuse: str) -> bool:
    """Whether it lies in the 24 V circuit."""
    ends = (f"{fuse}.{end}" for end in unit.kind_of(fuse).terminals)
    return any(w.carries in CONTROL_SIGNALS for end in ends for w, _ in unit.wires_at(end))


def _weight_of_a_fuse(has: float, had: float, most: float, carries: float) -> Weight:
    """Larger than the old one guards nothing; smaller guards better as long as it carries."""
    if has == had:
        return Weight.PASSES
    return Weight.CAUTION if carries <= has <= most else Weight.BARS


def disconnect_reasons(
    reference: Reference, fitted: Specimen, candidate: Candidate
) -> Iterator[Reason]:
    """A disconnect: 115% of the loads, and what guards the circuit when its fuses change."""
    name = candidate.parts[0]
    if fitted.unit.part(name).place != "disconnect":
        yield _switch(fitted, candidate)
        return
    key = ratings_of(fitted.unit, name).parameter(Against.CIRCUIT) or _carries(fitted.unit, name)
    if key is None:
        yield unjudged(candidate, mark("The amps"))
        return
    loads = circuit_loads(fitted.unit)
    yield AtLeast(
        rule="disconnect.amps",
        figure=mark("disconnect"),
        has=fitted.number(name, key),
        needs=disconnect_a(loads),
        unit="A",
        why=say("115% of {running_a} A of loads", running_a=f"{loads.running_a:.1f}"),
        otherwise=mark("Its jaws overheat."),
        situation=CALL.name,
        source="NEC 440.12, 2023",
    ).reason()
    yield from _fuses(reference, fitted, name, key, loads)


def breaker_reasons(
    reference: Reference, fitted: Specimen, candidate: Candidate
) -> Iterator[Reason]:
    """A breaker: same amps, or within what the nameplate allows."""
    name = candidate.parts[0]
    has = fitted.number(name, opens_at(fitted.unit, name))
    if feeds_outdoors(reference.found.unit, name):
        yield from _within(fitted.unit, mark("breaker"), has)
        yield from _outdoor_conductors(fitted.unit, has)
        return
    yield from _small_breaker(reference, fitted, name)


def _outdoor_conductors(unit: Unit, has: float) -> Iterator[Reason]:
    """Larger than their amps only where they carry the unit's least circuit (NEC 240.4(G))."""
    least = marked_or_computed(unit, circuit_loads(unit)).least_a
    run = outdoor_run(unit)
    usual = as_in_the_arrangement(unit, run)
    for awg in sorted({wire.awg for wire in run if wire.name not in usual}):
        may = carries_at_most_a(awg)
        if may is not None and may < min(has, least):
            yield Reason(
                Weight.BARS,
                "breaker.conductors",
                say(
                    "{has} A on {awg} AWG copper, which carries {may} A at 75 °C and not "
                    "the minimum circuit ampacity of {least} A: larger conductors come "
                    "first.",
                    has=f"{has:g}",
                    awg=f"{awg:g}",
                    may=f"{may:g}",
                    least=f"{least:.1f}",
                ),
                has=may,
                needs=least,
                unit="A",
                source=AIR_CONDITIONING.text,
            )


def _carries(unit: Unit, name: str) -> str | None:
    """The parameter of the amps that a switch may carry."""
    ratings = ratings_of(unit, name)
    return ratings.parameter(Against.CURRENT) or ratings.parameter(Against.CIRCUIT)


def _first_pole(unit: Unit, name: str) -> Key:
    return name, poles_of(unit, name).poles[0].element


def _most_amps(fitted: Specimen, name: str) -> float:
    """Amps through its first pole on the call that asks most of it, for cooling or for heat."""
    heat = heat_call(fitted.unit)
    trials = (CALL, START, *(() if heat is None else (heat,)))
    return max(fitted.amp(trial, _first_pole(fitted.unit, name)) for trial in trials)


def _switch(fitted: Specimen, candidate: Candidate) -> Reason:
    """A switch indoors against what runs through it on a call."""
    name = candidate.parts[0]
    key = _carries(fitted.unit, name)
    if key is None:
        return unjudged(candidate, mark("The amps"))
    amp = _most_amps(fitted, name)
    return AtLeast(
        rule="switch.amps",
        figure=mark("switch"),
        has=fitted.number(name, key),
        needs=amp,
        unit="A",
        why=mark("what runs through it on a call"),
        otherwise=mark("Its contacts overheat."),
        situation=CALL.name,
        source="from the solution",
    ).reason()


def _small_breaker(reference: Reference, fitted: Specimen, name: str) -> Iterator[Reason]:
    """A breaker of a branch circuit: what its conductors may have, and what runs through it."""
    key = opens_at(fitted.unit, name)
    had, has = (each.number(name, key) for each in (reference.found, fitted))
    stated = reference.stated(name, key)
    run = behind(fitted.unit, name)
    usual = as_in_the_arrangement(fitted.unit, run)
    limits = [(device_at_most_a(wire.awg), wire) for wire in run]
    for most, wire in limits:
        if most is not None and has > most:
            read = wire.name not in usual or stated
            yield Reason(
                Weight.BARS if read else Weight.CAUTION,
                "breaker.conductors",
                joined(
                    " ",
                    (
                        say(
                            "{has} A on {awg} AWG copper, which may have {most} A at most: the "
                            "wire burns in the wall before it opens.",
                            has=f"{has:g}",
                            awg=f"{wire.awg:g}",
                            most=f"{most:g}",
                        ),
                        *([] if read else [_USUAL_WIRE]),
                    ),
                ),
                has=has,
                needs=most,
                unit="A",
                source=SMALL.text,
            )
    if has != had and not (stated or all(most is not None for most, _ in limits)):
        yield Reason(
            Weight.CAUTION,
            "breaker.amps",
            say(
                "{shown}: the conductors of this circuit decide whether it may.",
                shown=shown(has, "A"),
            ),
            has=has,
            needs=had,
            unit="A",
        )
    amp = _most_amps(fitted, name)
    yield AtLeast(
        rule="breaker.carries",
        figure=mark("breaker"),
        has=has,
        needs=CONTINUOUS * amp,
        unit="A",
        why=say("125% of the {amp} A that run through it on a call", amp=f"{amp:.1f}"),
        otherwise=mark("It opens in ordinary use."),
        situation=CALL.name,
        source="NEC 210.20(A); amps from the solution",
    ).reason()


def _fuses(
    reference: Reference, fitted: Specimen, name: str, key: str, loads: CircuitLoads
) -> Iterator[Reason]:
    was_fused, is_fused = (
        guards(each.unit, each.unit.part(name), "melts") for each in (reference.found, fitted)
    )
    if is_fused:
        yield AtLeast(
            rule="disconnect.holder",
            figure=mark("disconnect"),
            has=fitted.number(name, key),
            needs=fitted.number(name, opens_at(fitted.unit, name)),
            unit="A",
            why=mark("the fuses in it"),
            otherwise=mark("Its holders carry more than they are made for."),
        ).reason()
        yield from _within(
            fitted.unit, mark("fuses"), fitted.number(name, opens_at(fitted.unit, name))
        )
    elif was_fused:
        limit = marked_or_computed(fitted.unit, loads)
        unit, breakers = fitted.unit, outdoor_breakers(fitted.unit)
        sizes = [fitted.number(each.name, opens_at(unit, each.name)) for each in breakers]
        amp = max(sizes, default=0.0)
        # What the unit file does not say of the breaker refuses nothing.
        over = any(
            each.values.get(opens_at(unit, each.name), 0.0) > limit.most_a for each in breakers
        )
        yield Reason(
            Weight.BARS if over else Weight.CAUTION,
            "disconnect.fuses_gone",
            say(
                "It has no fuses and the one that comes out had. The breaker of {amp} A "
                "is then all that guards the unit, {words}. See too that the nameplate "
                "does not ask for fuses by name.",
                amp=f"{amp:g}",
                words=limit.words,
            ),
            CALL.name,
            amp,
            limit.most_a,
            "A",
            limit.source,
        )


def _within(unit: Unit, what: str, has: float) -> Iterator[Reason]:
    """Overcurrent device of the outdoor circuit: at least the MCA, at most the MOCP."""
    limit = marked_or_computed(unit, circuit_loads(unit))
    yield AtLeast(
        rule="overcurrent.least",
        figure=what,
        has=has,
        needs=limit.least_a,
        unit="A",
        why=mark("minimum circuit ampacity"),
        otherwise=mark("It opens on a long hot day with nothing wrong."),
        situation=CALL.name,
        source=limit.source,
    ).reason()
    if has > limit.most_a:
        yield Reason(
            Weight.BARS,
            "overcurrent.most",
            say(
                "{capitalize} of {has} A, {words}: a fault in the unit would burn longer "
                "than it was tested for.",
                capitalize=capital(what),
                has=f"{has:g}",
                words=limit.words,
            ),
            CALL.name,
            has,
            limit.most_a,
            "A",
            limit.source,
        )


def _amp_in_a_short(fitted: Specimen, fuse: str) -> float:
    """Amps through a fuse that never opens, with Y and C of a field cable touching."""
    pairs = [
        name
        for name in fitted.group.plan.blocks
        if "+" in name and _signals(fitted.unit, name) == {"Y", "C"}
    ]
    shorted = {(pair, "shorted"): 1.0 for pair in pairs[:1]}
    trial = Trial(
        "on a call, Y shorted to C",
        CALLING,
        {(fuse, opens_at(fitted.unit, fuse)): ENDLESS_A, **shorted},
    )
    return fitted.amp(trial, _first_pole(fitted.unit, fuse))


def _signals(unit: Unit, pair: str) -> set[str]:
    return {unit.wire_by_name[name].carries for name in conductors_of(pair)}


def _when(fitted: Specimen, fuse: str, rating_a: float, amp: float) -> str:
    """When a fuse of this rating opens at `amp`, by its kind's own rule."""
    (rule,) = fitted.unit.kind_of(fuse).rules
    seconds = float(rule.opens_after_s(np.asarray(amp), {rule.rating: np.asarray(rating_a)}))
    if seconds == 0:
        return "opens at once"
    return (
        say("opens after {seconds} s", seconds=f"{seconds:.0f}")
        if np.isfinite(seconds)
        else "never opens"
    )
