"""Is a run capacitor right: microfarads of each section, and volts?"""

from __future__ import annotations

from collections.abc import Iterator

from rungwise.parts.limits import CAPACITOR
from rungwise.parts.load import CAPACITOR_OVER_VOLT
from rungwise.replacement.circuits import Specimen, Trial
from rungwise.replacement.nets import Nets
from rungwise.replacement.reason import Reason, Weight
from rungwise.replacement.reference import SECTIONS, Reference
from rungwise.replacement.strength import PRACTICE, shown
from rungwise.replacement.trials import CALL, HIGH_LEG_V, START, high_call, running_amp

__all__ = ["TOLERANCE", "capacitor_reasons", "sections_of"]

TOLERANCE = 1.0 - CAPACITOR.watch
"""Marked tolerance of most run capacitors, ±6 % (trade practice, EIA-456 family, from memory): a
new one is within it, also where an old one is left in down to `CAPACITOR.change`."""

SOLVED_WITHIN = 1.15
"""Solved volts over a can's rating that its rating is still believed at: it bears 10 % over (IEC
60252-1), and the turns of a motor, on which its volts rest, are on no plate (our own margin)."""


def capacitor_reasons(
    reference: Reference, fitted: Specimen, pieces: tuple[str, ...]
) -> Iterator[Reason]:
    """Every section that feeds a motor, its volts, and sections left over."""
    old_volt = _old_volt(reference, _replaced(reference, fitted, pieces))
    if old_volt:
        yield from (_beside_the_old(fitted, piece, old_volt) for piece in pieces)
    fed = set()
    for piece, key, motor in sections_of(fitted, pieces):
        fed.add((piece, key))
        yield _microfarads(reference, fitted, piece, key, motor)
        yield from _volts(fitted, piece, key, motor, old_volt)
    yield from _left_over(fitted, pieces, fed)
    if not old_volt:
        yield Reason(
            Weight.CAUTION,
            "capacitor.volts_unknown",
            "Read the volts on the old capacitor first: the unit file does not say them, and the "
            "rule is equal or higher.",
            source=PRACTICE,
        )


def sections_of(fitted: Specimen, pieces: tuple[str, ...]) -> Iterator[tuple[str, str, str]]:
    """The sections in use: part, key of its microfarads, and the motor whose winding it feeds."""
    nets = Nets(fitted.unit)
    for piece in pieces:
        kind = fitted.unit.part(piece).kind
        for key, terminal in SECTIONS.get(kind, {}).items():
            for each in (terminal,) if terminal else ("1", "2"):
                motor = nets.motor_started_from(f"{piece}.{each}")
                if motor is not None:
                    yield piece, key, motor.name


def _old_volt(reference: Reference, replaced: set[str]) -> float:
    """Rated volts of the run capacitors that come out, 0 where the unit file does not say."""
    old = (part for part in reference.found.unit.parts_of_kind(*SECTIONS) if part.name in replaced)
    return max((part.values.get("volt", 0.0) for part in old), default=0.0)


def _replaced(reference: Reference, fitted: Specimen, pieces: tuple[str, ...]) -> set[str]:
    """The run capacitors that come out: those that the fitted unit no longer has, or shares."""
    left = {part.name for part in fitted.unit.parts} - set(pieces)
    return {part.name for part in reference.found.unit.parts} - left


def _microfarads(
    reference: Reference, fitted: Specimen, piece: str, key: str, motor: str
) -> Reason:
    has, (wants, whose) = fitted.number(piece, key), _wanted(reference, fitted, motor)
    title = fitted.unit.part(motor).title
    low, high = wants * (1 - TOLERANCE), wants * (1 + TOLERANCE)
    amp = running_amp(fitted, motor)
    rated = fitted.number(motor, "rated_a")
    told = (
        f"{shown(has, 'µF')} for the {title}, {whose or 'where such motors often have'} "
        f"{shown(wants, 'µF')} ({low:.4g} to {high:.4g} µF)"
    )
    outcome = f"on a call the {title} takes {amp:.2f} A, rated {rated:g} A"
    right = low <= has <= high
    wrong = (
        "its start winding gets too little, and its torque drops"
        if has < wants
        else ("its start winding gets too much and overheats")
    )
    unread = "nobody read its plate or the old can, and one of them decides"
    return Reason(
        Weight.PASSES if right else Weight.BARS if whose else Weight.UNJUDGED,
        "capacitor.uf",
        f"{told}; {outcome}." if right else f"{told}: {wrong if whose else unread}; {outcome}.",
        CALL.name,
        has,
        wants,
        "µF",
        "±6 % as marked on most run capacitors, EIA-456 family; check your own copy",
    )


def _wanted(reference: Reference, fitted: Specimen, motor: str) -> tuple[float, str]:
    """Microfarads that a motor wants and who says so: its plate, else the old can; "" if neither.

    Without either it is what such motors usually have, which decides nothing.
    """
    new, found = fitted.unit.part(motor), reference.found.unit
    if "run_uf" in new.values:
        return new.values["run_uf"], "which is made for"
    nets = Nets(found)
    for part in found.parts_of_kind(*SECTIONS):
        for key, terminal in SECTIONS[part.kind].items():
            for each in (terminal,) if terminal else ("1", "2"):
                fed = nets.motor_started_from(f"{part.name}.{each}")
                if fed is not None and fed.name == motor and key in part.values:
                    return part.values[key], "which had"
    return fitted.number(motor, "run_uf"), ""


def _volts(fitted: Specimen, piece: str, key: str, motor: str, old_volt: float) -> Iterator[Reason]:
    rated = fitted.number(piece, "volt")
    # A motor that trips has no volts left on a settled call; it had them before.
    usual = max(_across(fitted, piece, key, trial) for trial in (CALL, START))
    most = max(usual, _across(fitted, piece, key, high_call(fitted.unit)))
    across = (
        f"on a call the section of the {fitted.unit.part(motor).title} has {usual:.0f} V across it "
        f"as solved, {most:.0f} V on {2 * HIGH_LEG_V:.0f} V supply"
    )
    if not old_volt:
        yield _by_the_solution(rated, usual, across)
    if rated >= old_volt and most > rated * CAPACITOR_OVER_VOLT:
        yield Reason(
            Weight.NOTE if old_volt else Weight.CAUTION,
            "capacitor.volts_high",
            f"It is rated {rated:g} V; {across}: a higher rating lasts longer.",
            high_call(fitted.unit).name,
            rated,
            most,
            "V",
            "10 % over: IEC 60252-1; check your own copy; volts from the solution",
        )


def _beside_the_old(fitted: Specimen, piece: str, old_volt: float) -> Reason:
    """Equal or higher than what comes out: the label of the old can counts, not our solution."""
    rated = fitted.number(piece, "volt")
    enough = rated >= old_volt
    why = "equal is enough" if rated == old_volt else "higher is welcome"
    return Reason(
        Weight.PASSES if enough else Weight.BARS,
        "capacitor.volts",
        f"It is rated {rated:g} V and comes in place of one of {old_volt:g} V: "
        f"{why if enough else 'the rule is equal or higher'}.",
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
    told = f"Rated {rated:g} V: {across}."
    doubt = f"Read the old one: it serves only in place of one of {rated:g} V or less."
    after = {Weight.CAUTION: f" {doubt}", Weight.BARS: " It overheats, bulges and opens."}
    return Reason(
        weight,
        "capacitor.volts_solved",
        f"{told}{after.get(weight, '')}",
        CALL.name,
        rated,
        usual,
        "V",
        "from the solution",
    )


def _across(fitted: Specimen, piece: str, key: str, trial: Trial) -> float:
    kind = fitted.unit.part(piece).kind
    first, second = ("1", "2") if kind == "run_capacitor" else ("C", SECTIONS[kind][key])
    return fitted.volt(trial, f"{piece}.{first}", f"{piece}.{second}")


def _left_over(
    fitted: Specimen, pieces: tuple[str, ...], fed: set[tuple[str, str]]
) -> Iterator[Reason]:
    for piece in pieces:
        for key, terminal in SECTIONS[fitted.unit.part(piece).kind].items():
            if (piece, key) not in fed and terminal:
                yield Reason(
                    Weight.NOTE,
                    "capacitor.spare",
                    f"Its {terminal} section stays unused: leave its tabs empty and covered.",
                )
