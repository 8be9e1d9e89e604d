"""Is a run capacitor right: microfarads of each section, and volts?"""

from __future__ import annotations

from collections.abc import Iterator

from rungwise.circuit import Key
from rungwise.parts import CAPACITOR, CAPACITOR_OVER_VOLT, PRACTICE, Capacitor
from rungwise.replacement.candidate import Candidate
from rungwise.replacement.reason import Reason, Weight, shown
from rungwise.replacement.reference import Reference, is_run_capacitor, run_sections
from rungwise.replacement.trials import (
    CALL,
    HIGH_LEG_V,
    START,
    Specimen,
    Trial,
    high_call,
    running_amp,
)
from rungwise.unit import Served
from rungwise.wording import joined, mark, say

TOLERANCE = 1.0 - CAPACITOR.watch
"""Marked tolerance of most run capacitors, ±6% (trade practice, EIA-456 family, from memory): a
new one is within it, also where an old one is left in down to `CAPACITOR.change`."""

SOLVED_WITHIN = 1.15
"""Solved volts over a can's rating that its rating is still believed at: it bears 10% over (IEC
60252-1), and the turns of a motor, on which its volts rest, are on no plate (our own margin)."""


def capacitor_reasons(
    reference: Reference, fitted: Specimen, candidate: Candidate
) -> Iterator[Reason]:
    """Every section that feeds a motor, its volts, and sections left over."""
    pieces = candidate.takes_place_as
    old_volt = _old_volt(reference, _replaced(reference, fitted, pieces))
    if old_volt:
        yield from (_beside_the_old(fitted, piece, old_volt) for piece in pieces)
    fed: set[Key] = set()
    in_use = [each for each in run_sections(fitted.unit) if each.capacitor in pieces]
    for each in sorted(in_use, key=lambda each: pieces.index(each.capacitor)):
        fed.add((each.capacitor, each.section.element))
        yield _microfarads(reference, fitted, each)
        yield from _volts(fitted, each, old_volt)
    yield from _left_over(fitted, pieces, fed)
    if not old_volt:
        yield Reason(
            Weight.CAUTION,
            "capacitor.volts_unknown",
            mark(
                "Read the volts on the old capacitor first: the unit file does not say them, and "
                "the rule is equal or higher."
            ),
            source=PRACTICE,
        )


def _old_volt(reference: Reference, replaced: set[str]) -> float:
    """Rated volts of the run capacitors that come out, 0 where the unit file does not say."""
    told = reference.found.unit.having(Capacitor)
    old = ((p, c) for p, c in told if p.name in replaced and is_run_capacitor(p.kind))
    return max((part.values.get(can.volt, 0.0) for part, can in old), default=0.0)


def _replaced(reference: Reference, fitted: Specimen, pieces: tuple[str, ...]) -> set[str]:
    """The run capacitors that come out: those that the fitted unit no longer has, or shares."""
    left = {part.name for part in fitted.unit.parts} - set(pieces)
    return {part.name for part in reference.found.unit.parts} - left


def _microfarads(reference: Reference, fitted: Specimen, served: Served) -> Reason:
    motor = served.motor
    has = fitted.number(served.capacitor, served.section.microfarads)
    wants, whose = _wanted(reference, fitted, motor)
    title = fitted.unit.part(motor).title
    low, high = wants * (1 - TOLERANCE), wants * (1 + TOLERANCE)
    amp = running_amp(fitted, motor)
    rated = fitted.number(motor, "rated_a")
    told = say(
        "{shown} for the {title}, {it} {shown2} ({low} to {high} µF)",
        shown=shown(has, "µF"),
        title=title,
        it=whose or mark("where such motors often have"),
        shown2=shown(wants, "µF"),
        low=f"{low:.4g}",
        high=f"{high:.4g}",
    )
    outcome = say(
        "on a call the {title} takes {amp} A, rated {rated} A",
        title=title,
        amp=f"{amp:.2f}",
        rated=f"{rated:g}",
    )
    right = low <= has <= high
    wrong = (
        mark("its start winding gets too little, and its torque drops")
        if has < wants
        else mark("its start winding gets too much and overheats")
    )
    unread = mark("nobody read its nameplate or the old can, and one of them decides")
    return Reason(
        Weight.PASSES if right else Weight.BARS if whose else Weight.UNJUDGED,
        "capacitor.uf",
        say("{told}; {outcome}.", told=told, outcome=outcome)
        if right
        else say(
            "{told}: {it}; {outcome}.", told=told, it=wrong if whose else unread, outcome=outcome
        ),
        CALL.name,
        has,
        wants,
        "µF",
        "±6% as marked on most run capacitors, EIA-456 family; check your own copy",
    )


def _wanted(reference: Reference, fitted: Specimen, motor: str) -> tuple[float, str]:
    """Microfarads that a motor wants and who says so: its plate, else the old can; "" if neither.

    Without either it is what such motors usually have, which decides nothing.
    """
    new, found = fitted.unit.part(motor), reference.found.unit
    if "run_uf" in new.values:
        return new.values["run_uf"], mark("which is made for")
    for each in run_sections(found):
        values = found.part(each.capacitor).values
        if each.motor == motor and each.section.microfarads in values:
            return values[each.section.microfarads], mark("which had")
    return fitted.number(motor, "run_uf"), ""


def _volts(fitted: Specimen, served: Served, old_volt: float) -> Iterator[Reason]:
    rated = _rated_volt(fitted, served.capacitor)
    # A motor that trips has no volts left on a settled call; it had them before.
    usual = max(_across(fitted, served, trial) for trial in (CALL, START))
    most = max(usual, _across(fitted, served, high_call(fitted.unit)))
    across = say(
        "on a call the section of the {title} has {usual} V across it as solved, {most} "
        "V on {HIGH_LEG_V} V supply",
        title=fitted.unit.part(served.motor).title,
        usual=f"{usual:.0f}",
        most=f"{most:.0f}",
        HIGH_LEG_V=f"{2 * HIGH_LEG_V:.0f}",
    )
    if not old_volt:
        yield _by_the_solution(rated, usual, across)
    if rated >= old_volt and most > rated * CAPACITOR_OVER_VOLT:
        yield Reason(
            Weight.NOTE if old_volt else Weight.CAUTION,
            "capacitor.volts_high",
            say(
                "It is rated {rated} V; {across}: a higher rating lasts longer.",
                rated=f"{rated:g}",
                across=across,
            ),
            high_call(fitted.unit).name,
            rated,
            most,
            "V",
            "10% over: IEC 60252-1; check your own copy; volts from the solution",
        )


def _beside_the_old(fitted: Specimen, piece: str, old_volt: float) -> Reason:
    """Equal or higher than what comes out: the label of the old can counts, not our solution."""
    rated = _rated_volt(fitted, piece)
    enough = rated >= old_volt
    why = mark("equal is enough") if rated == old_volt else mark("higher is welcome")
    return Reason(
        Weight.PASSES if enough else Weight.BARS,
        "capacitor.volts",
        say(
            "It is rated {rated} V and comes in place of one of {old_volt} V: {it}.",
            rated=f"{rated:g}",
            old_volt=f"{old_volt:g}",
            it=why if enough else mark("the rule is equal or higher"),
        ),
        "",
        rated,
        old_volt,
        "V",
        PRACTICE,
    )


def _by_the_solution(rated: float, usual: float, across: str) -> Reason:
    """Where nobody read the old can: the solved volts, which a plate does not give exactly."""
    weight = Weight.PASSES if usual <= rated else Weight.CAUTION
    if usual > SOLVED_WITHIN * rated:
        weight = Weight.BARS
    told = say("Rated {rated} V: {across}.", rated=f"{rated:g}", across=across)
    doubt = say(
        "Read the old one: it fits only in place of one of {rated} V or less.", rated=f"{rated:g}"
    )
    after = {Weight.CAUTION: doubt, Weight.BARS: mark("It overheats, bulges and opens.")}
    return Reason(
        weight,
        "capacitor.volts_solved",
        joined(" ", (told, after[weight])) if weight in after else told,
        CALL.name,
        rated,
        usual,
        "V",
        "from the solution",
    )


def _across(fitted: Specimen, served: Served, trial: Trial) -> float:
    return fitted.volt(trial, *(f"{served.capacitor}.{end}" for end in served.section.ends))


def _can(fitted: Specimen, piece: str) -> Capacitor:
    can = fitted.unit.kind_of(piece).facet(Capacitor)
    if can is None:
        raise LookupError(say("{piece} is no capacitor", piece=piece))
    return can


def _rated_volt(fitted: Specimen, piece: str) -> float:
    return fitted.number(piece, _can(fitted, piece).volt)


def _left_over(fitted: Specimen, pieces: tuple[str, ...], fed: set[Key]) -> Iterator[Reason]:
    for piece in pieces:
        can = _can(fitted, piece)
        for section in can.sections if len(can.sections) > 1 else ():
            if (piece, section.element) not in fed:
                (terminal,) = set(section.ends) - {can.common}
                yield Reason(
                    Weight.NOTE,
                    "capacitor.spare",
                    say(
                        "Its {terminal} section stays unused: leave its tabs empty and covered.",
                        terminal=terminal,
                    ),
                )
